package faults

import (
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// A found wire makes another bench of the machine, but most of what its readings
// say is as it was: what the wire cannot have changed is taken over from the bench
// before instead of being worked out again. Everything is put together as from
// nothing; only the answers to single questions are handed on.

// earlier is the evidence before the machine had its last wire.
type earlier struct {
	wire    int // the element that came: those from it on had one number less
	unmoved *graphs.Unmoved
	weighed map[int64]*weighed
	bypass  map[int]float64
	ways    map[touchKey][]wayStep
}

// grow takes the wire that came last into the bench.
func (s *Session) grow() {
	before := s.bench.evidence
	s.bench = layOut(s.machine)
	wire := len(s.machine.Wires) - 1
	e := newEvidence(s.bench)
	e.earlier = &earlier{
		wire: wire, unmoved: s.bench.Drawn.UnmovedBy(wire),
		weighed: before.weighed, bypass: before.proof.bypass, ways: before.proof.ways,
	}
	e.explainer.Follow(before.explainer, e.earlier.unmoved)
	s.bench.evidence = e
	s.bench.takeReadings()
	s.show()
}

// oneWireCame says whether the machine has one wire more than the bench: that
// which a reading found.
func (s *Session) oneWireCame(r model.Reading) bool {
	if len(s.machine.Wires) != s.wires+1 {
		return false
	}
	last := s.machine.Wires[s.wires]
	return !last.Removed && (last.From == r.Red && last.To == r.Black || last.From == r.Black && last.To == r.Red)
}

// judgedBefore returns how a reading was judged before, if it would be judged so
// still: one that agreed, and that the new wire does not bear on.
func (e *evidence) judgedBefore(r model.Reading) (judgement judge.Judgement, holds bool) {
	if e.earlier == nil {
		return judge.Judgement{}, false
	}
	was, known := e.earlier.weighed[r.Number]
	if !known || was.key != e.b.keyOf(r) || was.reading.Mode != r.Mode || was.reading.Value != r.Value || was.reading.Drift != r.Drift {
		return judge.Judgement{}, false
	}
	if !judge.Evidence(r) || was.judgement.Outcome != judge.Agrees || was.judgement.ByBond {
		return judge.Judgement{}, false
	}
	metal := was.judgement.Sight.Metal && was.judgement.Sight.Ohms == 0 // no further wire changes that
	return was.judgement, metal || e.earlier.unmoved.Between(e.terminalsOf(r)...)
}

// terminalsOf returns the terminals of a reading's tips and clips.
func (e *evidence) terminalsOf(r model.Reading) []int {
	list := make([]int, 0, 2)
	add := func(ref model.TerminalRef) {
		if t, found := e.judge.Machine.TerminalIndex(ref); found {
			list = append(list, t)
		}
	}
	add(r.Red)
	add(r.Black)
	for _, condition := range r.Conditions {
		for _, ref := range condition.ClippedRefs() {
			add(ref)
		}
	}
	return list
}

// bypassOf returns the ohms round a wire that is open, if they were worked out
// before and are as they were.
func (e *earlier) bypassOf(id int, element graphs.Element) (ohms float64, holds bool) {
	if e == nil || id >= e.wire { // wires only: none after the new one
		return 0, false
	}
	ohms, known := e.bypass[id]
	return ohms, known && e.unmoved.Between(element.A, element.B)
}

// wayOf returns the way of a reading and what is left without each of its wires,
// if it was worked out before and is as it was.
func (e *earlier) wayOf(key touchKey, terminals []int) (steps []wayStep, holds bool) {
	if e == nil {
		return nil, false
	}
	steps, known := e.ways[key]
	if !known || !e.unmoved.Between(terminals...) {
		return nil, false
	}
	return steps, true
}
