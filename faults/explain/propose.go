package explain

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// Bounds of what one reading may propose.
const (
	mostWays   = 4  // paths of current looked at
	mostPlaces = 60 // places where two nets may touch
	mostSwaps  = 60
	mostClosed = 24
)

// propose returns the hypotheses that could explain one surprising reading.
func (x *Explainer) propose(item *Item) []Hypothesis {
	if item.high() {
		return x.proposeHigh(item)
	}
	return x.proposeLow(item)
}

// proposeHigh looks along the ways of current for what does not conduct, or not
// well enough.
func (x *Explainer) proposeHigh(item *Item) []Hypothesis {
	var list []Hypothesis
	seenJoint := map[int]bool{}
	for _, way := range x.ways(item) {
		for i, id := range way.elements {
			if id >= len(x.judge.Rest.Elements) {
				continue // a clip lead
			}
			list = append(list, x.highElement(item, id)...)
			for _, t := range x.jointsOn(way, i) {
				if !seenJoint[t] {
					seenJoint[t] = true
					list = append(list, x.highJoint(item, t)...)
				}
			}
		}
	}
	return list
}

// jointsOn returns the terminals at the ends of step i of a way where the wires
// of one joint leave the way if the joint lets go: where the way changes from
// wire to link, and at the tips.
func (x *Explainer) jointsOn(way way, i int) []int {
	c := x.judge.Rest
	if c.Elements[way.elements[i]].Kind != graphs.Wire {
		return nil
	}
	var joints []int
	for _, end := range [2]int{i, i + 1} {
		t := way.terminals[end]
		beyond := i - 1
		if end == i+1 {
			beyond = i + 1
		}
		atTip := beyond < 0 || beyond >= len(way.elements)
		if (atTip || x.kind(way.elements[beyond]) != graphs.Wire) && len(WiresAt(c, t)) > 1 {
			joints = append(joints, t)
		}
	}
	return joints
}

// kind returns what an element is; those that conditions add are clip leads.
func (x *Explainer) kind(id int) graphs.ElementKind {
	if id >= len(x.judge.Rest.Elements) {
		return graphs.Clip
	}
	return x.judge.Rest.Elements[id].Kind
}

func (x *Explainer) highElement(item *Item, id int) []Hypothesis {
	e := x.judge.Rest.Elements[id]
	open, high := at(LinkOpen), at(LinkHigh)
	priors := x.priors
	var chanceOpen, chanceHigh float64
	switch e.Kind {
	case graphs.Wire:
		open, high = at(WireOpen), at(WireHigh)
		chanceOpen = priors.Of("wire-open") + 2*priors.Of("wire-end-loose")
		chanceHigh = 2 * priors.Of("wire-end-high")
		factor := x.handled(id)
		chanceOpen, chanceHigh = chanceOpen*factor, chanceHigh*factor
		if x.blamed[id] {
			chanceOpen = math.Max(chanceOpen, priors.Of("wire-blamed"))
		}
	case graphs.Fuse:
		// the fuse, and the two clips that hold it
		chanceOpen, chanceHigh = priors.Of("fuse-open")+2*priors.Of("contact-open"), 2*priors.Of("contact-high")
	case graphs.Contact:
		chanceOpen, chanceHigh = priors.Of("switch-open"), priors.Of("contact-high")
	case graphs.Resistance:
		open = at(LoadOpen)
		chanceOpen = priors.Of("load-open")
	case graphs.Clip, graphs.Joined:
		return nil
	default:
		chanceOpen, chanceHigh = priors.Of("contact-open"), priors.Of("contact-high")
	}
	open.Element = id
	list := []Hypothesis{{Place: open, Prior: chanceOpen}}
	if !item.sized() || math.IsInf(item.ohms(), 1) {
		return list
	}
	if e.Kind == graphs.Resistance {
		return append(list, x.partValue(item, id)...)
	}
	high.Element = id
	ohms, fits := x.size(item, Hypothesis{Place: high})
	if fits && x.readsOpen(item, list[0]) {
		ohms, fits = x.liftedSize(item, id)
	}
	if fits {
		list = append(list, sizedHypothesis(high, ohms, chanceHigh))
	}
	return list
}

// readsOpen says whether a reading is what a break shows, as far as the parts
// that lie beside it are known. A resistance that is far above theirs reads the
// same, and is no better explanation for being made to measure.
func (x *Explainer) readsOpen(item *Item, open Hypothesis) bool {
	beside := sight(x.judge, item, open).Ohms
	want := item.ohms() - x.judge.Meter.LeadOhms
	return !math.IsInf(beside, 1) && want > 0 && math.Abs(math.Log(want/beside)) < x.judge.Meter.PartSpread
}

