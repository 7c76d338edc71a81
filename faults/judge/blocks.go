package judge

import (
	"bellout/graphs"
	"bellout/graphs/kit"
)

// blocks are the biconnected parts of today's metal and some touches, in the
// nets that the touches meet: a touch lies on a simple path between two
// terminals exactly when its block lies on the way of blocks between them.
type blocks struct {
	*kit.Blocks
	vertex map[int]int // by terminal in the nets looked at
	metal  int         // edges: those from it on are touches
}

// findBlocks looks at the nets that hold an end of a touch. Cost: linear in them.
func findBlocks(c *graphs.Circuit, touches []touch) *blocks {
	found := &blocks{vertex: map[int]int{}}
	nets := c.Nets()
	for _, t := range touches {
		for _, end := range [2]int{t.a, t.b} {
			if _, met := found.vertex[end]; met {
				continue
			}
			for _, other := range nets.Net(end).Terminals {
				found.vertex[other] = len(found.vertex)
			}
		}
	}
	var ends [][2]int32
	edge := func(a, b int) { ends = append(ends, [2]int32{int32(found.vertex[a]), int32(found.vertex[b])}) }
	for t := range found.vertex {
		for _, id := range c.Incident(t) {
			if e := c.Elements[id]; e.Joins() && e.A == t {
				edge(e.A, e.B)
			}
		}
	}
	found.metal = len(ends)
	for _, t := range touches {
		edge(t.a, t.b)
	}
	found.Blocks = kit.NewGraph(len(found.vertex), ends).Blocks()
	return found
}

// between says whether metal and touches join two terminals, as far as they were
// looked at, and whether a touch lies on a simple path between them. Terminals that
// no touch's net holds are not joined by them.
func (b *blocks) between(x, y int) (joined, touched bool) {
	s, knownX := b.vertex[x]
	t, knownY := b.vertex[y]
	if !knownX || !knownY || !b.Joined(s, t) {
		return false, false
	}
	edges := b.Between(s, t)
	return true, len(edges) > 0 && edges[len(edges)-1] >= b.metal // rising
}
