package graphs

import (
	"cmp"
	"slices"
)

// Loop is a way round: from Terminals[i] the element Elements[i] leads to
// Terminals[i+1], and the last back to the first. It begins at its first
// terminal in reading order. Two parallel wires are a loop of two.
type Loop struct {
	Terminals []int
	Elements  []int
}

// Bounds within which Loops looks for the least set of loops in one block.
const (
	// exactLoopWork bounds vertices times edges of a block for which every
	// candidate of Horton's is made.
	exactLoopWork = 2_000_000
	// nearLoopWork bounds the edges looked at for the shortest loop through each
	// element that closes one.
	nearLoopWork = 50_000_000
	// reduceWork bounds the words of the elimination that keeps loops
	// independent.
	reduceWork = 200_000_000
)

// Loops returns independent loops of the elements that pass the filter, as many
// as there are (elements - terminals + pieces), the shortest first. In blocks
// of ordinary size their lengths together are the least possible (Horton 1987,
// cited from memory); in a very large block each is the shortest through one of
// its elements where that is independent of the shorter ones, else one by the
// tree of nearest ways.
func (c *Circuit) Loops(filter func(Element) bool) []Loop {
	loops := []Loop{}
	blocks := c.Blocks(filter)
	for block := range blocks.Count() {
		if elements := blocks.Elements(block); len(elements) > 1 {
			loops = append(loops, c.loopsOfBlock(elements)...)
		}
	}
	rank := c.terminalLabels().rank
	slices.SortFunc(loops, func(a, b Loop) int {
		if order := cmp.Compare(len(a.Elements), len(b.Elements)); order != 0 {
			return order
		}
		if order := slices.CompareFunc(a.Terminals, b.Terminals, func(s, t int) int { return cmp.Compare(rank[s], rank[t]) }); order != 0 {
			return order
		}
		return slices.CompareFunc(a.Elements, b.Elements, c.compareElements)
	})
	return loops
}

// compareElements orders elements by their ends as people read them, wires
// before links before clips, wires by name.
func (c *Circuit) compareElements(a, b int) int {
	rank := c.terminalLabels().rank
	e, f := &c.Elements[a], &c.Elements[b]
	if order := cmp.Compare(min(rank[e.A], rank[e.B]), min(rank[f.A], rank[f.B])); order != 0 {
		return order
	}
	if order := cmp.Compare(max(rank[e.A], rank[e.B]), max(rank[f.A], rank[f.B])); order != 0 {
		return order
	}
	if order := cmp.Compare(e.Kind, f.Kind); order != 0 {
		return order
	}
	if e.Kind == Wire && a != b && len(c.Machine.Wires) > 0 {
		return c.compareWires(a, b)
	}
	return cmp.Compare(a, b)
}

// loopsOfBlock numbers the block's terminals and elements in reading order, so
// that the loops do not depend on the order of the machine's rows.
func (c *Circuit) loopsOfBlock(elements []int) []Loop {
	slices.SortFunc(elements, c.compareElements)
	rank := c.terminalLabels().rank
	var terminals []int
	for _, id := range elements {
		terminals = append(terminals, c.Elements[id].A, c.Elements[id].B)
	}
	slices.SortFunc(terminals, func(s, t int) int { return cmp.Compare(rank[s], rank[t]) })
	terminals = slices.Compact(terminals)
	number := make(map[int]int32, len(terminals))
	for i, t := range terminals {
		number[t] = int32(i)
	}
	ends := make([][2]int32, len(elements))
	for i, id := range elements {
		ends[i] = [2]int32{number[c.Elements[id].A], number[c.Elements[id].B]}
	}
	g := newWeb(len(terminals), ends)
	var loops []Loop
	for _, cycle := range g.leastCycles() {
		loop := Loop{}
		v := cycle[0].from
		for _, step := range cycle {
			loop.Terminals = append(loop.Terminals, terminals[v])
			loop.Elements = append(loop.Elements, elements[step.edge])
			v = g.far(step.edge, v)
		}
		loops = append(loops, loop)
	}
	return loops
}

