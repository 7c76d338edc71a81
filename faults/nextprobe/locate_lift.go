package nextprobe

import (
	"fmt"
	"math"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// Bounds of what lifting tells.
const (
	likeBeside   = 0.4 // of what lies beside a wire: what reads more may be that alone
	mostLiftOhms = 500 // above, nobody takes it for a bad joint
)

// lift proposes to read once more across a wire that is taken as broken, with it
// lifted: where parts lie beside it, a break and a bad joint read alike in place.
func (p *Planner) lift(s *ambiguityGroup) (Proposal, bool) {
	repair, share := s.leading()
	if share < enough {
		return Proposal{}, false
	}
	for at, set := range s.Sets {
		if s.repairs[at] != repair {
			continue
		}
		for _, h := range set.Members {
			if h.Fault != explain.WireOpen && h.Fault != explain.WireHigh || p.bench.LeftInPlace().Element(h.Element) {
				continue
			}
			if proposal, found := p.liftOf(s, h, len(set.Members) > 1); found {
				return proposal, true
			}
		}
		break // its likeliest set
	}
	return Proposal{}, false
}

// liftOf proposes it with the tips of a reading that showed a number.
func (p *Planner) liftOf(s *ambiguityGroup, h explain.Hypothesis, others bool) (Proposal, bool) {
	e := p.circuit.Elements[h.Element]
	wire := p.machine.Wires[e.Row]
	beside := p.without(e.A, e.B, nil, h.Element).Ohms
	for _, number := range s.Surprising {
		r, found := p.machine.Reading(number)
		if !found || r.Mode != model.ModeOhms || r.Value.Kind != model.ShowsNumber || len(p.bench.Staying().WithoutTakeOut(r)) > 0 {
			continue
		}
		ohms := r.Value.Number - p.judge.Meter.LeadOhms
		if ohms > mostLiftOhms || ohms < likeBeside*beside && !(others && h.Fault == explain.WireHigh) || math.IsInf(beside, 1) && h.Fault == explain.WireHigh && !others {
			continue
		}
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		conditions := model.NewConditions(model.Condition{Kind: model.Lifted, Wire: wire.Name})
		if !p.onWay(red, black)[h.Element] {
			continue
		}
		if times, _ := p.known.Touched(r.Red, r.Black, conditions); times > 0 {
			return Proposal{}, false // it was lifted
		}
		if !p.usable(red, black, conditions) {
			continue
		}
		made := p.proposal(red, black, model.ModeOhms, conditions)
		made.Confirms = true
		made.GainBits = bits(gain(liftedHigh, p.judge.Meter.MissedTouch))
		made.Reason = fmt.Sprintf("%s is as good as found, and has to be lifted for its repair: parts lie beside it, so that a break and a bad joint read much alike in place.", wire.Name)
		made.Answers = []Answer{
			{"About " + judge.OhmsText(ohms) + " as before", "it did not conduct at all: it is open"},
			{"Clearly more", "it conducts, with too much resistance"},
		}
		return made, true
	}
	return Proposal{}, false
}

// liftedHigh is how often a wire that seems open conducts badly. Judgement.
const liftedHigh = 0.2
