package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/graphs/kit"
)

// switchedOn is the whole machine on: Apart with the contacts closed that are
// open at rest, so that no load hides behind one. Drivers are on anyway.
type switchedOn struct {
	circuit *graphs.Circuit
	closed  []int // the contacts that are closed besides
}

// On returns the whole machine on. A contact stays as the map has it where
//
//   - another contact of the device that shares a terminal with it is closed: a
//     changeover has one throw at a time, and of several open ones the first by
//     name closes that does no harm;
//   - the map's culprit is that it joins nets that must not meet;
//   - closing it would join what must not be joined.
//
// Contacts on the feed side close before those that lead to 0 V or earth: a
// brake gives way to the drive. Cost: nearly linear.
func (b *Analysis) On() *graphs.Circuit {
	b.onOnce.Do(func() {
		b.on = switchedOn{circuit: b.AsIntended, closed: b.contactsToClose()}
		if len(b.on.closed) > 0 {
			b.on.circuit = b.AsIntended.Closed(b.on.closed...)
		}
	})
	return b.on.circuit
}

func (b *Analysis) contactsToClose() []int {
	var open []int
	thrown := map[int]bool{} // terminals of which a contact is closed
	for id, e := range b.AsIntended.Elements {
		switch {
		case e.Kind != graphs.Contact:
		case b.AsDrawn.Elements[id].Present:
			thrown[e.A], thrown[e.B] = true, true
		default:
			open = append(open, id)
		}
	}
	if len(open) == 0 {
		return nil
	}
	slices.SortFunc(open, b.compareElements)

	nets := b.AsIntended.Nets()
	joined := kit.NewSets[int32](len(nets.List))
	classes := map[int32][]anchor{}
	for t, x := range b.findAnchors() {
		if net := int32(nets.Of[t]); !slices.Contains(classes[net], x) {
			classes[net] = append(classes[net], x)
		}
	}
	grounded := func(net int32) bool {
		return slices.ContainsFunc(classes[net], func(x anchor) bool { return x.kind == anchorZero || x.kind == anchorEarth })
	}
	harms := func(one, other int32) bool {
		return slices.ContainsFunc(classes[one], func(x anchor) bool {
			return slices.ContainsFunc(classes[other], func(y anchor) bool { return b.clash(x, y) != "" })
		})
	}
	var closed []int
	for _, towardsGround := range [2]bool{false, true} {
		for _, id := range open {
			e := b.AsIntended.Elements[id]
			if thrown[e.A] || thrown[e.B] {
				continue
			}
			one, other := joined.Find(int32(nets.Of[e.A])), joined.Find(int32(nets.Of[e.B]))
			if !towardsGround && (grounded(one) || grounded(other)) {
				continue
			}
			if one != other {
				if harms(one, other) {
					continue
				}
				joined.Union(one, other)
				both := classes[other]
				for _, x := range classes[one] {
					if !slices.Contains(both, x) {
						both = append(both, x)
					}
				}
				classes[joined.Find(one)] = both
			}
			thrown[e.A], thrown[e.B] = true, true
			closed = append(closed, id)
		}
	}
	return closed
}
