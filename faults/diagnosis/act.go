package diagnosis

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Act is something to do next: a look at a device, or a measurement of the
// running machine.
type Act struct {
	Look       string // the device to look at; empty: a measurement
	Red, Black int
	Mode       model.Mode
	Conditions model.Conditions
	Seconds    float64
	Bits       float64 // of what it is expected to tell which place is at fault
	Outcomes   []Outcome
}

// Outcome is one thing that an act may show, and what it would leave.
type Outcome struct {
	Volts   float64 // of a measurement: about so many
	Floats  bool    // nothing holds the place: any small value
	Word    Word    // of a look
	Chance  float64
	Leading []Hypothesis // the likeliest diagnosis that it leaves
}

// Costs in seconds. Judgement; see assets.
const (
	lookSeconds  = 5
	touchSeconds = 10
	plugSeconds  = 20
	// deadOrLiveSeconds: from the running to the dead machine or back, the wait for
	// capacitors included.
	deadOrLiveSeconds = 60
)

// mostPlanned is how many of the likeliest diagnoses an act is planned for.
const mostPlanned = 250

// Acts returns what is worth doing next, the most told for its cost first. Only
// pairs that mayProbe allows are measured live; acts that skip names are left out.
func (p *Posterior) Acts(mayProbe func(red, black int) bool, skip func(Act) bool) []Act {
	conditions := p.conditions()
	var list []Act
	for _, device := range p.devices() {
		list = append(list, Act{Look: device, Red: -1, Black: -1, Conditions: conditions, Seconds: lookSeconds})
	}
	for _, pair := range p.pairs(conditions) {
		list = append(list, Act{Red: pair[0], Black: pair[1], Mode: model.ModeVoltsDC, Conditions: conditions, Seconds: touchSeconds})
	}
	for _, supply := range p.Live.net.Parts.Supplies {
		if len(supply.Returns) > 0 && p.suspected(SupplyRipple, supply.Rail) {
			list = append(list, Act{Red: supply.Rail, Black: supply.Returns[0], Mode: model.ModeVoltsAC, Conditions: conditions, Seconds: touchSeconds})
		}
	}
	for _, pair := range p.deadPairs() {
		list = append(list, Act{Red: pair[0], Black: pair[1], Mode: model.ModeOhms, Seconds: touchSeconds})
	}
	list = append(list, p.isolations()...)
	dead := p.isDead()
	for i := range list {
		if isDead := list[i].Mode == model.ModeOhms; isDead != dead {
			list[i].Seconds += deadOrLiveSeconds
		}
	}
	list = slices.DeleteFunc(list, func(a Act) bool {
		return p.done(a) || skip(a) || a.Mode.Volts() && !mayProbe(a.Red, a.Black)
	})
	return p.order(list)
}

// order weighs acts and puts the one with the least expected cost first, the
// others by what they tell for their cost.
func (p *Posterior) order(list []Act) []Act {
	diagnoses := p.Diagnoses[:min(mostPlanned, len(p.Diagnoses))]
	plan := plan{}
	labels := map[string]int{}
	for _, d := range diagnoses {
		label, known := labels[d.places()]
		if !known {
			label = len(labels)
			labels[d.places()] = label
		}
		plan.label, plan.chance = append(plan.label, label), append(plan.chance, d.Chance)
	}
	for i := range list {
		plan.outcome = append(plan.outcome, p.outcomes(&list[i], diagnoses))
		plan.cost = append(plan.cost, list[i].Seconds)
	}
	all := make([]int, len(diagnoses))
	for d := range all {
		all[d] = d
	}
	lost := -slip*math.Log2(slip) - (1-slip)*math.Log2(1-slip)
	for i := range list {
		list[i].Bits = math.Max(0, plan.gain(i, all)*(1-lost))
	}
	if best := plan.best(all); best >= 0 {
		list[0], list[best] = list[best], list[0]
	}
	slices.SortStableFunc(list[min(1, len(list)):], func(a, b Act) int {
		return cmp.Or(cmp.Compare(b.Bits/b.Seconds, a.Bits/a.Seconds), cmp.Compare(a.key(), b.key()))
	})
	return list
}

// places names what a diagnosis says is to be repaired.
func (d Diagnosis) places() string {
	places := make([]string, len(d.Set))
	for i, h := range d.Set {
		places[i] = h.Place()
	}
	return strings.Join(places, "|")
}

