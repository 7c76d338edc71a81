package faults

import (
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// shuntOhms is the most that a resistance may have to be no part for the rules but
// a piece of the way, as a shunt that measures current is: what reads so is metal.
const shuntOhms = judge.MetalBelowOhms

// isShunt says whether a resistance is a shunt: of next to no ohms, and not a
// load's own.
func (b *Bench) isShunt(e graphs.Element) bool {
	if e.Kind != graphs.Resistance || !e.Present || e.Ohms > shuntOhms {
		return false
	}
	own := func(t int) bool { return b.role(t) == model.RoleFeed || b.role(t) == model.RoleReturn }
	return !own(e.A) && !own(e.B)
}

// acrossShunts gives the nets at both ends of each shunt what either of them holds.
func (b *Bench) acrossShunts(c *graphs.Circuit, give func(from, to int)) {
	var shunts []graphs.Element
	for _, e := range c.Elements {
		if b.isShunt(e) {
			shunts = append(shunts, e)
		}
	}
	nets := c.Nets()
	for range shunts { // one after another
		for _, e := range shunts {
			give(nets.Of[e.A], nets.Of[e.B])
			give(nets.Of[e.B], nets.Of[e.A])
		}
	}
}

// anchorShunts holds a net behind a shunt to what the net before it is held to.
func (b *Bench) anchorShunts(anchors map[int]anchor) {
	held := map[int][]anchor{} // by net of Drawn
	nets := b.Drawn.Nets()
	for t, x := range anchors {
		if net := nets.Of[t]; x.kind >= anchorRail && !slices.Contains(held[net], x) {
			held[net] = append(held[net], x)
		}
	}
	for _, e := range b.Drawn.Elements {
		if !b.isShunt(e) {
			continue
		}
		for _, ends := range [2][2]int{{e.A, e.B}, {e.B, e.A}} {
			near, far := nets.Of[ends[0]], nets.Of[ends[1]]
			_, anchored := anchors[ends[1]]
			if near == far || anchored || len(held[near]) == 0 || slices.ContainsFunc(held[near], func(x anchor) bool {
				return slices.ContainsFunc(held[near], func(y anchor) bool { return b.clash(x, y) != "" })
			}) {
				continue
			}
			x := slices.MinFunc(held[near], func(x, y anchor) int { return int(x.kind) - int(y.kind) })
			if !slices.Contains(held[far], x) {
				held[far] = append(held[far], x)
			}
			anchors[ends[1]] = x
		}
	}
}
