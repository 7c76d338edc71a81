package faults

import (
	"math"

	"bellout/graphs"
	"bellout/model"
)

// leadMetres is how far from its source a lead may end at the first fuse without
// one before it: 7 inches, as small-craft wiring has it (from memory; common
// practice elsewhere too).
const leadMetres = 0.18

// shortLeads divides the wires that a source can burn into those that lead to
// nothing but fuses, all of it close to the source, and the rest.
func (pr *protection) shortLeads(one exposure) (short, long exposure) {
	short, long = one, one
	short.wires, long.wires = nil, nil
	if one.source.mains {
		return short, one
	}
	far := pr.metresFrom(one.source.terminal)
	for _, id := range one.wires {
		if e := pr.p.b.AsIntended.Elements[id]; max(far[e.A], far[e.B]) <= leadMetres*(1+1e-9) && pr.endsAtFuse(id, one.source.terminal, far) {
			short.wires = append(short.wires, id)
		} else {
			long.wires = append(long.wires, id)
		}
	}
	return short, long
}

// metresFrom returns how many metres of wire lie between a source and each
// terminal that metal joins to it without a fuse; a wire of unknown length is
// endless.
func (pr *protection) metresFrom(source int) map[int]float64 {
	c := pr.p.b.AsIntended
	far := map[int]float64{source: 0}
	for queue := []int{source}; len(queue) > 0; queue = queue[1:] {
		t := queue[0]
		for _, id := range c.Incident(t) {
			if !pr.bare(int(id)) {
				continue
			}
			metres := far[t]
			if e := c.Elements[id]; e.Kind == graphs.Wire {
				metres += pr.p.b.Machine.Wires[e.Row].LengthMetres.Or(math.Inf(1))
			}
			to := c.Far(int(id), t)
			if known, seen := far[to]; !seen || metres < known {
				far[to] = metres
				queue = append(queue, to)
			}
		}
	}
	return far
}

// bare says whether an element is metal without a fuse.
func (pr *protection) bare(id int) bool {
	e := pr.p.b.AsIntended.Elements[id]
	return e.Present && (e.Kind == graphs.Wire || e.Kind == graphs.Solid)
}

// endsAtFuse says whether all that hangs on a wire, seen from the source, ends
// with it, or close to the source, and at fuses or another source's return.
func (pr *protection) endsAtFuse(wire, source int, far map[int]float64) bool {
	c := pr.p.b.AsIntended
	e := c.Elements[wire]
	start := e.A
	if far[e.B] > far[e.A] {
		start = e.B
	}
	seen := map[int]bool{start: true}
	for stack := []int{start}; len(stack) > 0; {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if role := pr.p.b.role(t); t != start && far[t] > max(far[start], leadMetres*(1+1e-9)) || t == source || role == model.RoleFeed || role == model.RoleDrive {
			return false
		}
		for _, id := range c.Incident(t) {
			if int(id) == wire || c.Elements[id].Kind == graphs.Fuse {
				continue
			}
			if !pr.bare(int(id)) {
				if c.Elements[id].Kind.Metal() && !c.Elements[id].Present && c.Elements[id].Kind != graphs.Contact {
					continue // a wire taken out
				}
				return false
			}
			if to := c.Far(int(id), t); !seen[to] {
				seen[to] = true
				stack = append(stack, to)
			}
		}
	}
	return true
}
