package graphs

// web is a plain multigraph with small numbers for vertices and edges: what
// the algorithms on blocks, loops and paths run on. No edge runs from a vertex
// to itself.
type web struct {
	ends     [][2]int32 // of each edge
	first    []int32    // first[v] .. first[v+1] in incident: the edges at v
	incident []int32
	absent   []bool // edges that are not there; nil: all are
}

func newWeb(vertices int, ends [][2]int32) *web {
	g := &web{ends: ends, first: make([]int32, vertices+1), incident: make([]int32, 2*len(ends))}
	for _, pair := range ends {
		g.first[pair[0]+1]++
		g.first[pair[1]+1]++
	}
	for v := range vertices {
		g.first[v+1] += g.first[v]
	}
	next := make([]int32, vertices)
	copy(next, g.first)
	for e, pair := range ends {
		for _, v := range pair {
			g.incident[next[v]] = int32(e)
			next[v]++
		}
	}
	return g
}

func (g *web) vertices() int { return len(g.first) - 1 }

func (g *web) at(v int32) []int32 { return g.incident[g.first[v]:g.first[v+1]] }

func (g *web) far(e, v int32) int32 { return g.ends[e][0] + g.ends[e][1] - v }

func (g *web) present(e int32) bool { return g.absent == nil || !g.absent[e] }

// blockTree holds the biconnected blocks of a web, a bridge being a block of
// one edge, and how they hang together. Each connected piece has a root; every
// other vertex has one block that leads towards it, every block one vertex,
// its head.
type blockTree struct {
	of    []int32 // by edge: its block; -1: the edge is absent
	root  []int32 // by vertex: the root of its piece
	up    []int32 // by vertex: the block towards the root; -1 at a root
	head  []int32 // by block: its vertex nearest to the root
	foot  []int32 // by block: one of its vertices beyond the head, of a bridge the only one
	depth []int32 // by block: how many blocks from the root, 1 at it
	cut   []bool  // by vertex: taking it away parts its piece
	first []int32 // first[b] .. first[b+1] in edges: those of block b
	edges []int32
	met   []int32 // by vertex: when the walk met it, from 1
	left  []int32 // by vertex: the last that the walk met before it went back over this one
}

// blocks finds the blocks by one depth-first walk without recursion (Hopcroft
// and Tarjan 1973, cited from memory). A parallel edge leads back like any
// other, so neither of two is a bridge. Cost: linear.
func (g *web) blocks() *blockTree {
	n := g.vertices()
	tree := &blockTree{
		of: make([]int32, len(g.ends)), root: make([]int32, n), up: make([]int32, n), cut: make([]bool, n),
		edges: make([]int32, 0, len(g.ends)), first: []int32{0},
	}
	for e := range tree.of {
		tree.of[e] = -1
	}
	for v := range tree.up {
		tree.up[v] = -1
	}
	order := make([]int32, n) // when the walk met a vertex; 0: not yet
	tree.met, tree.left = order, make([]int32, n)
	low := make([]int32, n)  // the earliest vertex that it leads back to
	from := make([]int32, n) // the edge by which it was met
	next := make([]int32, n)
	copy(next, g.first)
	var path, open []int32 // vertices being walked; edges not yet in a block
	clock := int32(0)
	for start := range int32(n) {
		if order[start] != 0 {
			continue
		}
		clock++
		order[start], low[start], from[start], tree.root[start] = clock, clock, -1, start
		path = append(path[:0], start)
		for len(path) > 0 {
			v := path[len(path)-1]
			if next[v] < g.first[v+1] {
				e := g.incident[next[v]]
				next[v]++
				if e == from[v] || !g.present(e) {
					continue
				}
				w := g.far(e, v)
				switch {
				case order[w] == 0:
					clock++
					order[w], low[w], from[w], tree.root[w] = clock, clock, e, start
					open = append(open, e)
					path = append(path, w)
				case order[w] < order[v]:
					open = append(open, e)
					low[v] = min(low[v], order[w])
				}
				continue
			}
			path = path[:len(path)-1]
			tree.left[v] = clock
			if len(path) == 0 {
				break
			}
			p := path[len(path)-1]
			low[p] = min(low[p], low[v])
			if low[v] >= order[p] {
				open = tree.close(g, open, from[v], p)
			}
		}
	}
	tree.finish()
	return tree
}

// close makes a block of the open edges down to last.
func (tree *blockTree) close(g *web, open []int32, last, head int32) []int32 {
	block := int32(len(tree.head))
	tree.head, tree.foot = append(tree.head, head), append(tree.foot, head)
	for {
		e := open[len(open)-1]
		open = open[:len(open)-1]
		tree.of[e] = block
		tree.edges = append(tree.edges, e)
		for _, v := range g.ends[e] {
			if v != head {
				tree.up[v], tree.foot[block] = block, v
			}
		}
		if e == last {
			tree.first = append(tree.first, int32(len(tree.edges)))
			return open
		}
	}
}

// finish works out depths and cuts. A block is closed before the one above it,
// so the last has the least depth.
func (tree *blockTree) finish() {
	tree.depth = make([]int32, len(tree.head))
	heads := make([]bool, len(tree.up))
	for block := len(tree.head) - 1; block >= 0; block-- {
		head := tree.head[block]
		if above := tree.up[head]; above >= 0 {
			tree.depth[block] = tree.depth[above] + 1
			tree.cut[head] = true
		} else {
			tree.depth[block] = 1
			tree.cut[head] = heads[head] // a root with two blocks
		}
		heads[head] = true
	}
}

// stage is one block on the way from one vertex to another, with the vertices
// by which the way comes in and goes out.
type stage struct{ block, in, out int32 }

// chain returns the blocks that every simple path from a to b runs through, in
// order; false if nothing joins the two.
func (tree *blockTree) chain(a, b int32) ([]stage, bool) {
	if tree.root[a] != tree.root[b] {
		return nil, false
	}
	var out, back []stage
	for a != b {
		upA, upB := tree.up[a], tree.up[b]
		if upA == upB {
			out = append(out, stage{upA, a, b})
			break
		}
		if upA < 0 || (upB >= 0 && tree.depth[upB] > tree.depth[upA]) {
			back = append(back, stage{upB, tree.head[upB], b})
			b = tree.head[upB]
		} else {
			out = append(out, stage{upA, a, tree.head[upA]})
			a = tree.head[upA]
		}
	}
	for i := len(back) - 1; i >= 0; i-- {
		out = append(out, back[i])
	}
	return out, true
}

// inBlock returns the edges of a block.
func (tree *blockTree) inBlock(block int32) []int32 {
	return tree.edges[tree.first[block]:tree.first[block+1]]
}

// bridge says whether the edge's block is the edge alone.
func (tree *blockTree) bridge(e int32) bool {
	return tree.of[e] >= 0 && len(tree.inBlock(tree.of[e])) == 1
}

// beyond says whether a bridge lies between a vertex and the root of the bridge's
// piece.
func (tree *blockTree) beyond(bridge, v int32) bool {
	foot := tree.foot[tree.of[bridge]]
	return tree.met[foot] <= tree.met[v] && tree.met[v] <= tree.left[foot]
}
