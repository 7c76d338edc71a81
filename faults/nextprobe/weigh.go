package nextprobe

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// tried is a candidate in one mode with what it would tell.
type tried struct {
	testPair
	mode    model.Mode
	again   bool    // it was made before
	heard   bool    // weighed by what is heard, even where the number is read instead
	trouble float64 // of the touch, whatever is read
	test    test
	shown   []shown // by outcome
	score   float64
}

// shown is one thing that the meter may show.
type shown struct {
	ohms float64 // +Inf for OL and silence
	word string
}

// bySizeOnly says whether a touch is worth making in ohms only: within a net that
// carries the current of loads a beep would hide the joint of a few ohms, and
// prove what it should not.
func (p *Planner) bySizeOnly(c testPair) bool {
	nets := p.circuit.Nets()
	return nets.Of[c.red] == nets.Of[c.black] && inOhms(nets.Net(c.red)) && !p.mains(c.red)
}

// earIsFooled says whether parts or electronics between two nets may beep as a
// join does: the number tells at once what a beep would have to be read again for.
func (p *Planner) earIsFooled(c testPair) bool {
	sight := p.sightFor(c)
	return !sight.Metal && p.judge.Meter.Beeps(sight.LeastOhms) > fooled
}

// fooled is the chance of a beep without a join from which on it is not asked
// for. Judgement.
const fooled = 0.02

// predictions are the sights that the sets of a group predict for a touch: few
// differ.
type predictions struct {
	list []judge.Observed
	of   []int // by set: its place in list
}

func (p *Planner) sightsOf(s *ambiguityGroup, c testPair) predictions {
	var seen predictions
	place := func(sight judge.Observed) int {
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
		var several []judge.Observed
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
func (p *Planner) sightFor(c testPair) judge.Observed {
	if _, clips := splitClips(c.conditions); len(clips) == 0 && !p.circuit.Nets().Same(c.red, c.black) {
		return p.sight(c.red, c.black, nil)
	}
	return p.sight(c.red, c.black, c.conditions)
}

// each returns a number of each sight, by set.
func (s predictions) each(number func(judge.Observed) float64) []float64 {
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
func (p *Planner) wantsOhms(s *ambiguityGroup) bool {
	for _, set := range s.Sets {
		for _, h := range set.Members {
			if h.Ohms > 0 || h.Fault == explain.LoadOpen || h.Fault == explain.PartValue {
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
func (p *Planner) byEar(c testPair, sights predictions, cost float64, s *ambiguityGroup) tried {
	heard := model.Reading{Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}
	beep := sights.each(func(sight judge.Observed) float64 { return p.judge.Meter.Likelihood(heard, sight) })
	silent := make([]float64, len(beep))
	for at := range beep {
		silent[at] = 1 - beep[at]
	}
	t := tried{testPair: c, mode: model.ModeContinuity, heard: true, trouble: cost, test: test{[][]float64{beep, silent}, cost}, shown: []shown{{0, "A beep"}, {math.Inf(1), "Silence"}}}
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
func (p *Planner) byNumber(c testPair, sights predictions, cost float64, s *ambiguityGroup) tried {
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
	t := tried{testPair: c, mode: model.ModeOhms, trouble: cost, test: test{cost: cost + ohmsCost}}
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
		row := sights.each(func(sight judge.Observed) float64 { return meter.Likelihood(r, sight) * width })
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