// stride is one step along an edge, from one of its ends.
type stride struct{ edge, from int32 }

// nearest is a tree of nearest ways from one vertex.
type nearest struct {
	by     []int32 // by vertex: the edge that leads to it; -1 at the start
	far    []int32 // by vertex: how many edges away
	branch []int32 // by vertex: the neighbour of the start through which it is reached
}

// nearestFrom walks breadth first, without one edge (-1: with all), until it
// meets stop (-1: all).
func (g *web) nearestFrom(start, without, stop int32) nearest {
	n := g.vertices()
	tree := nearest{by: make([]int32, n), far: make([]int32, n), branch: make([]int32, n)}
	for v := range tree.far {
		tree.far[v] = -1
	}
	tree.far[start], tree.by[start], tree.branch[start] = 0, -1, start
	queue := []int32{start}
	for at := 0; at < len(queue); at++ {
		v := queue[at]
		if v == stop {
			break
		}
		for _, e := range g.at(v) {
			w := g.far(e, v)
			if e == without || tree.far[w] >= 0 {
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

// leastCycles returns independent cycles of a connected web without bridges.
func (g *web) leastCycles() [][]stride {
	n, m := g.vertices(), len(g.ends)
	wanted := m - n + 1
	basis := newBasis(g, wanted)
	var kept [][]stride
	take := func(edges []int32) {
		if len(kept) < wanted && basis.add(edges) {
			kept = append(kept, g.inOrder(edges))
		}
	}
	switch {
	case n*m <= exactLoopWork:
		trees := make([]nearest, n)
		var candidates []candidate
		for v := range int32(n) {
			tree := g.nearestFrom(v, -1, -1)
			trees[v] = tree
			for e, pair := range g.ends {
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
			take(g.loopBy(trees[next.at], next.edge))
		}
	case wanted*m <= nearLoopWork:
		var found [][]int32
		for e := range int32(m) {
			if !basis.closes[e] {
				continue
			}
			x, y := g.ends[e][0], g.ends[e][1]
			tree := g.nearestFrom(x, e, y)
			found = append(found, append(g.back(tree, y), e))
		}
		slices.SortStableFunc(found, func(a, b []int32) int { return cmp.Compare(len(a), len(b)) })
		for _, edges := range found {
			if basis.work > reduceWork {
				break
			}
			take(edges)
		}
	}
	// What is still missing is closed by the tree, one coordinate each.
	for _, e := range basis.missing() {
		kept = append(kept, g.inOrder(g.loopBy(basis.tree, e)))
	}
	return kept
}

// back returns the edges of the nearest way from v to the start of the tree.
func (g *web) back(tree nearest, v int32) []int32 {
	var edges []int32
	for tree.by[v] >= 0 {
		edges = append(edges, tree.by[v])
		v = g.far(tree.by[v], v)
	}
	return edges
}

// loopBy returns the edges of the loop that an edge closes with a tree.
func (g *web) loopBy(tree nearest, e int32) []int32 {
	x, y := g.ends[e][0], g.ends[e][1]
	edges := []int32{e}
	for x != y { // climb from the farther until the two ways meet
		if tree.far[x] < tree.far[y] {
			x, y = y, x
		}
		edges = append(edges, tree.by[x])
		x = g.far(tree.by[x], x)
	}
	return edges
}

// inOrder walks the edges of a cycle from its least vertex towards the lesser
// neighbour, of parallel edges by the lesser first.
func (g *web) inOrder(edges []int32) []stride {
	at := map[int32][]int32{}
	least := g.ends[edges[0]][0]
	for _, e := range edges {
		for _, v := range g.ends[e] {
			at[v] = append(at[v], e)
			least = min(least, v)
		}
	}
	first := at[least]
	a, b := g.far(first[0], least), g.far(first[1], least)
	e := first[0]
	if b < a || (a == b && first[1] < first[0]) {
		e = first[1]
	}
	var cycle []stride
	v := least
	for range edges {
		cycle = append(cycle, stride{e, v})
		v = g.far(e, v)
		next := at[v][0]
		if next == e {
			next = at[v][1]
		}
		e = next
	}
	return cycle
}
