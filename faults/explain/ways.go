package explain

import (
	"container/heap"

	"bellout/graphs"
)

// way is one way of a meter's current: terminals from tip to tip, and the
// elements between them. Elements are numbered as in the circuit at rest.
type way struct {
	terminals []int
	elements  []int
	ohms      float64
}

// ways returns the ways of least resistance between an item's tips, under its
// conditions: the least first, then, while parts lie on it, others that avoid
// the parts of those before.
func (x *Explainer) ways(item *Item) []way {
	c := x.judge.View(item.Reading.Conditions)
	avoid := map[int]bool{}
	var ways []way
	for range mostWays {
		next, found := leastWay(c, item.Red, item.Black, avoid)
		if !found {
			break
		}
		ways = append(ways, next)
		parts := 0
		for _, id := range next.elements {
			if c.Elements[id].Kind == graphs.Resistance {
				avoid[id] = true
				parts++
			}
		}
		if parts == 0 {
			break
		}
	}
	return ways
}

// leastWay is Dijkstra's algorithm over ohms; each metal element counts a
// microhm besides, so that of ways of no resistance the one of fewest steps
// wins.
func leastWay(c *graphs.Circuit, from, to int, avoid map[int]bool) (way, bool) {
	const step = 1e-6
	ohms := map[int]float64{from: 0}
	by := map[int]int{}
	done := map[int]bool{}
	queue := &reached{{from, 0}}
	for queue.Len() > 0 {
		at := heap.Pop(queue).(reach)
		if done[at.terminal] {
			continue
		}
		done[at.terminal] = true
		if at.terminal == to {
			break
		}
		for _, id := range c.Incident(at.terminal) {
			e := c.Elements[id]
			if avoid[int(id)] || !e.Joins() && !(e.Present && e.Kind == graphs.Resistance) {
				continue
			}
			far := c.Far(int(id), at.terminal)
			next := at.ohms + e.Ohms + step
			if known, seen := ohms[far]; !seen || next < known-1e-15 {
				ohms[far], by[far] = next, int(id)
				heap.Push(queue, reach{far, next})
			}
		}
	}
	if !done[to] {
		return way{}, false
	}
	found := way{terminals: []int{to}, ohms: ohms[to]}
	for t := to; t != from; {
		id := by[t]
		t = c.Far(id, t)
		found.terminals = append(found.terminals, t)
		found.elements = append(found.elements, id)
	}
	reverse(found.terminals)
	reverse(found.elements)
	return found, true
}

func reverse(list []int) {
	for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
		list[i], list[j] = list[j], list[i]
	}
}

type reach struct {
	terminal int
	ohms     float64
}

type reached []reach

func (r reached) Len() int { return len(r) }
func (r reached) Less(i, j int) bool {
	if r[i].ohms != r[j].ohms {
		return r[i].ohms < r[j].ohms
	}
	return r[i].terminal < r[j].terminal
}
func (r reached) Swap(i, j int) { r[i], r[j] = r[j], r[i] }
func (r *reached) Push(v any)   { *r = append(*r, v.(reach)) }
func (r *reached) Pop() any {
	old := *r
	last := old[len(old)-1]
	*r = old[:len(old)-1]
	return last
}

// sides are the terminals that metal joins to each tip under the conditions.
type sides struct {
	red, black       []int
	onBlack, visited map[int]bool
}

func (x *Explainer) sidesOf(item *Item) sides {
	c := x.judge.View(item.Reading.Conditions)
	var s sides
	s.red, s.visited = metalFrom(c, item.Red)
	s.black, s.onBlack = metalFrom(c, item.Black)
	return s
}

func metalFrom(c *graphs.Circuit, tip int) ([]int, map[int]bool) {
	seen := map[int]bool{tip: true}
	list := []int{tip}
	for i := 0; i < len(list); i++ {
		for _, id := range c.Incident(list[i]) {
			if far := c.Far(int(id), list[i]); c.Elements[id].Joins() && !seen[far] {
				seen[far] = true
				list = append(list, far)
			}
		}
	}
	return list, seen
}