func (x *Explainer) highJoint(item *Item, t int) []Hypothesis {
	open, high := at(JointOpen), at(JointHigh)
	open.A, high.A = t, t
	list := []Hypothesis{{Place: open, Prior: x.priors.Of("joint-open")}}
	if item.sized() {
		if ohms, fits := x.size(item, Hypothesis{Place: high}); fits && !x.readsOpen(item, list[0]) {
			list = append(list, sizedHypothesis(high, ohms, x.priors.Of("joint-high")))
		}
	}
	return list
}

func (x *Explainer) partValue(item *Item, id int) []Hypothesis {
	place := at(PartValue)
	place.Element = id
	noted := x.judge.Rest.Elements[id].Ohms
	ohms, fits := x.size(item, Hypothesis{Place: place})
	if !fits || ohms < metalOhms || math.Abs(math.Log(ohms/noted)) > math.Log(mostFactor) {
		return nil
	}
	return []Hypothesis{sizedHypothesis(place, ohms, x.priors.Of("part-value"))}
}

// mostFactor is how far a part may be from what the map says and still be the
// part: shorted turns, another shaft angle, a neighbour of the series.
const mostFactor = 4.0

// size returns the ohms with which a hypothesis that has a size makes the item
// read as it did; false where none does.
func (x *Explainer) size(item *Item, h Hypothesis) (ohms float64, fits bool) {
	want := math.Max(item.ohms()-x.judge.Meter.LeadOhms, 0)
	show := func(size float64) float64 {
		h.Ohms = size
		return sight(x.judge, item, h).Ohms
	}
	low, high := 1e-3, 1e7
	least, most := show(low), show(high)
	if least > want || most < want {
		return 0, false
	}
	middle := math.Sqrt(low * high)
	for range 40 {
		shown := show(middle)
		if shown < want {
			low = middle
		} else {
			high = middle
		}
		// Between two tips one resistance r among others shows as
		// (least + most*g*r) / (1 + g*r), so one look more tells g, and g the r.
		next := middle * (want - least) / (shown - least)
		if !math.IsInf(most, 1) {
			next *= (most - shown) / (most - want)
		}
		if math.Abs(next/middle-1) < 0.005 {
			return next, true
		}
		if middle = next; !(middle > low && middle < high) {
			middle = math.Sqrt(low * high)
		}
		if high/low < 1.01 {
			break
		}
	}
	return math.Sqrt(low * high), true
}

// handled raises the chance of what somebody had in hand lately, and of what
// nobody has seen yet.
func (x *Explainer) handled(wire int) float64 {
	row := x.judge.Machine.Wires[x.judge.Rest.Elements[wire].Row]
	factor := 1.0
	if x.touched[row.From] || x.touched[row.To] {
		factor = 2
	}
	if row.Basis == model.BasisProbed {
		factor /= 2
	}
	return factor
}

// proposeLow looks for what joins two sides that the map has apart.
func (x *Explainer) proposeLow(item *Item) []Hypothesis {
	ohms := 0.0
	if item.sized() {
		if extra := item.ohms() - x.judge.Meter.LeadOhms; extra > metalOhms {
			ohms = extra
		}
	}
	sides := x.sidesOf(item)
	list := x.weldedNotTouching(x.shorts(item, sides, ohms), x.closed(item, sides))
	list = append(list, x.swaps(item, sides)...)
	list = append(list, x.moved(item, sides)...)
	list = append(list, x.patterns(item, sides)...)
	for _, way := range x.ways(item) {
		for _, id := range way.elements {
			if x.kind(id) == graphs.Resistance && item.sized() {
				list = append(list, x.partValue(item, id)...)
			}
		}
	}
	return list
}

func sizedHypothesis(place Place, ohms, prior float64) Hypothesis {
	place = place.sized(ohms)
	switch place.Fault {
	case WireHigh, LinkHigh, JointHigh:
		rare := math.Min(1, rareAboveOhms/max(ohms, 1))
		prior *= sizeShare * rare * rare
	}
	return Hypothesis{Place: place, Ohms: place.bandOhms(), Prior: prior}
}

// sizeShare is the part of a bad joint's chance that falls on about the size that
// a reading shows. Without it a size made to measure would stand as high as a
// break, of which the rest of the network says beforehand what it reads. Sizes
// spread evenly over their logarithm from 0.5 ohm to a kilohm, which is some eight
// e-folds, and a part tells them apart to a fifth or so. Above that they get
// rare, with the square of it: copper that lets go reads as open, and what is then read is an input
// that lies beside. Judgement.
const (
	sizeShare     = 0.045
	rareAboveOhms = 1000
)

