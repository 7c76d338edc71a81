package graphs

import (
	"container/heap"
	"math"
	"slices"

	"bellout/graphs/kit"
)

// Carrying returns the elements that carry at least that share of the meter's
// current, rising: only these can explain, by opening or by a bad joint, a
// reading that is too high by as much. Elements without ohms are among them, but
// for those that another way without ohms bypasses: opening one of these changes
// nothing. With tips that metal without ohms joins, or that nothing joins, the
// elements on every way without ohms count, or none.
//
// Cost: the part of the circuit that the current reaches in such strength. From
// red the strongest currents are followed first; when all that leaves what was
// looked at is less than the share, nothing beyond can carry it.
func (p *Probe) Carrying(minShare float64) []int {
	if math.IsInf(p.Ohms, 1) || p.a == p.b {
		return []int{}
	}
	w := p.walk()
	w.visit(p.a, math.Inf(1))
	for w.leaving >= minShare && w.front.Len() > 0 {
		next := heap.Pop(&w.front).(way)
		if _, seen := w.spot[next.to]; !seen {
			w.visit(next.to, math.Inf(1))
		}
	}
	found := []int{}
	for id, amps := range w.amps {
		if math.Abs(amps) >= minShare*(1-1e-9) {
			found = append(found, id)
		}
	}
	slices.Sort(found)
	return found
}

// walk follows the meter's current from spot to spot. A spot is a set of
// terminals that no ohms join.
type walk struct {
	p       *Probe
	spot    map[int]int     // by terminal: its spot
	amps    map[int]float64 // by element, of those at spots that were visited
	front   front
	leaving float64 // amperes that leave the spots visited
	count   int
}

// way is a current that leaves a visited spot.
type way struct {
	to    int     // terminal
	width float64 // the current, or what of it can have come from red undivided
}

// front is a heap of ways, the widest first.
type front []way

func (w front) Len() int           { return len(w) }
func (w front) Less(i, j int) bool { return w[i].width > w[j].width }
func (w front) Swap(i, j int)      { w[i], w[j] = w[j], w[i] }
func (w *front) Push(x any)        { *w = append(*w, x.(way)) }
func (w *front) Pop() any {
	last := len(*w) - 1
	x := (*w)[last]
	*w = (*w)[:last]
	return x
}

func (p *Probe) walk() *walk {
	return &walk{p: p, spot: map[int]int{}, amps: map[int]float64{}}
}

// visit looks at the spot of a terminal: which elements carry what there. What
// leaves it counts as no wider than the width given.
func (w *walk) visit(start int, width float64) {
	p, c := w.p, w.p.c
	number := w.count
	w.count++
	at := map[int]int32{start: 0}
	members := []int{start}
	var ends [][2]int32
	var elements []int // by edge; those behind are no elements
	reach := func(far int) {
		if _, seen := at[far]; !seen {
			at[far] = int32(len(members))
			members = append(members, far)
		}
	}
	for next := 0; next < len(members); next++ {
		t := members[next]
		w.spot[t] = number
		for _, id := range c.Incident(t) {
			e := &c.Elements[id]
			if p.ohmsOf(int(id)) != 0 || e.A == e.B {
				continue
			}
			reach(c.Far(int(id), t))
			if e.A == t {
				elements = append(elements, int(id))
			}
		}
		for _, far := range p.extra[t] {
			reach(int(far))
		}
	}
	for _, id := range elements {
		ends = append(ends, [2]int32{at[c.Elements[id].A], at[c.Elements[id].B]})
	}
	for i, t := range members {
		for _, far := range p.extra[t] { // from both sides: no element is the only way beside it
			ends = append(ends, [2]int32{int32(i), at[int(far)]})
		}
	}
	w.currents(members, elements, kit.NewGraph(len(members), ends).Blocks(), width)
}

// currents notes what every element at the spot carries, and what leaves it.
func (w *walk) currents(members, elements []int, blocks *kit.Blocks, width float64) {
	p, c := w.p, w.p.c
	into := make([]float64, len(members)) // from the meter and from elements with ohms
	for i, t := range members {
		if t == p.a {
			into[i]++
		}
		if t == p.b {
			into[i]--
		}
		for _, id := range c.Incident(t) {
			element := int(id)
			out := p.amps(element)
			if out == 0 {
				continue
			}
			w.amps[element] = out
			if c.Elements[element].A != t {
				out = -out
			}
			into[i] -= out
			w.leave(t, c.Far(element, t), out, width)
		}
		for _, path := range p.paths[t] {
			out := p.along(path)
			into[i] -= out
			w.leave(t, path.b, out, width)
		}
	}
	flow := blocks.BridgeFlow(into)
	for edge, id := range elements {
		if blocks.Bridge(edge) {
			w.amps[id] = flow[edge]
		}
	}
}

// leave notes a current out of a terminal of the spot that is being looked at.
func (w *walk) leave(t, far int, out, width float64) {
	_, seen := w.spot[far]
	switch {
	case out > 0 && !seen:
		w.leaving += out
		heap.Push(&w.front, way{far, min(width, out)})
	case out < 0 && seen && w.spot[far] != w.spot[t]:
		w.leaving += out
	}
}
