package explain

import (
	"slices"

	"bellout/graphs"
)

// earlier is what an explainer knew of a machine before it had its last wire. What
// that wire cannot have changed need not be worked out again.
type earlier struct {
	wire     int // the element that came: those from it on had one number less
	unmoved  *graphs.Unmoved
	items    map[int]*Item // by what they say
	likely   map[likelyKey]kept
	jointly  map[jointKey]kept
	placeIDs map[Place]int32
}

// kept is what an item tells under some hypotheses, worked out once.
type kept struct {
	told
	metal bool // the tips would face metal of no ohms: no further wire changes that
}

// weigh works out what an item tells under some hypotheses.
func (x *Explainer) weigh(item *Item, set ...Hypothesis) kept {
	s := sight(x.judge, item, set...)
	return kept{x.tell(item, s), s.Metal && s.Ohms == 0}
}

// Follow tells an explainer without evidence what another knew of the same machine
// before it had its last wire. The other must not be used afterwards.
func (x *Explainer) Follow(before *Explainer, unmoved *graphs.Unmoved) {
	x.saidAs = before.saidAs
	x.earlier = &earlier{
		wire: len(x.judge.Machine.Wires) - 1, unmoved: unmoved, items: map[int]*Item{},
		likely: before.likely, jointly: before.jointly, placeIDs: before.placeIDs,
	}
	for _, item := range before.items {
		x.earlier.items[item.said] = item
	}
}

// place returns what a place was called before; false if it is about the new wire.
func (e *earlier) place(p Place) (was Place, there bool) {
	for _, id := range [2]*int{&p.Element, &p.Other} {
		if *id == e.wire {
			return p, false
		}
		if *id > e.wire {
			*id--
		}
	}
	return p, true
}

// holds says whether what an item told under some hypotheses before it tells
// still.
func (e *earlier) holds(x *Explainer, value kept, item *Item, set ...Hypothesis) bool {
	was := e.items[item.said]
	if was == nil {
		return false
	}
	now, then := item.Judgement, was.Judgement
	if now.Unmapped != then.Unmapped || now.Sight.Metal != then.Sight.Metal || now.Sight.Decided() != then.Sight.Decided() {
		return false
	}
	terminals := []int{item.Red, item.Black}
	for _, condition := range item.Reading.Conditions {
		for _, ref := range condition.ClippedRefs() {
			if t, found := x.judge.Machine.TerminalIndex(ref); found {
				terminals = append(terminals, t)
			}
		}
	}
	c := x.judge.Rest
	for _, h := range set {
		for _, change := range h.Changes(c) {
			if change.Element == e.wire {
				return false
			}
			if change.Element >= 0 {
				terminals = append(terminals, c.Elements[change.Element].A, c.Elements[change.Element].B)
			} else {
				terminals = append(terminals, change.A, change.B)
			}
		}
	}
	return value.metal || e.unmoved.Between(terminals...)
}

// told returns what an item told under a hypothesis before, if it tells it still.
func (e *earlier) told(x *Explainer, item *Item, h Hypothesis) (value kept, holds bool) {
	if e == nil {
		return kept{}, false
	}
	place, there := e.place(h.Place)
	if !there {
		return kept{}, false
	}
	value, known := e.likely[likelyKey{place, item.said}]
	if !known || !value.concerned || !e.holds(x, value, item, h) {
		return kept{}, false
	}
	return value, true
}

// toldJointly is told for several hypotheses at once.
func (e *earlier) toldJointly(x *Explainer, item *Item, set []Hypothesis) (value kept, holds bool) {
	if e == nil {
		return kept{}, false
	}
	ids := make([]int32, len(set))
	for k, h := range set {
		place, there := e.place(h.Place)
		id, known := e.placeIDs[place]
		if !there || !known {
			return kept{}, false
		}
		ids[k] = id
	}
	slices.Sort(ids)
	value, known := e.jointly[jointKey{placesKey(ids), item.said}]
	if !known || !e.holds(x, value, item, set...) {
		return kept{}, false
	}
	return value, true
}
