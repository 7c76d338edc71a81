package nextprobe

import (
	"slices"

	"bellout/faults/explain"
	"bellout/model"
)

// locate proposes the touch that tells most about the group of suspects that is
// least settled; where all wiring is settled and devices failed, the reading
// that tells which part killed them.
func (p *Planner) locate() (Proposal, bool) {
	if proposal, found := p.secondLook(); found {
		return proposal, true
	}
	groups := p.suspects()
	slices.SortStableFunc(groups, func(a, b ambiguityGroup) int {
		return explain.CompareChances(explain.Entropy(b.shares), explain.Entropy(a.shares))
	})
	for i := range groups {
		if _, share := groups[i].leading(); share >= enough {
			continue
		}
		if proposal, found := p.bestTouch(&groups[i], leastBits); found {
			return proposal, true
		}
	}
	if proposal, found := p.changedOver(groups); found {
		return proposal, true
	}
	for i := range groups {
		if proposal, found := p.confirm(&groups[i]); found {
			return proposal, true
		}
		if proposal, found := p.lift(&groups[i]); found {
			return proposal, true
		}
	}
	if proposal, found := p.fromSymptoms(); found {
		return proposal, true
	}
	return p.parts()
}

// mostConfirms is how often a repair is confirmed: what stays possible after that
// no touch tells apart.
const mostConfirms = 3

// confirming is a touch that was proposed to confirm a repair.
type confirming struct {
	probe  Probe
	repair string
}

// confirm proposes one touch more before a repair is begun: two slips of the tip
// in a row look like a break to a search that stops at enough.
func (p *Planner) confirm(s *ambiguityGroup) (Proposal, bool) {
	repair, share := s.leading()
	if share < enough || share >= sure || s.Sets[slices.Index(s.repairs, repair)].Members == nil || p.confirmed[s.texts[repair]] >= mostConfirms {
		return Proposal{}, false
	}
	proposal, found := p.bestTouch(s, leastToConfirm)
	if found {
		p.confirming = &confirming{*proposal.Probe, s.texts[repair]}
		proposal.Confirms = true
		proposal.Reason = "One touch more before anything is taken apart. " + proposal.Reason
	}
	return proposal, found
}

// mostWeighed is how many candidates compete after a first look.
const mostWeighed = 16

// bestTouch proposes the best touch for one group; false where none tells as many
// bits as make one worth making.
func (p *Planner) bestTouch(s *ambiguityGroup, least float64) (Proposal, bool) {
	inOhms := p.wantsOhms(s)
	var list []tried
	for _, c := range p.candidates(s) {
		sights := p.sightsOf(s, c)
		cost := p.trouble(c.red, c.black, c.conditions)
		if p.bySizeOnly(c) || p.earIsFooled(c) {
			list = append(list, p.byNumber(c, sights, cost, s))
			continue
		}
		list = append(list, p.byEar(c, sights, cost, s))
		if inOhms {
			list = append(list, p.byNumber(c, sights, cost, s))
		}
	}
	list = append(list, p.again(s)...)
	list = slices.DeleteFunc(list, func(t tried) bool { return t.score*t.test.cost < least })
	slices.SortStableFunc(list, func(a, b tried) int { return explain.CompareChances(b.score, a.score) })
	list = list[:min(mostWeighed, len(list))]
	if len(list) == 0 {
		return Proposal{}, false
	}
	choice := chooser{repair: s.repairs, enough: enough, least: least}
	for _, t := range list {
		choice.tests = append(choice.tests, t.test)
	}
	exact := make([]bool, len(list))
	for {
		best := choice.choose(s.chances)
		switch {
		case best < 0:
			return Proposal{}, false
		case exact[best]:
			return p.suspectProposal(s, list[best]), true
		}
		solved := p.exactly(s, list[best])
		if solved.score >= asGood*list[best].score {
			return p.suspectProposal(s, solved), true
		}
		list[best], exact[best] = solved, true
		choice.tests[best] = solved.test
	}
}

// asGood is how much of what a touch was estimated to tell for its trouble it has
// to tell when solved in full; else the others compete once more.
const asGood = 0.8

// leastSolved is the chance of a set from which on it is worth solving what it
// does to the touch that was chosen.
const leastSolved = 0.0005

// exactly weighs a touch once more by what each set does to it when solved in
// full. Estimates choose well among many touches, but one that is off by
// itself would be made again and again, and tell nothing.
func (p *Planner) exactly(s *ambiguityGroup, t tried) tried {
	sights := p.sightsOf(s, t.testPair)
	for at, set := range s.Sets {
		if s.chances[at] < leastSolved || len(set.Members) == 0 {
			continue
		}
		seen := p.explain.SightIf(t.red, t.black, t.conditions, set.Members...)
		sights.of[at] = len(sights.list)
		sights.list = append(sights.list, seen)
	}
	weigh := p.byNumber
	if t.heard {
		weigh = p.byEar
	}
	made := weigh(t.testPair, sights, t.trouble, s)
	made.again = t.again
	return made
}

// mostAgain is how often a surprising touch is made in all. Twice is not enough:
// of 10,000 touches one slips and slips again, and a few hundred good machines
// take as many.
const mostAgain = 3

// again returns the surprising touches that may be made once more: nothing tells
// a slip of the tip from a fault for less trouble.
func (p *Planner) again(s *ambiguityGroup) []tried {
	var list []tried
	for _, number := range s.Surprising {
		r, found := p.machine.Reading(number)
		if !found {
			continue
		}
		times, torn := p.known.Touched(r.Red, r.Black, r.Conditions)
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		if times < 1 || times >= mostAgain || torn || !p.reachable(red, black, r.Conditions) {
			continue
		}
		c := testPair{red, black, r.Conditions}
		weigh := p.byEar
		if r.Mode == model.ModeOhms {
			weigh = p.byNumber
		}
		t := weigh(c, p.sightsOf(s, c), p.trouble(red, black, r.Conditions), s)
		t.again = true
		list = append(list, t)
	}
	return list
}
