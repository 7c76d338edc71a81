package explain

import (
	"slices"

	"bellout/faults/judge"
)

// voice is what the readings say of one hypothesis. It is brought up to date
// when asked for: only readings that came or went since, in the nets that the
// hypothesis touches, are looked at.
type voice struct {
	h     Hypothesis
	nets  []int             // at rest, that it touches
	heard []int             // by place in nets: how many comings and goings it has heard of
	of    map[int64]float64 // by item that it concerns: nats by which the item speaks against it
	sum   float64           // of those of agreeing items
}

// voiceOf returns the voice of a hypothesis as of now.
func (x *Explainer) voiceOf(h Hypothesis) *voice {
	v, known := x.voices[h.Place]
	if !known {
		nets := x.netsTouched(h)
		v = &voice{h: h, nets: nets, heard: make([]int, len(nets)), of: map[int64]float64{}}
		x.hearTogether(h, nets)
		for at, net := range nets { // what went before counts for nothing
			v.heard[at] = len(x.came[net])
			for _, number := range x.byNet[net] {
				x.hear(v, number)
			}
		}
		v.add(x)
		x.voices[h.Place] = v
		return v
	}
	changed := false
	for at, net := range v.nets {
		for _, number := range x.came[net][v.heard[at]:] {
			delete(v.of, number)
			x.hear(v, number)
			changed = true
		}
		v.heard[at] = len(x.came[net])
	}
	if changed {
		v.add(x)
	}
	return v
}

// hearTogether works out what the readings that a pattern concerns tell under it:
// it moves so much that the network is laid out once for all of them.
func (x *Explainer) hearTogether(h Hypothesis, nets []int) {
	if !h.Fault.Pattern() {
		return
	}
	var items []*Item
	var pairs [][2]int
	seen := map[int]bool{}
	for _, net := range nets {
		for _, number := range x.byNet[net] {
			item, there := x.items[number]
			if !there || seen[item.said] || len(item.Reading.Conditions) > 0 || !x.concerns(item, h) {
				continue
			}
			seen[item.said] = true
			if _, known := x.likely[likelyKey{h.Place, item.said}]; known {
				continue
			}
			if _, holds := x.earlier.told(x, item, h); !holds {
				items, pairs = append(items, item), append(pairs, [2]int{item.Red, item.Black})
			}
		}
	}
	changes := h.Changes(x.judge.Rest)
	if len(items) < 2 || len(changes) == 0 || len(x.likely)+len(items) >= mostKept {
		return
	}
	for i, sight := range x.judge.SightsIf(pairs, changes) {
		sight = faced(items[i], sight, h)
		value := kept{x.tell(items[i], sight), sight.Metal && sight.Ohms == 0}
		value.concerned = true
		x.likely[likelyKey{h.Place, items[i].said}] = value
	}
}

func (x *Explainer) hear(v *voice, number int64) {
	item, there := x.items[number]
	if there && x.concerns(item, v.h) {
		v.of[number] = -x.gain(item, v.h)
	}
}

// add sums what agreeing readings say, the least first: the sum is then the same
// in whatever order they came. An undecided one does not count: what it shows
// may be what another fault does.
func (v *voice) add(x *Explainer) {
	var nats []float64
	for number, against := range v.of {
		if item := x.items[number]; against != 0 && !item.Surprising() && item.Judgement.Outcome != judge.Undecided {
			nats = append(nats, against)
		}
	}
	slices.Sort(nats)
	v.sum = 0
	for _, against := range nats {
		v.sum += against
	}
}

// acquits says whether agreeing readings speak so clearly against a hypothesis
// that it binds nothing.
func (x *Explainer) acquits(h Hypothesis) bool { return x.voiceOf(h).sum > acquitted }

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