func (a Act) key() string {
	if a.Look != "" {
		return "look " + a.Look
	}
	return fmt.Sprint(a.Mode, " ", a.Red, " ", a.Black, " ", a.Conditions)
}

// conditions are those of the last piece of evidence: one stays in one state of
// the machine.
func (p *Posterior) conditions() model.Conditions {
	for i := len(p.Evidence) - 1; i >= 0; i-- {
		switch e := p.Evidence[i].(type) {
		case *Symptom:
			return e.Conditions
		case *Reading:
			return e.Reading.Conditions
		}
	}
	return nil
}

func (p *Posterior) done(a Act) bool {
	return slices.ContainsFunc(p.Evidence, func(e Evidence) bool {
		switch e := e.(type) {
		case *Symptom:
			return a.Look == e.Device && e.Conditions.String() == a.Conditions.String()
		case *DeadReading:
			same := e.red == a.Red && e.black == a.Black || e.red == a.Black && e.black == a.Red
			return a.Look == "" && same && e.Reading.Mode == a.Mode && e.Reading.Conditions.String() == a.Conditions.String()
		case *Reading:
			same := e.red == a.Red && e.black == a.Black || e.red == a.Black && e.black == a.Red
			return a.Look == "" && same && e.Reading.Mode == a.Mode && e.Reading.Conditions.String() == a.Conditions.String()
		}
		return false
	})
}

// isDead says whether the last piece of evidence was of the dead machine.
func (p *Posterior) isDead() bool {
	if len(p.Evidence) == 0 {
		return true
	}
	_, dead := p.Evidence[len(p.Evidence)-1].(*DeadReading)
	return dead
}

// isolations take one suspected device out and read what is left of a short.
func (p *Posterior) isolations() []Act {
	const least = 0.02
	var list []Act
	seen := map[string]bool{}
	for _, s := range p.Suspects() {
		device := ""
		if s.At >= 0 {
			device = p.Live.Circuit.Machine.Terminals[s.At].Device
		}
		if s.Kind != LoadShort || s.Chance < least || seen[device] {
			continue
		}
		seen[device] = true
		list = append(list, Act{Red: s.At, Black: s.To, Mode: model.ModeOhms, Seconds: touchSeconds + plugSeconds,
			Conditions: model.NewConditions(model.Condition{Kind: model.Unplugged, Device: device})})
	}
	return list
}

// deadPairs are the ends of what is suspected.
func (p *Posterior) deadPairs() [][2]int {
	var list [][2]int
	for _, s := range p.Suspects() {
		if s.Chance < 0.01 {
			break
		}
		switch {
		case s.Element >= 0:
			e := p.Live.Circuit.Elements[s.Element]
			list = append(list, [2]int{e.A, e.B})
		case s.At >= 0 && s.To >= 0:
			list = append(list, [2]int{s.At, s.To})
		}
	}
	return list
}

func (p *Posterior) suspected(kind Kind, at int) bool {
	return slices.ContainsFunc(p.Diagnoses, func(d Diagnosis) bool {
		return slices.ContainsFunc(d.Set, func(h Hypothesis) bool { return h.Kind == kind && h.At == at })
	})
}

// devices are those that can be looked at: loads with volts.
func (p *Posterior) devices() []string {
	var list []string
	for device := range p.Live.loads {
		if _, known := p.Live.ratio(device, p.Live.Run(p.conditions()), nil); known {
			list = append(list, device)
		}
	}
	slices.SortFunc(list, model.Compare)
	return list
}

