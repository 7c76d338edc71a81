package judge

import "bellout/graphs"

// blocks are the biconnected parts of today's metal and some touches, in the
// nets that the touches meet: a touch lies on a simple path between two
// terminals exactly when its block lies on the way of blocks between them.
type blocks struct {
	component map[int]int // of terminals in the nets looked at
	// The tree of blocks and terminals: above[t] is the block over terminal t,
	// top[b] the terminal over block b; -1 at a root.
	above   map[int]int
	top     []int
	touched []bool // by block
	depth   map[int]int
}

// unionEdge is one way on from a terminal; id tells parallel ones apart.
type unionEdge struct {
	to, id  int
	touched bool
}

// findBlocks walks the nets that hold an end of a touch. Cost: linear in them.
func findBlocks(c *graphs.Circuit, touches []touch) *blocks {
	found := &blocks{component: map[int]int{}, above: map[int]int{}, depth: map[int]int{}}
	added := map[int][]unionEdge{}
	for i, t := range touches {
		id := len(c.Elements) + i
		added[t.a] = append(added[t.a], unionEdge{t.b, id, true})
		added[t.b] = append(added[t.b], unionEdge{t.a, id, true})
	}
	edges := func(t int) []unionEdge {
		list := append([]unionEdge(nil), added[t]...)
		for _, id := range c.Incident(t) {
			if c.Elements[id].Joins() {
				list = append(list, unionEdge{c.Far(int(id), t), int(id), false})
			}
		}
		return list
	}
	for i, t := range touches {
		if _, done := found.component[t.a]; !done {
			found.walk(t.a, i, edges)
		}
	}
	return found
}

// frame is one terminal on the way of the depth-first search.
type frame struct {
	t, by int // by: the edge that led here
	edges []unionEdge
	next  int
}

// walk finds the blocks of one component by depth-first search (Hopcroft and
// Tarjan 1973, from memory), without recursion: nets may be long chains.
func (b *blocks) walk(root, component int, edges func(int) []unionEdge) {
	order := map[int]int{root: 0}
	low := map[int]int{root: 0}
	b.component[root] = component
	b.above[root] = -1
	type edge struct {
		from, to int
		touched  bool
	}
	var pending []edge
	stack := []frame{{t: root, by: -1, edges: edges(root)}}
	for len(stack) > 0 {
		at := &stack[len(stack)-1]
		if at.next < len(at.edges) {
			e := at.edges[at.next]
			at.next++
			if e.id == at.by {
				continue
			}
			if seen, known := order[e.to]; known {
				if seen < order[at.t] {
					low[at.t] = min(low[at.t], seen)
					pending = append(pending, edge{at.t, e.to, e.touched})
				}
				continue
			}
			pending = append(pending, edge{at.t, e.to, e.touched})
			order[e.to] = len(order)
			low[e.to] = order[e.to]
			b.component[e.to] = component
			stack = append(stack, frame{t: e.to, by: e.id, edges: edges(e.to)})
			continue
		}
		stack = stack[:len(stack)-1]
		if len(stack) == 0 {
			break
		}
		parent := stack[len(stack)-1].t
		child := at.t
		low[parent] = min(low[parent], low[child])
		if low[child] < order[parent] {
			continue
		}
		// the edges since parent-child are one block, hung under parent
		number := len(b.top)
		b.top = append(b.top, parent)
		b.touched = append(b.touched, false)
		for {
			last := pending[len(pending)-1]
			pending = pending[:len(pending)-1]
			if last.touched {
				b.touched[number] = true
			}
			for _, t := range [2]int{last.from, last.to} {
				if t != parent {
					if _, known := b.above[t]; !known {
						b.above[t] = number
					}
				}
			}
			if last.from == parent && last.to == child {
				break
			}
		}
	}
	b.measure(order)
}

// measure sets the depth of each terminal in the tree of blocks.
func (b *blocks) measure(terminals map[int]int) {
	for t := range terminals {
		var way []int
		for u := t; ; u = b.top[b.above[u]] {
			if _, known := b.depth[u]; known {
				break
			}
			way = append(way, u)
			if b.above[u] < 0 {
				break
			}
		}
		for i := len(way) - 1; i >= 0; i-- {
			u := way[i]
			if b.above[u] < 0 {
				b.depth[u] = 0
			} else {
				b.depth[u] = b.depth[b.top[b.above[u]]] + 1
			}
		}
	}
}

// between says whether the union joins two terminals, as far as it was looked
// at, and whether a touch lies on a simple path between them. Terminals that no
// touch's net holds are not joined by it.
func (b *blocks) between(x, y int) (joined, touched bool) {
	cx, knownX := b.component[x]
	cy, knownY := b.component[y]
	if !knownX || !knownY || cx != cy {
		return false, false
	}
	for x != y {
		if b.above[x] >= 0 && b.above[x] == b.above[y] {
			return true, touched || b.touched[b.above[x]]
		}
		if b.depth[x] < b.depth[y] {
			x, y = y, x
		}
		touched = touched || b.touched[b.above[x]]
		x = b.top[b.above[x]]
	}
	return true, touched
}
