package kit

import (
	"cmp"
	"slices"
)

// Bounds within which Cycles looks for the least set.
const (
	// exactWork bounds vertices times edges of a graph for which every candidate
	// of Horton's is made.
	exactWork = 2_000_000
	// reduceWork bounds the words of the elimination that keeps cycles
	// independent.
	reduceWork = 200_000_000
)

// Stride is one step along an edge, from one of its ends.
type Stride struct{ Edge, From int32 }

// nearest is a tree of nearest ways from one vertex.
type nearest struct {
	by     []int32 // by vertex: the edge that leads to it; -1 at the start
	far    []int32 // by vertex: how many edges away
	branch []int32 // by vertex: the neighbour of the start through which it is reached
}

// nearestFrom walks breadth first.
func (g *Graph) nearestFrom(start int32) nearest {
	n := g.vertices()
	tree := nearest{by: make([]int32, n), far: make([]int32, n), branch: make([]int32, n)}
	for v := range tree.far {
		tree.far[v] = -1
	}
	tree.far[start], tree.by[start], tree.branch[start] = 0, -1, start
	queue := []int32{start}
	for at := 0; at < len(queue); at++ {
		v := queue[at]
		for _, e := range g.At(v) {
			w := g.Far(e, v)
			if tree.far[w] >= 0 {
				continue
			}
			tree.far[w], tree.by[w], tree.branch[w] = tree.far[v]+1, e, tree.branch[v]
			if v == start {
				tree.branch[w] = w
			}
			queue = append(queue, w)
		}
	}
	return tree
}

// candidate is the loop of the nearest ways from at to both ends of edge, and
// the edge.
type candidate struct{ length, at, edge int32 }

// Cycles returns independent cycles of a connected graph without bridges, as many
// as there are (edges - vertices + 1). In graphs of ordinary size their lengths
// together are the least possible (Horton 1987, cited from memory); in a very large
// one each is closed by one edge with a tree of nearest ways. A cycle begins at its
// least vertex towards the lesser neighbour.
func (g *Graph) Cycles() [][]Stride {
	n, m := g.vertices(), len(g.Ends)
	wanted := m - n + 1
	basis := newBasis(g, wanted)
	var kept [][]Stride
	if n*m <= exactWork {
		trees := make([]nearest, n)
		var candidates []candidate
		for v := range int32(n) {
			tree := g.nearestFrom(v)
			trees[v] = tree
			for e, pair := range g.Ends {
				x, y := pair[0], pair[1]
				if tree.by[x] != int32(e) && tree.by[y] != int32(e) && (tree.branch[x] != tree.branch[y] || x == v || y == v) {
					candidates = append(candidates, candidate{tree.far[x] + tree.far[y] + 1, v, int32(e)})
				}
			}
		}
		slices.SortStableFunc(candidates, func(a, b candidate) int { return cmp.Compare(a.length, b.length) })
		for _, next := range candidates {
			if len(kept) == wanted || basis.work > reduceWork {
				break
			}
			if edges := g.loopBy(trees[next.at], next.edge); basis.add(edges) {
				kept = append(kept, g.inOrder(edges))
			}
		}
	}
	// What is still missing is closed by the tree, one coordinate each.
	for _, e := range basis.missing() {
		kept = append(kept, g.inOrder(g.loopBy(basis.tree, e)))
	}
	return kept
}

// loopBy returns the edges of the loop that an edge closes with a tree.
func (g *Graph) loopBy(tree nearest, e int32) []int32 {
	x, y := g.Ends[e][0], g.Ends[e][1]
	edges := []int32{e}
	for x != y { // climb from the farther until the two ways meet
		if tree.far[x] < tree.far[y] {
			x, y = y, x
		}
		edges = append(edges, tree.by[x])
		x = g.Far(tree.by[x], x)
	}
	return edges
}

// inOrder walks the edges of a cycle from its least vertex towards the lesser
// neighbour, of parallel edges by the lesser first.
func (g *Graph) inOrder(edges []int32) []Stride {
	at := map[int32][]int32{}
	least := g.Ends[edges[0]][0]
	for _, e := range edges {
		for _, v := range g.Ends[e] {
			at[v] = append(at[v], e)
			least = min(least, v)
		}
	}
	first := at[least]
	a, b := g.Far(first[0], least), g.Far(first[1], least)
	e := first[0]
	if b < a || (a == b && first[1] < first[0]) {
		e = first[1]
	}
	var cycle []Stride
	v := least
	for range edges {
		cycle = append(cycle, Stride{e, v})
		v = g.Far(e, v)
		next := at[v][0]
		if next == e {
			next = at[v][1]
		}
		e = next
	}
	return cycle
}