// pairs are the points between which volts are worth reading: the suspected
// places against the return of the supply of their net, and each supply's own
// output.
func (p *Posterior) pairs(conditions model.Conditions) [][2]int {
	c := p.Live.Circuit
	var list [][2]int
	seen := map[[2]int]bool{}
	add := func(red, black int) {
		if pair := [2]int{red, black}; red != black && !seen[pair] {
			seen[pair] = true
			list = append(list, pair)
		}
	}
	for _, supply := range p.Live.net.Parts.Supplies {
		if len(supply.Returns) > 0 {
			add(supply.Rail, supply.Returns[0])
		}
	}
	terminals := map[int]bool{}
	for _, s := range p.Suspects() {
		if s.Chance < 0.002 {
			break
		}
		if s.Element >= 0 {
			terminals[c.Elements[s.Element].A], terminals[c.Elements[s.Element].B] = true, true
		}
		if s.At >= 0 {
			terminals[s.At] = true
		}
		if s.To >= 0 {
			terminals[s.To] = true
		}
	}
	var order []int
	for t := range terminals {
		order = append(order, t)
	}
	slices.Sort(order)
	var references []int
	for _, supply := range p.Live.net.Parts.Supplies {
		if len(supply.Returns) > 0 {
			references = append(references, supply.Returns[0])
		}
	}
	for _, t := range order {
		for _, reference := range references {
			if p.Live.net.Linked(t, reference) {
				add(t, reference)
				break
			}
		}
		for _, supply := range p.Live.net.Parts.Supplies { // a return is read against its rail
			if len(supply.Returns) > 0 && p.Live.Circuit.Nets().Same(t, supply.Returns[0]) {
				add(supply.Rail, t)
				break
			}
		}
	}
	for _, load := range p.Live.net.Parts.Loads {
		if len(load.Returns) > 0 && terminals[load.Feed] {
			add(load.Feed, load.Returns[0])
		}
	}
	return list
}

// openOhms stands for OL.
const openOhms = 1e7

// cell is what a diagnosis makes an act show.
type cell struct {
	volts  float64
	floats bool
	word   Word
}

func (p *Posterior) shows(a *Act, d Diagnosis) cell {
	var state *graphs.PowerState
	if a.Mode != model.ModeOhms {
		state = p.Live.Run(a.Conditions, d.Set...)
	}
	if a.Look != "" {
		ratio, _ := p.Live.ratio(a.Look, state, d.Set)
		dead, weak, works := does(ratio)
		switch max(dead, weak, works) {
		case dead:
			return cell{word: Dead}
		case weak:
			return cell{word: Weak}
		}
		return cell{word: Works}
	}
	if a.Mode == model.ModeOhms {
		sight := p.Live.sight(a.Red, a.Black, a.Conditions, d.Set)
		return cell{volts: min(sight.Ohms, openOhms)}
	}
	if a.Mode == model.ModeVoltsAC {
		rail := state.Between(a.Red, a.Black)
		volts := math.Max(p.Live.rippleAt(a.Red, a.Black, state, d.Set), usualRipple*math.Abs(rail))
		return cell{volts: volts}
	}
	return cell{volts: state.Between(a.Red, a.Black), floats: state.Ohms(a.Red, a.Black) >= floatingOhms}
}

// outcomes numbers what an act shows under each diagnosis, and notes what each
// outcome would leave.
func (p *Posterior) outcomes(a *Act, diagnoses []Diagnosis) []int {
	cells, order := make([]cell, len(diagnoses)), make([]int, len(diagnoses))
	for i, d := range diagnoses {
		cells[i], order[i] = p.shows(a, d), i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		x, y := cells[i], cells[j]
		return cmp.Or(cmp.Compare(x.word, y.word), cmp.Compare(b2f(x.floats), b2f(y.floats)), cmp.Compare(x.volts, y.volts))
	})
	numbers := make([]int, len(diagnoses))
	number := -1
	best := 0.0
	for k, i := range order {
		if k == 0 || !p.alike(a, cells[order[k-1]], cells[i]) {
			number, best = number+1, 0
			a.Outcomes = append(a.Outcomes, Outcome{})
		}
		numbers[i] = number
		outcome := &a.Outcomes[number]
		outcome.Chance += diagnoses[i].Chance
		if diagnoses[i].Chance > best {
			best = diagnoses[i].Chance
			outcome.Volts, outcome.Floats, outcome.Word, outcome.Leading = cells[i].volts, cells[i].floats, cells[i].word, diagnoses[i].Set
		}
	}
	return numbers
}

// alike says whether a person could not tell two displays apart.
func (p *Posterior) alike(a *Act, x, y cell) bool {
	switch {
	case x.word != y.word || x.floats != y.floats:
		return false
	case x.floats || a.Look != "":
		return true
	case a.Mode == model.ModeOhms:
		return y.volts < 2*math.Max(x.volts, 0.6)
	case a.Mode == model.ModeVoltsAC:
		return y.volts < 3*math.Max(x.volts, 0.02)
	}
	return math.Abs(x.volts-y.volts) < 0.2+0.05*math.Abs(y.volts)
}
