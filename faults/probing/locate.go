package probing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// locate proposes the touch that tells most about the group of suspects that is
// least settled; where all wiring is settled and devices failed, the reading
// that tells which part killed them.
func (p *Planner) locate() (Proposal, bool) {
	if proposal, found := p.secondLook(); found {
		return proposal, true
	}
	p.recallSpent()
	groups := p.suspects()
	slices.SortStableFunc(groups, func(a, b suspects) int { return cmp.Compare(explain.Entropy(b.shares), explain.Entropy(a.shares)) })
	for i := range groups {
		if _, share := groups[i].leading(); share >= enough {
			continue
		}
		if proposal, found := p.tellApart(&groups[i], leastBits); found {
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
	return p.parts()
}

// confirm proposes one touch more before a repair is begun: two slips of the tip
// in a row look like a break to a search that stops at enough.
func (p *Planner) confirm(s *suspects) (Proposal, bool) {
	repair, share := s.leading()
	if share < enough || share >= sure || s.Sets[slices.Index(s.repairs, repair)].Members == nil {
		return Proposal{}, false
	}
	proposal, found := p.tellApart(s, leastToConfirm)
	if found {
		proposal.Confirms = true
		proposal.Reason = "One touch more before anything is taken apart. " + proposal.Reason
	}
	return proposal, found
}

// tried is a candidate in one mode with what it would tell.
type tried struct {
	candidate
	mode    model.Mode
	again   bool // it was made before
	heard   bool // weighed by what is heard, if read by the number
	trouble float64
	test    test
	shown   []shown // by outcome
	score   float64
}

// shown is one thing that the meter may show.
type shown struct {
	ohms float64 // +Inf for OL and silence
	word string
}

// mostWeighed is how many candidates compete after a first look.
const mostWeighed = 16

// tellApart proposes the best touch for one group; false where none is worth
// making.
func (p *Planner) tellApart(s *suspects, least float64) (Proposal, bool) {
	if p.spent[&s.Sets[0]] {
		return Proposal{}, false
	}
	proposal, found := p.bestTouch(s, least)
	if !found {
		p.spent[&s.Sets[0]] = true // until its evidence changes, which makes other sets
	}
	return proposal, found
}

// recallSpent forgets which groups are spent when readings were taken back:
// touches can be made again then.
func (p *Planner) recallSpent() {
	standing := 0
	for i := range p.machine.Readings {
		if p.machine.Readings[i].Stands() {
			standing++
		}
	}
	if standing < p.standing {
		clear(p.spent)
	}
	p.standing = standing
}

func (p *Planner) bestTouch(s *suspects, least float64) (Proposal, bool) {
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
	slices.SortStableFunc(list, func(a, b tried) int { return cmp.Compare(b.score, a.score) })
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
		list[best], exact[best] = p.exactly(s, list[best]), true
		choice.tests[best] = list[best].test
	}
}

// leastSolved is the chance of a set from which on it is worth solving what it
// does to the touch that was chosen.
const leastSolved = 0.01

// exactly weighs a touch once more by what each set does to it when solved in
// full. Estimates choose well among many touches, but one that is off by
// itself would be made again and again, and tell nothing.
func (p *Planner) exactly(s *suspects, t tried) tried {
	if len(t.conditions) > 0 {
		return t // what is open there is known from the ways alone
	}
	sights := p.sightsOf(s, t.candidate)
	sights.of = slices.Clone(sights.of)
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
	made := weigh(t.candidate, sights, t.trouble, s)
	made.again = t.again
	return made
}

// bySizeOnly says whether a touch is worth making in ohms only: within a net that
// carries the current of loads a beep would hide the joint of a few ohms, and
// prove what it should not.
func (p *Planner) bySizeOnly(c candidate) bool {
	nets := p.circuit.Nets()
	return nets.Of[c.red] == nets.Of[c.black] && inOhms(nets.Net(c.red)) && !p.mains(c.red)
}

// earIsFooled says whether parts or electronics between two nets may beep as a
// join does: the number tells at once what a beep would have to be read again for.
func (p *Planner) earIsFooled(c candidate) bool {
	sight := p.sightFor(c)
	return !sight.Metal && p.judge.Meter.Beeps(sight.LeastOhms) > fooled
}

// fooled is the chance of a beep without a join from which on it is not asked
// for. Judgement.
const fooled = 0.02

// predictions are the sights that the sets of a group predict for a touch: few
// differ.
type predictions struct {
	list []judge.Sight
	of   []int // by set: its place in list
}

func (p *Planner) sightsOf(s *suspects, c candidate) predictions {
	var seen predictions
	place := func(sight judge.Sight) int {
		at := slices.Index(seen.list, sight)
		if at < 0 {
			at = len(seen.list)
			seen.list = append(seen.list, sight)
		}
		return at
	}
	base := p.sightFor(c)
	atBase := place(base)
	alone := make([]int, len(s.members)) // place of what each does by itself; -1: nothing
	for m, h := range s.members {
		alone[m] = -1
		if p.moves(c.red, c.black, c.conditions, base, h) {
			alone[m] = place(p.predict(c.red, c.black, c.conditions, base, h))
		}
	}
	seen.of = make([]int, len(s.sets))
	for at, members := range s.sets {
		seen.of[at] = atBase
		var several []judge.Sight
		for _, m := range members {
			if alone[m] >= 0 {
				several = append(several, seen.list[alone[m]])
				seen.of[at] = alone[m]
			}
		}
		if len(several) > 1 {
			seen.of[at] = place(together(base, several))
		}
	}
	return seen
}

// sightFor returns what the map has between the tips of a candidate; where
// something is opened between two nets, what it has with all in place, which is
// near enough for a choice and is not solved again for each cut.
func (p *Planner) sightFor(c candidate) judge.Sight {
	if _, clips := splitClips(c.conditions); len(clips) == 0 && !p.circuit.Nets().Same(c.red, c.black) {
		return p.sight(c.red, c.black, nil)
	}
	return p.sight(c.red, c.black, c.conditions)
}

// each returns a number of each sight, by set.
func (s predictions) each(number func(judge.Sight) float64) []float64 {
	bySight := make([]float64, len(s.list))
	for i, sight := range s.list {
		bySight[i] = number(sight)
	}
	row := make([]float64, len(s.of))
	for at, i := range s.of {
		row[at] = bySight[i]
	}
	return row
}

// wantsOhms says whether a number may tell what a beep does not.
func (p *Planner) wantsOhms(s *suspects) bool {
	for _, set := range s.Sets {
		for _, h := range set.Members {
			if h.Ohms > 0 || h.Fault == "load-open" || h.Fault == "part-value" {
				return true
			}
			if h.Element >= 0 && p.without(p.circuit.Elements[h.Element].A, p.circuit.Elements[h.Element].B, nil, h.Element).Ohms < 4*p.judge.Meter.BeepBelowOhms {
				return true
			}
		}
	}
	return false
}

// byEar weighs a candidate in the mode that is heard.
func (p *Planner) byEar(c candidate, sights predictions, cost float64, s *suspects) tried {
	heard := model.Reading{Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}
	beep := sights.each(func(sight judge.Sight) float64 { return p.judge.Meter.Likelihood(heard, sight) })
	silent := make([]float64, len(beep))
	for at := range beep {
		silent[at] = 1 - beep[at]
	}
	t := tried{candidate: c, mode: model.ModeContinuity, heard: true, trouble: cost, test: test{[][]float64{beep, silent}, cost}, shown: []shown{{0, "A beep"}, {math.Inf(1), "Silence"}}}
	if p.mains(c.red) || p.mains(c.black) {
		t.mode = model.ModeOhms // dead, and by the number
		t.shown = []shown{{0, "Under an ohm"}, {math.Inf(1), "OL, or what lies beside"}}
	}
	t.score = t.test.information(s.chances, s.repairs) / cost
	return t
}

// ohmsCost is what a number costs more than a beep: the eyes leave the tips.
const ohmsCost = 0.1

// byNumber weighs a candidate in ohms. Outcomes are the values that the sets
// predict, those alike taken together, and OL.
func (p *Planner) byNumber(c candidate, sights predictions, cost float64, s *suspects) tried {
	meter := p.judge.Meter
	values := []float64{}
	for _, sight := range sights.list {
		if !math.IsInf(sight.Ohms, 1) && !slices.ContainsFunc(values, func(v float64) bool { return alike(v, sight.Ohms) }) {
			values = append(values, sight.Ohms)
		}
	}
	slices.Sort(values)
	const most = 8
	if len(values) > most {
		values = values[:most]
	}
	t := tried{candidate: c, mode: model.ModeOhms, trouble: cost, test: test{cost: cost + ohmsCost}}
	sums := make([]float64, len(sights.of))
	for _, value := range append(slices.Clone(values), math.Inf(1)) {
		r := model.Reading{Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}
		width := 1.0
		word := "OL"
		if !math.IsInf(value, 1) {
			r.Value = model.Value{Number: value + meter.LeadOhms}
			width = 2.5 * math.Hypot(meter.MetalOhms, meter.PartSpread*value)
			word = "About " + judge.OhmsText(value)
		}
		row := sights.each(func(sight judge.Sight) float64 { return meter.Likelihood(r, sight) * width })
		for at := range row {
			sums[at] += row[at]
		}
		t.test.likely = append(t.test.likely, row)
		t.shown = append(t.shown, shown{value, word})
	}
	for _, row := range t.test.likely {
		for at := range row {
			if sums[at] > 0 {
				row[at] /= sums[at]
			}
		}
	}
	t.score = t.test.information(s.chances, s.repairs) / t.test.cost
	return t
}

// alike says whether a meter would hardly tell two values apart.
func alike(a, b float64) bool { return math.Abs(a-b) < 0.3 || math.Abs(math.Log(a/b)) < 0.25 }

// mostAgain is how often a surprising touch is made in all. Twice is not enough:
// of 10,000 touches one slips and slips again, and a few hundred good machines
// take as many.
const mostAgain = 3

// again returns the surprising touches that may be made once more: nothing tells
// a slip of the tip from a fault for less trouble.
func (p *Planner) again(s *suspects) []tried {
	var list []tried
	for _, number := range s.Surprising {
		r, found := p.machine.Reading(number)
		if !found {
			continue
		}
		times, torn := p.session.Touched(r.Red, r.Black, r.Conditions)
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		if times < 1 || times >= mostAgain || torn || !p.reachable(red, black, r.Conditions) {
			continue
		}
		c := candidate{red, black, r.Conditions}
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

// suspectProposal puts a choice into words.
func (p *Planner) suspectProposal(s *suspects, t tried) Proposal {
	made := p.proposal(t.red, t.black, t.mode, t.conditions)
	made.GainBits = bits(t.test.information(s.chances, s.repairs))
	_, share := s.leading()
	made.Reason = fmt.Sprintf("%s may explain %s; this touch splits the suspicion. About %s more to settle it.",
		p.mostLikely(s.shares, s.texts, 3), readingsText(s.Surprising), counted(math.Ceil(HuffmanLength(s.shares)), "reading"))
	if share >= knownBroken {
		repair, _ := s.leading()
		made.Reason = fmt.Sprintf("%s is the likeliest (%s) to explain %s; this touch settles it or acquits it.", s.texts[repair], percent(share), readingsText(s.Surprising))
	}
	if t.again {
		made.Reason = "The same touch again, with firm tips: it tells a slip of the tip from a fault. " + made.Reason
	}
	for outcome, shown := range t.shown {
		chance, posterior := t.test.after(s.chances, outcome)
		if chance < 0.005 {
			continue
		}
		after := make([]float64, len(s.texts))
		for at, repair := range s.repairs {
			after[repair] += posterior[at]
		}
		made.Answers = append(made.Answers, Answer{shown.word, "then it is " + p.mostLikely(after, s.texts, 2)})
	}
	if proves := p.provenBy(t); len(proves) > 0 {
		made.Proves = proves
	}
	return made
}

// provenBy returns the wires that a good answer would prove.
func (p *Planner) provenBy(t tried) []string {
	sight := p.sight(t.red, t.black, t.conditions)
	if !sight.Metal || len(t.conditions) > 0 {
		return nil
	}
	var names []string
	good := p.goodReading(t.mode, sight)
	for _, id := range p.judge.Metal().BridgesBetween(t.red, t.black) {
		if id < len(p.machine.Wires) && p.tells(good, sight, p.without(t.red, t.black, nil, id)) {
			names = append(names, p.machine.Wires[id].Name)
		}
	}
	slices.SortFunc(names, model.Compare)
	return names
}

// mostLikely names the likeliest of some things with their shares.
func (p *Planner) mostLikely(shares []float64, texts []string, most int) string {
	order := make([]int, len(shares))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(shares[b], shares[a]) })
	var names []string
	for _, at := range order[:min(most, len(order))] {
		if shares[at] >= 0.05 || len(names) == 0 {
			names = append(names, fmt.Sprintf("%s (%s)", texts[at], percent(shares[at])))
		}
	}
	if len(names) == 1 {
		return names[0]
	}
	text := names[0]
	for _, name := range names[1:] {
		text += ", or " + name
	}
	return text
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", math.Min(share, 0.999)*100) }

func counted(count float64, noun string) string {
	if count <= 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%.0f %ss", count, noun)
}

func readingsText(numbers []int64) string {
	if len(numbers) == 1 {
		return fmt.Sprintf("reading %d", numbers[0])
	}
	list := make([]string, len(numbers))
	for i, number := range numbers {
		list[i] = fmt.Sprint(number)
	}
	return "readings " + listed(list, 6)
}
