package kit

import "slices"

// Blocks are the biconnected blocks of a graph, and how they hang together:
// within a block every two vertices are joined by two ways that share neither
// vertex nor edge between. An edge that is the only way is a block by itself, a
// bridge; neither of two parallel edges is.
//
// Each connected piece has a root; every other vertex has one block that leads
// towards it, every block one vertex, its head.
type Blocks struct {
	ends  [][2]int32
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
	post  []int32 // the vertices as the walk went back over them
	from  []int32 // by vertex: the edge by which the walk met it; -1 at a root
}

// Blocks finds the blocks by one depth-first walk without recursion (Hopcroft
// and Tarjan 1973, cited from memory). A parallel edge leads back like any
// other, so neither of two is a bridge. Cost: linear.
func (g *Graph) Blocks() *Blocks {
	n := g.vertices()
	tree := &Blocks{
		ends: g.Ends, from: make([]int32, n), post: make([]int32, 0, n),
		of: make([]int32, len(g.Ends)), root: make([]int32, n), up: make([]int32, n), cut: make([]bool, n),
		edges: make([]int32, 0, len(g.Ends)), first: []int32{0},
	}
	for e := range tree.of {
		tree.of[e] = -1
	}
	for v := range tree.up {
		tree.up[v] = -1
	}
	order := make([]int32, n) // when the walk met a vertex; 0: not yet
	tree.met, tree.left = order, make([]int32, n)
	low := make([]int32, n) // the earliest vertex that it leads back to
	from := tree.from
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
				w := g.Far(e, v)
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
			tree.post = append(tree.post, v)
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
func (b *Blocks) close(g *Graph, open []int32, last, head int32) []int32 {
	block := int32(len(b.head))
	b.head, b.foot = append(b.head, head), append(b.foot, head)
	for {
		e := open[len(open)-1]
		open = open[:len(open)-1]
		b.of[e] = block
		b.edges = append(b.edges, e)
		for _, v := range g.Ends[e] {
			if v != head {
				b.up[v], b.foot[block] = block, v
			}
		}
		if e == last {
			b.first = append(b.first, int32(len(b.edges)))
			return open
		}
	}
}

// finish works out depths and cuts. A block is closed before the one above it,
// so the last has the least depth.
func (b *Blocks) finish() {
	b.depth = make([]int32, len(b.head))
	heads := make([]bool, len(b.up))
	for block := len(b.head) - 1; block >= 0; block-- {
		head := b.head[block]
		if above := b.up[head]; above >= 0 {
			b.depth[block] = b.depth[above] + 1
			b.cut[head] = true
		} else {
			b.depth[block] = 1
			b.cut[head] = heads[head] // a root with two blocks
		}
		heads[head] = true
	}
}

// stage is one block on the way from one vertex to another, with the vertices
// by which the way comes in and goes out.
type stage struct{ block, in, out int32 }

// chain returns the blocks that every simple path from s to t runs through, in
// order; false if nothing joins the two.
func (b *Blocks) chain(s, t int32) ([]stage, bool) {
	if b.root[s] != b.root[t] {
		return nil, false
	}
	var out, back []stage
	for s != t {
		upS, upT := b.up[s], b.up[t]
		if upS == upT {
			out = append(out, stage{upS, s, t})
			break
		}
		if upS < 0 || (upT >= 0 && b.depth[upT] > b.depth[upS]) {
			back = append(back, stage{upT, b.head[upT], t})
			t = b.head[upT]
		} else {
			out = append(out, stage{upS, s, b.head[upS]})
			s = b.head[upS]
		}
	}
	for i := len(back) - 1; i >= 0; i-- {
		out = append(out, back[i])
	}
	return out, true
}

// inBlock returns the edges of a block.
func (b *Blocks) inBlock(block int32) []int32 {
	return b.edges[b.first[block]:b.first[block+1]]
}

// beyond says whether a bridge lies between a vertex and the root of the bridge's
// piece.
func (b *Blocks) beyond(bridge, v int32) bool {
	foot := b.foot[b.of[bridge]]
	return b.met[foot] <= b.met[v] && b.met[v] <= b.left[foot]
}

// Count returns how many blocks there are, bridges included.
func (b *Blocks) Count() int { return len(b.head) }

// BlockOf returns the number of the edge's block; -1 if it is absent.
func (b *Blocks) BlockOf(edge int) int { return int(b.of[edge]) }

// Edges returns the edges of a block, rising.
func (b *Blocks) Edges(block int) []int {
	var out []int
	for _, id := range b.inBlock(int32(block)) {
		out = append(out, int(id))
	}
	slices.Sort(out)
	return out
}

// SameBlock says whether a loop runs through both edges.
func (b *Blocks) SameBlock(e, f int) bool {
	return b.of[e] >= 0 && b.of[e] == b.of[f] && (e == f || !b.Bridge(e))
}

// Bridge says whether the edge is the only way between its ends.
func (b *Blocks) Bridge(edge int) bool {
	return b.of[edge] >= 0 && len(b.inBlock(b.of[edge])) == 1
}

// Parts says whether every path from s to t runs through the edge. Cost: none to
// speak of, however long the paths are.
func (b *Blocks) Parts(edge, s, t int) bool {
	return b.Bridge(edge) && b.beyond(int32(edge), int32(s)) != b.beyond(int32(edge), int32(t))
}

// Articulation says whether taking the vertex away parts what is joined.
func (b *Blocks) Articulation(vertex int) bool { return b.cut[vertex] }

// Joined says whether the edges join two vertices.
func (b *Blocks) Joined(s, t int) bool { return b.root[s] == b.root[t] }

// Root returns a number that is the same for all vertices which the edges join.
func (b *Blocks) Root(t int) int { return int(b.root[t]) }

// Between returns the edges that lie on a simple path from s to t, rising;
// none if nothing joins the two. Cost: their number.
func (b *Blocks) Between(s, t int) []int {
	out := []int{}
	stages, _ := b.chain(int32(s), int32(t))
	for _, stage := range stages {
		for _, id := range b.inBlock(stage.block) {
			out = append(out, int(id))
		}
	}
	slices.Sort(out)
	return out
}

// BridgesBetween returns the edges that every path from s to t runs
// through, in order from s. Cost: the number of blocks between.
func (b *Blocks) BridgesBetween(s, t int) []int {
	out := []int{}
	stages, _ := b.chain(int32(s), int32(t))
	for _, stage := range stages {
		if edges := b.inBlock(stage.block); len(edges) == 1 {
			out = append(out, int(edges[0]))
		}
	}
	return out
}

// ArticulationsBetween returns the vertices, without s and t, that every path
// from s to t runs through, in order from s.
func (b *Blocks) ArticulationsBetween(s, t int) []int {
	out := []int{}
	stages, _ := b.chain(int32(s), int32(t))
	for i, stage := range stages {
		if i > 0 {
			out = append(out, int(stage.in))
		}
	}
	return out
}

// BridgeFlow returns, by edge, what flows over each bridge from its first end to
// its second when so much is put into each vertex. Of edges that are no bridges it
// says nothing: 0.
func (b *Blocks) BridgeFlow(into []float64) []float64 {
	flow := make([]float64, len(b.ends))
	below := slices.Clone(into)
	for _, v := range b.post {
		e := b.from[v]
		if e < 0 {
			continue
		}
		above := b.ends[e][0] + b.ends[e][1] - v
		below[above] += below[v]
		if b.Bridge(int(e)) {
			flow[e] = below[v]
			if b.ends[e][0] == above {
				flow[e] = -below[v]
			}
		}
	}
	return flow
}
