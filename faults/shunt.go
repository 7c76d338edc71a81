package faults

import (
	"cmp"
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
func (b *Analysis) isShunt(e graphs.Element) bool {
	if e.Kind != graphs.Resistance || !e.Present || e.Ohms > shuntOhms {
		return false
	}
	own := func(t int) bool { return b.role(t) == model.RoleFeed || b.role(t) == model.RoleReturn }
	return !own(e.A) && !own(e.B)
}

// acrossShunts gives the nets at both ends of each shunt what either of them holds.
func (b *Analysis) acrossShunts(c *graphs.Circuit, give func(from, to int)) {
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

// anchorShunts holds a net behind a shunt to what the net before it is held to, one
// shunt after the other: all that are as far from what holds them at once, so that
// the order of rows does not matter.
func (b *Analysis) anchorShunts(anchors map[int]anchor) {
	least := func(x, y anchor) int { return cmp.Or(cmp.Compare(x.kind, y.kind), cmp.Compare(x.of, y.of)) }
	nets := b.AsDrawn.Nets()
	held := map[int][]anchor{} // by net of Drawn
	hold := func(t int, x anchor) {
		if net := nets.Of[t]; x.kind >= anchorRail && !slices.Contains(held[net], x) {
			held[net] = append(held[net], x)
		}
	}
	for t, x := range anchors {
		hold(t, x)
	}
	clashes := func(list []anchor) bool {
		return slices.ContainsFunc(list, func(x anchor) bool {
			return slices.ContainsFunc(list, func(y anchor) bool { return b.clash(x, y) != "" })
		})
	}
	for {
		reached := map[int][]anchor{} // by terminal
		for _, e := range b.AsDrawn.Elements {
			if !b.isShunt(e) {
				continue
			}
			goes := map[int]anchor{} // by the end that it comes to
			for _, ends := range [2][2]int{{e.A, e.B}, {e.B, e.A}} {
				near, far := nets.Of[ends[0]], nets.Of[ends[1]]
				if _, anchored := anchors[ends[1]]; near != far && !anchored && len(held[near]) > 0 && !clashes(held[near]) {
					goes[ends[1]] = slices.MinFunc(held[near], least)
				}
			}
			if len(goes) == 2 { // a rail on one side and 0 V on the other: as the link is written
				delete(goes, e.A)
			}
			for t, x := range goes {
				reached[t] = append(reached[t], x)
			}
		}
		if len(reached) == 0 {
			return
		}
		for t, list := range reached {
			anchors[t] = slices.MinFunc(list, least)
			for _, x := range list {
				hold(t, x)
			}
		}
	}
}