// closed proposes links whose position says open, on the map or in the reading's
// conditions, and that would join the two sides. A contact of a changeover that
// conducts keeps the other one from closing, or is welded to it.
func (x *Explainer) closed(item *Item, sides sides) []Hypothesis {
	var list []Hypothesis
	c := x.judge.View(item.Reading.Conditions)
	for _, t := range sides.red {
		for _, id := range c.Incident(t) {
			e := c.Elements[id]
			if e.Present || e.Kind != graphs.Contact && e.Kind != graphs.Fuse || !sides.onBlack[c.Far(int(id), t)] ||
				slices.Contains(item.Reading.Conditions, model.Condition{Kind: model.Unplugged, Device: x.judge.Machine.Links[e.Row].Device}) {
				continue
			}
			place := at(LinkClosed)
			place.Element = int(id)
			chance := x.priors.Of("contact-closed")
			if place.Other = x.otherThrow(int(id)); place.Other >= 0 {
				list = append(list, Hypothesis{Place: place, Prior: chance / 2})
				place.Other, chance = -1, chance/2
			}
			list = append(list, Hypothesis{Place: place, Prior: chance})
		}
		if len(list) >= mostClosed {
			break
		}
	}
	return list
}

// weldedNotTouching puts proposals together: two terminals that touch where a contact
// of theirs should be open are that contact, and no second fault beside it.
func (x *Explainer) weldedNotTouching(shorts, closed []Hypothesis) []Hypothesis {
	shorts = slices.DeleteFunc(shorts, func(short Hypothesis) bool {
		return short.Ohms == 0 && slices.ContainsFunc(closed, func(h Hypothesis) bool {
			e := x.judge.Rest.Elements[h.Element]
			return short.A == e.A && short.B == e.B || short.A == e.B && short.B == e.A
		})
	})
	return append(shorts, closed...)
}

// otherThrow returns the contact of a changeover that is closed while one is open: of
// the same device, at one of its terminals; -1 if there is none.
func (x *Explainer) otherThrow(id int) int {
	c := x.judge.Rest
	e := c.Elements[id]
	if e.Kind != graphs.Contact {
		return -1
	}
	for _, t := range [2]int{e.A, e.B} {
		for _, other := range c.Incident(t) {
			if o := c.Elements[other]; int(other) != id && o.Kind == graphs.Contact && o.Present && x.judge.Machine.Links[o.Row].Device == x.judge.Machine.Links[e.Row].Device {
				return int(other)
			}
		}
	}
	return -1
}

// swaps proposes that two wires, one of each side, were changed over at a
// device where both end, or at the ends of one cable.
func (x *Explainer) swaps(item *Item, sides sides) []Hypothesis {
	c, m := x.judge.Rest, x.judge.Machine
	type end struct{ wire, terminal int }
	meeting := map[string][]end{} // by device, and by cable
	places := func(id, t int) []string {
		if cable := m.Wires[c.Elements[id].Row].Cable; cable != "" {
			return []string{"device " + m.Terminals[t].Device, "cable " + cable}
		}
		return []string{"device " + m.Terminals[t].Device}
	}
	for _, t := range sides.red {
		for _, id := range WiresAt(c, t) {
			for _, place := range places(id, t) {
				meeting[place] = append(meeting[place], end{id, t})
			}
		}
	}
	var list []Hypothesis
	seen := map[Place]bool{}
	for _, t := range sides.black {
		for _, id := range WiresAt(c, t) {
			for _, where := range places(id, t) {
				for _, other := range meeting[where] {
					place := at(Swap)
					place.Element, place.A, place.Other, place.B = other.wire, other.terminal, id, t
					if model.Compare(x.ElementName(place.Other), x.ElementName(place.Element)) < 0 {
						place.Element, place.A, place.Other, place.B = place.Other, place.B, place.Element, place.A
					}
					if !seen[place] && place.Element != place.Other {
						seen[place] = true
						list = append(list, Hypothesis{Place: place})
					}
				}
			}
		}
	}
	near := func(h Hypothesis) int {
		device := m.Terminals[h.A].Device
		if device == item.Reading.Red.Device || device == item.Reading.Black.Device {
			return 0
		}
		return 1
	}
	type named struct {
		Hypothesis
		near int
		name string
	}
	sorted := make([]named, len(list))
	for i, h := range list {
		sorted[i] = named{h, near(h), x.nameOf(h.Place)}
	}
	slices.SortFunc(sorted, func(p, q named) int {
		if order := p.near - q.near; order != 0 {
			return order
		}
		return model.Compare(p.name, q.name)
	})
	for i := range sorted {
		list[i] = sorted[i].Hypothesis
	}
	if len(list) > mostSwaps {
		list = list[:mostSwaps]
	}
	for i, h := range list {
		list[i].Prior = x.swapPrior(h.Place, len(list))
	}
	return list
}

// farSwap is how much rarer wires are changed over between places far apart on
// one device than between neighbours. Judgement.
const farSwap = 0.25
