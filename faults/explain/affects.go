package explain

import (
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// concerns says whether a hypothesis could change what an item shows. It errs
// on the side of yes, but for what parts in parallel with metal do.
func (x *Explainer) concerns(item *Item, h Hypothesis) bool {
	s := item.Judgement.Sight
	switch h.Fault {
	case LinkClosed:
		if s.Metal && h.Other >= 0 && x.runsThrough(item, h) {
			return true
		}
		if len(heldOpen(x.judge, item.Reading.Conditions, []Hypothesis{h})) < len(item.Reading.Conditions) {
			return true // at rest the nets of its two ends may be one
		}
		return (!s.Metal || s.Ohms > metalOhms) && x.couldMeet(item, h)
	case Short:
		return (!s.Metal || s.Ohms > metalOhms) && x.couldMeet(item, h)
	case Swap, Mirrored, Shifted, Moved:
		if s.Metal {
			return x.runsThrough(item, h)
		}
		return x.couldMeet(item, h)
	case PartValue, LoadOpen:
		return !s.Metal && !math.IsInf(s.LeastOhms, 1) && x.carries(item, h)
	default:
		if s.Metal {
			return x.runsThrough(item, h)
		}
		return !math.IsInf(s.LeastOhms, 1) && x.carries(item, h)
	}
}

// Bounds of looking for where current goes.
const (
	largeMachine = 5000 // terminals from which on an item's way is looked for
	mostSteps    = 600  // terminals looked at for it
)

// carries says whether an element that a hypothesis moves may carry a
// noticeable part of an item's current, where parts lie between the tips. In a
// machine of usual size every element may; in a large one, with thousands of
// readings on one return, only those on the way of fewest steps do.
func (x *Explainer) carries(item *Item, h Hypothesis) bool {
	if len(x.judge.Machine.Terminals) < largeMachine {
		return true
	}
	way, known := x.onWay[item.said]
	if !known {
		way = shortWay(x.judge, item)
		x.onWay[item.said] = way
	}
	if len(way) == 0 {
		return true
	}
	for _, id := range x.elements(h) {
		if _, on := slices.BinarySearch(way, id); on {
			return true
		}
	}
	return false
}

// shortWay returns the elements on the way of fewest steps between an item's
// tips, rising; none if it is not found nearby.
func shortWay(j *judge.Judge, item *Item) []int {
	open := map[int]bool{}
	for _, change := range j.Changes(item.Reading.Conditions) {
		if change.Element < 0 || !math.IsInf(change.Ohms, 1) {
			return nil
		}
		open[change.Element] = true
	}
	by := map[int]int{item.Red: -1}
	queue := []int{item.Red}
	for len(queue) > 0 && len(by) < mostSteps {
		t := queue[0]
		queue = queue[1:]
		if t == item.Black {
			var way []int
			for t != item.Red {
				way = append(way, by[t])
				t = j.Rest.Far(by[t], t)
			}
			slices.Sort(way)
			return way
		}
		for _, id := range j.Rest.Incident(t) {
			e := j.Rest.Elements[id]
			if open[int(id)] || !e.Joins() && !(e.Present && e.Kind == graphs.Resistance) {
				continue
			}
			far := j.Rest.Far(int(id), t)
			if _, seen := by[far]; !seen {
				by[far] = int(id)
				queue = append(queue, far)
			}
		}
	}
	return nil
}

// runsThrough says whether an element that a hypothesis moves lies on a way of
// metal between an item's tips. Conditions that open something leave no ways
// that are not there at rest; those that join something may.
func (x *Explainer) runsThrough(item *Item, h Hypothesis) bool {
	for _, condition := range item.Reading.Conditions {
		if condition.Kind == model.Clipped || condition.Kind == model.ContactClosed {
			return true
		}
	}
	way, known := x.onWay[item.said]
	if !known {
		way = x.judge.Metal().Between(item.Red, item.Black)
		x.onWay[item.said] = way
	}
	for _, id := range x.elements(h) {
		if _, on := slices.BinarySearch(way, id); on {
			return true
		}
	}
	return false
}

// couldMeet says whether joining what a hypothesis joins could close a way
// between tips that nothing joins: the tips hang on what it joins, one on each
// side.
func (x *Explainer) couldMeet(item *Item, h Hypothesis) bool {
	if !math.IsInf(item.Judgement.Sight.Ohms, 1) {
		return h.Fault.Pattern() || x.bridges(item, h)
	}
	for _, condition := range item.Reading.Conditions {
		if condition.Kind == model.Clipped || condition.Kind == model.ContactClosed {
			return true
		}
	}
	conducts := x.conducting()
	a, b := h.A, h.B
	if h.Fault == LinkClosed {
		e := x.judge.Rest.Elements[h.Element]
		a, b = e.A, e.B
	}
	if h.Fault.Pattern() {
		return x.couldMeetBy(item, h)
	}
	meets := func(red, black int) bool {
		return conducts.Joined(item.Red, red) && conducts.Joined(item.Black, black)
	}
	return meets(a, b) || meets(b, a)
}

// bridges says whether what a hypothesis joins makes a new way between tips that
// parts join: from one tip over one part at most to the one side, from the other
// side over one part at most to the other tip. A short of one rail of many does
// not change what the others read to the return that all share.
func (x *Explainer) bridges(item *Item, h Hypothesis) bool {
	for _, condition := range item.Reading.Conditions {
		if condition.Kind == model.Clipped || condition.Kind == model.ContactClosed {
			return true
		}
	}
	of := x.judge.Rest.Nets().Of
	a, b := h.A, h.B
	switch h.Fault {
	case LinkClosed:
		a, b = x.judge.Rest.Elements[h.Element].A, x.judge.Rest.Elements[h.Element].B
	case Swap, Moved: // they open something as well
		if x.carries(item, h) {
			return true
		}
	}
	red, black := of[item.Red], of[item.Black]
	by := func(first, second int) bool {
		return first != black && second != red && x.overOnePart(red, first) && x.overOnePart(black, second)
	}
	return by(of[a], of[b]) || by(of[b], of[a])
}

// overOnePart says whether one net is another, or one part joins the two.
func (x *Explainer) overOnePart(net, other int) bool {
	if net == other {
		return true
	}
	if x.parts == nil {
		x.parts = map[[2]int]bool{}
		of := x.judge.Rest.Nets().Of
		for _, e := range x.judge.Rest.Elements {
			if e.Present && e.Kind == graphs.Resistance {
				x.parts[[2]int{of[e.A], of[e.B]}], x.parts[[2]int{of[e.B], of[e.A]}] = true, true
			}
		}
	}
	return x.parts[[2]int{net, other}]
}

// couldMeetBy says whether the tips hang on what a pattern lays elsewhere: a way
// may lead over several of its landings.
func (x *Explainer) couldMeetBy(item *Item, h Hypothesis) bool {
	conducts := x.conducting()
	red, black := false, false
	for _, l := range x.landings(h) {
		for _, t := range [3]int{l.At, x.judge.Rest.Far(l.Wire, l.At), l.On} {
			if t >= 0 {
				red = red || conducts.Joined(item.Red, t)
				black = black || conducts.Joined(item.Black, t)
			}
		}
	}
	return red && black
}

// conducting returns the blocks of metal and parts at rest.
func (x *Explainer) conducting() *graphs.Blocks {
	if x.conducts == nil {
		x.conducts = x.judge.Rest.Blocks(func(e graphs.Element) bool {
			return e.Joins() || e.Present && e.Kind == graphs.Resistance
		})
	}
	return x.conducts
}

// landings returns Landings of a hypothesis, those of a pattern worked out once: it
// is asked of every reading.
func (x *Explainer) landings(h Hypothesis) []Landing {
	if !h.Fault.Pattern() {
		return h.Landings(x.judge.Rest)
	}
	list, known := x.landed[h.Place]
	if !known {
		list = h.Landings(x.judge.Rest)
		x.landed[h.Place] = list
	}
	return list
}

// elements returns the elements that a hypothesis moves.
func (x *Explainer) elements(h Hypothesis) []int {
	if !h.Fault.Pattern() {
		return h.elements(x.judge.Rest)
	}
	var wires []int
	for _, l := range x.landings(h) {
		wires = append(wires, l.Wire)
	}
	return wires
}
