package explain

import (
	"slices"

	"bellout/faults/judge"
)

// testimony is what the readings say of one hypothesis.
type testimony struct {
	against map[int64]float64 // by item that it affects: nats by which the item speaks against it
	sum     float64           // of those of agreeing items
}

// testimonyOn returns what the readings say of a hypothesis.
func (x *Explainer) testimonyOn(h Hypothesis) *testimony {
	if known, done := x.testimonies[h.Place]; done {
		return known
	}
	nets := x.netsTouched(h)
	x.weighTogether(h, nets)
	t := &testimony{against: map[int64]float64{}}
	for _, net := range nets {
		for _, number := range x.byNet[net] {
			if item := x.items[number]; x.concerns(item, h) {
				t.against[number] = -x.gain(item, h)
			}
		}
	}
	t.sum = x.sumOfAgreeing(t.against)
	x.testimonies[h.Place] = t
	return t
}

// weighTogether works out what the readings that a pattern concerns tell under it:
// it moves so much that the network is laid out once for all of them.
func (x *Explainer) weighTogether(h Hypothesis, nets []int) {
	if !h.Fault.Pattern() {
		return
	}
	var items []*Item
	var pairs [][2]int
	seen := map[int]bool{}
	for _, net := range nets {
		for _, number := range x.byNet[net] {
			item := x.items[number]
			if seen[item.said] || len(item.Reading.Conditions) > 0 || !x.concerns(item, h) {
				continue
			}
			seen[item.said] = true
			if _, known := x.likely[likelyKey{h.Place, item.said}]; !known {
				items, pairs = append(items, item), append(pairs, [2]int{item.Red, item.Black})
			}
		}
	}
	changes := h.Changes(x.judge.Rest)
	if len(items) < 2 || len(changes) == 0 || len(x.likely)+len(items) >= mostKept {
		return
	}
	for i, sight := range x.judge.SightsIf(pairs, changes) {
		value := x.tell(items[i], faced(items[i], sight, h))
		value.concerned = true
		x.likely[likelyKey{h.Place, items[i].said}] = value
	}
}

// sumOfAgreeing sums what agreeing readings say, the least first: the sum is then
// the same in whatever order they came. An undecided one does not count: what it
// shows may be what another fault does.
func (x *Explainer) sumOfAgreeing(against map[int64]float64) float64 {
	var list []float64
	for number, nats := range against {
		if item := x.items[number]; nats != 0 && !item.Surprising() && item.Judgement.Outcome != judge.Undecided {
			list = append(list, nats)
		}
	}
	slices.Sort(list)
	sum := 0.0
	for _, nats := range list {
		sum += nats
	}
	return sum
}

// acquits says whether agreeing readings speak so clearly against a hypothesis
// that it binds nothing.
func (x *Explainer) acquits(h Hypothesis) bool { return x.testimonyOn(h).sum > acquitted }

// netsTouched returns the nets at rest that a hypothesis touches, rising: a
// reading concerns it only with a tip or a clip in one of them.
func (x *Explainer) netsTouched(h Hypothesis) []int {
	of := x.judge.Rest.Nets().Of
	var nets []int
	for _, id := range h.elements(x.judge.Rest) {
		e := x.judge.Rest.Elements[id]
		nets = append(nets, of[e.A], of[e.B])
	}
	for _, t := range [2]int{h.A, h.B} {
		if t >= 0 {
			nets = append(nets, of[t])
		}
	}
	for _, l := range h.Landings(x.judge.Rest) {
		if l.On >= 0 {
			nets = append(nets, of[l.On])
		}
	}
	slices.Sort(nets)
	return slices.Compact(nets)
}
