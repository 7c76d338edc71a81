package kit

import (
	"cmp"
	"math/bits"
	"slices"
)

// waysWork bounds the lanes looked at while the ways through one block are
// listed.
const waysWork = 20_000_000

// CountLimit is where counts of ways end: a count that reaches it means that many
// or more. Every number below prints exactly in any JSON reader.
const CountLimit = 1_000_000_000_000_000

// AddCounts adds two counts of ways.
func AddCounts(a, b uint64) uint64 { return min(a+b, CountLimit) }

// MultiplyCounts multiplies two counts of ways.
func MultiplyCounts(a, b uint64) uint64 {
	if high, low := bits.Mul64(a, b); high == 0 {
		return min(low, CountLimit)
	}
	return CountLimit
}

// Ways are simple paths between two vertices: the shortest that fit a limit,
// as lists of edges, and how many there are in all, parallel edges told apart.
type Ways struct {
	List  [][]int32 // the shortest first
	Total uint64    // CountLimit: that many or more
	Exact bool      // false: there are at least Total
}

// Ways lists the simple paths from a to b block by block: through a
// block they are independent of those through the next, so that their numbers
// multiply.
func (g *Graph) Ways(tree *Blocks, a, b int32, limit int) Ways {
	stages, joined := tree.chain(a, b)
	if !joined {
		return Ways{Exact: true}
	}
	all := Ways{List: [][]int32{{}}, Total: 1, Exact: true}
	var single []int32 // bridges in a row
	for _, stage := range stages {
		if edges := tree.inBlock(stage.block); len(edges) == 1 {
			single = append(single, edges[0])
			continue
		}
		all.List = joinWays(all.List, [][]int32{single}, limit)
		single = nil
		through := g.waysThrough(tree.inBlock(stage.block), stage.in, stage.out, limit)
		all.List = joinWays(all.List, through.List, limit)
		all.Total = MultiplyCounts(all.Total, through.Total)
		all.Exact = all.Exact && through.Exact
	}
	all.List = joinWays(all.List, [][]int32{single}, limit)
	all.Exact = all.Exact && all.Total < CountLimit
	return all
}

// joinWays returns the shortest of all ways a then b, both lists sorted by
// length. Of the best n pairs none can have (i+1)(j+1) > n: as many are no
// longer.
func joinWays(a, b [][]int32, limit int) [][]int32 {
	if len(b) == 1 && len(b[0]) == 0 {
		return a
	}
	type pair struct{ length, i, j int }
	var pairs []pair
	for i := range a {
		for j := 0; j < len(b) && (i+1)*(j+1) <= limit; j++ {
			pairs = append(pairs, pair{len(a[i]) + len(b[j]), i, j})
		}
	}
	slices.SortStableFunc(pairs, func(p, q pair) int { return cmp.Compare(p.length, q.length) })
	joined := make([][]int32, 0, min(limit, len(pairs)))
	for _, p := range pairs[:min(limit, len(pairs))] {
		joined = append(joined, slices.Concat(a[p.i], b[p.j]))
	}
	return joined
}

// waysThrough lists the simple paths through one block.
func (g *Graph) waysThrough(edges []int32, in, out int32, limit int) Ways {
	edges = slices.Sorted(slices.Values(edges))
	number := map[int32]int32{}
	var vertices []int32
	for _, e := range edges {
		for _, v := range g.Ends[e] {
			if _, met := number[v]; !met {
				number[v] = 0
				vertices = append(vertices, v)
			}
		}
	}
	slices.Sort(vertices)
	for i, v := range vertices {
		number[v] = int32(i)
	}
	ends := make([][2]int32, len(edges))
	for i, e := range edges {
		ends[i] = [2]int32{number[g.Ends[e][0]], number[g.Ends[e][1]]}
	}
	block := NewGraph(len(vertices), ends)
	m := newMaze(block, number[in], number[out], limit)
	m.walk(m.in)
	found := Ways{List: m.found, Total: uint64(len(m.found)), Exact: true}
	if m.stopped {
		// Every ear of an ear decomposition adds a path at least.
		found.Total, found.Exact = max(uint64(len(m.found)), uint64(len(edges)-len(vertices)+2)), false
		found.List = found.List[:min(limit, len(found.List))]
	}
	slices.SortStableFunc(found.List, func(a, b []int32) int { return cmp.Compare(len(a), len(b)) })
	for _, way := range found.List {
		for i, e := range way {
			way[i] = edges[e]
		}
	}
	return found
}

