package graphs

import (
	"cmp"
	"slices"
)

// waysWork bounds the lanes looked at while the ways through one block are
// listed.
const waysWork = 20_000_000

// ways are simple paths between two vertices: the shortest that fit a limit,
// as lists of edges, and how many there are in all.
type ways struct {
	list  [][]int32 // the shortest first
	total uint64    // countLimit: that many or more
	exact bool      // false: there are at least total
}

// waysBetween lists the simple paths from a to b block by block: through a
// block they are independent of those through the next, so that their numbers
// multiply.
func (g *web) waysBetween(tree *blockTree, a, b int32, limit int) ways {
	stages, joined := tree.chain(a, b)
	if !joined {
		return ways{exact: true}
	}
	all := ways{list: [][]int32{{}}, total: 1, exact: true}
	var single []int32 // bridges in a row
	for _, stage := range stages {
		if edges := tree.inBlock(stage.block); len(edges) == 1 {
			single = append(single, edges[0])
			continue
		}
		all.list = joinWays(all.list, [][]int32{single}, limit)
		single = nil
		through := g.waysThrough(tree.inBlock(stage.block), stage.in, stage.out, limit)
		all.list = joinWays(all.list, through.list, limit)
		all.total = multiplyCounts(all.total, through.total)
		all.exact = all.exact && through.exact
	}
	all.list = joinWays(all.list, [][]int32{single}, limit)
	all.exact = all.exact && all.total < countLimit
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
func (g *web) waysThrough(edges []int32, in, out int32, limit int) ways {
	edges = slices.Sorted(slices.Values(edges))
	number := map[int32]int32{}
	var vertices []int32
	for _, e := range edges {
		for _, v := range g.ends[e] {
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
		ends[i] = [2]int32{number[g.ends[e][0]], number[g.ends[e][1]]}
	}
	block := newWeb(len(vertices), ends)
	m := newMaze(block, number[in], number[out], limit)
	m.walk(m.in)
	found := ways{list: m.found, total: uint64(len(m.found)), exact: true}
	if m.stopped {
		found.total, found.exact = block.countPaths(m.in, m.out)
		found.total = max(found.total, uint64(len(m.found)))
		found.list = found.list[:min(limit, len(found.list))]
	}
	slices.SortStableFunc(found.list, func(a, b []int32) int { return cmp.Compare(len(a), len(b)) })
	for _, way := range found.list {
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
	path    []stride // lanes, and the vertex where each begins
	limit   int
	found   [][]int32
	work    int
	stopped bool // more than limit ways, or too much work
}

func newMaze(g *web, in, out int32, limit int) *maze {
	m := &maze{in: in, out: out, limit: limit, at: make([][]int32, g.vertices()), onPath: make([]bool, g.vertices())}
	hub := func(v int32) bool { return v == in || v == out || len(g.at(v)) != 2 }
	used := make([]bool, len(g.ends))
	for v := range int32(g.vertices()) {
		if !hub(v) {
			continue
		}
		for _, e := range g.at(v) {
			if used[e] {
				continue
			}
			run := lane{a: v, b: v}
			for {
				used[e] = true
				run.edges = append(run.edges, e)
				run.b = g.far(e, run.b)
				if hub(run.b) {
					break
				}
				if pair := g.at(run.b); pair[0] == e {
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
	home := g.nearestFrom(out, -1, -1)
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
		m.path = append(m.path, stride{l, v})
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
		run := m.lanes[step.edge]
		if run.a == step.from {
			edges = append(edges, run.edges...)
			continue
		}
		for i := len(run.edges) - 1; i >= 0; i-- {
			edges = append(edges, run.edges[i])
		}
	}
	return edges
}
