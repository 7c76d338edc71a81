package nextprobe

import (
	"slices"

	"bellout/model"
)

// skips are the touches that the person at the bench could not make.
type skips struct {
	touches map[skippedTouch]bool
	at      map[model.TerminalRef]map[model.TerminalRef]bool // partners of each terminal in skipped touches
}

type skippedTouch struct {
	a, b       model.TerminalRef
	conditions string
}

func newSkips() skips {
	return skips{touches: map[skippedTouch]bool{}, at: map[model.TerminalRef]map[model.TerminalRef]bool{}}
}

func skipped(a, b model.TerminalRef, conditions model.Conditions) skippedTouch {
	if model.CompareRefs(b, a) < 0 {
		a, b = b, a
	}
	return skippedTouch{a, b, conditions.String()}
}

func (s *skips) add(probe Probe) {
	s.touches[skipped(probe.Red, probe.Black, probe.Conditions)] = true
	for _, pair := range [2][2]model.TerminalRef{{probe.Red, probe.Black}, {probe.Black, probe.Red}} {
		if s.at[pair[0]] == nil {
			s.at[pair[0]] = map[model.TerminalRef]bool{}
		}
		s.at[pair[0]][pair[1]] = true
	}
}

// asked says whether a touch was skipped.
func (s *skips) asked(a, b model.TerminalRef, conditions model.Conditions) bool {
	return s.touches[skipped(a, b, conditions)]
}

// outOfReach says whether a terminal was skipped with two partners: then it is
// the terminal that cannot be reached.
func (s *skips) outOfReach(ref model.TerminalRef) bool { return len(s.at[ref]) > 1 }

// usable says whether a touch may be asked for: nobody skipped it, and it has
// not been made.
func (p *Planner) usable(a, b int, conditions model.Conditions) bool {
	if !p.reachable(a, b, conditions) || len(p.supposed.touches) > 0 && p.supposed.touches[p.plainPair(a, b, conditions)] {
		return false
	}
	times, _ := p.known.Touched(p.ref(a), p.ref(b), conditions)
	return times == 0
}

// reachable says whether nobody skipped a touch, and nothing has to be opened for it
// that is to be left in place.
func (p *Planner) reachable(a, b int, conditions model.Conditions) bool {
	if slices.ContainsFunc(conditions, p.bench.LeftInPlace().Opened) {
		return false
	}
	if a == b {
		return false
	}
	with, may := p.bench.Staying().TakeOut(a, b, conditions, p.mapping.begun)
	if !may {
		return false
	}
	red, black := p.ref(a), p.ref(b)
	return !p.outOfReach(red) && !p.outOfReach(black) && !p.asked(red, black, conditions) && (len(with) == len(conditions) || !p.asked(red, black, with))
}

func (p *Planner) ref(t int) model.TerminalRef { return p.circuit.Ref(t) }