// lane is a run of edges without a branch, between two hubs.
type lane struct {
	a, b  int32
	edges []int32 // from a to b
}

// maze is a block with its runs drawn together, being searched for ways.
type maze struct {
	in, out int32
	lanes   []lane
	at      [][]int32 // by vertex: its lanes, the nearest way out first
	onPath  []bool
	path    []Stride // lanes, and the vertex where each begins
	limit   int
	found   [][]int32
	work    int
	stopped bool // more than limit ways, or too much work
}

func newMaze(g *Graph, in, out int32, limit int) *maze {
	m := &maze{in: in, out: out, limit: limit, at: make([][]int32, g.vertices()), onPath: make([]bool, g.vertices())}
	hub := func(v int32) bool { return v == in || v == out || len(g.At(v)) != 2 }
	used := make([]bool, len(g.Ends))
	for v := range int32(g.vertices()) {
		if !hub(v) {
			continue
		}
		for _, e := range g.At(v) {
			if used[e] {
				continue
			}
			run := lane{a: v, b: v}
			for {
				used[e] = true
				run.edges = append(run.edges, e)
				run.b = g.Far(e, run.b)
				if hub(run.b) {
					break
				}
				if pair := g.At(run.b); pair[0] == e {
					e = pair[1]
				} else {
					e = pair[0]
				}
			}
			m.at[run.a] = append(m.at[run.a], int32(len(m.lanes)))
			m.at[run.b] = append(m.at[run.b], int32(len(m.lanes)))
			m.lanes = append(m.lanes, run)
		}
	}
	home := g.nearestFrom(out)
	for v := range m.at {
		slices.SortStableFunc(m.at[v], func(a, b int32) int {
			costA := len(m.lanes[a].edges) + int(home.far[m.farEnd(a, int32(v))])
			costB := len(m.lanes[b].edges) + int(home.far[m.farEnd(b, int32(v))])
			return cmp.Compare(costA, costB)
		})
	}
	return m
}

func (m *maze) farEnd(l, v int32) int32 { return m.lanes[l].a + m.lanes[l].b - v }

// walk goes on from v, the end of the path so far. It steps only to where the
// way out is still open, so that no step is in vain.
func (m *maze) walk(v int32) {
	if v == m.out {
		if len(m.found) == m.limit {
			m.stopped = true // one more than fits
			return
		}
		m.found = append(m.found, m.edges())
		return
	}
	m.onPath[v] = true
	open := m.open()
	for _, l := range m.at[v] {
		w := m.farEnd(l, v)
		if !open[w] || m.stopped {
			continue
		}
		m.path = append(m.path, Stride{l, v})
		m.walk(w)
		m.path = m.path[:len(m.path)-1]
	}
	m.onPath[v] = false
}

// open marks the vertices from which the way out is open.
func (m *maze) open() []bool {
	reached := make([]bool, len(m.at))
	reached[m.out] = true
	queue := []int32{m.out}
	for at := 0; at < len(queue); at++ {
		for _, l := range m.at[queue[at]] {
			if w := m.farEnd(l, queue[at]); !reached[w] && !m.onPath[w] {
				reached[w] = true
				queue = append(queue, w)
			}
		}
		m.work += len(m.at[queue[at]])
	}
	if m.work > waysWork {
		m.stopped = true
	}
	return reached
}

func (m *maze) edges() []int32 {
	var edges []int32
	for _, step := range m.path {
		run := m.lanes[step.Edge]
		if run.a == step.From {
			edges = append(edges, run.edges...)
			continue
		}
		for i := len(run.edges) - 1; i >= 0; i-- {
			edges = append(edges, run.edges[i])
		}
	}
	return edges
}
