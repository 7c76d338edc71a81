package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/assets"
	"bellout/faults/diagnosis"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// leastBlamed is the chance from which on a suspect of the running machine is a
// finding: likelier than not.
const leastBlamed = 0.5

// Running weighs what the running machine shows, and what was read of the dead one;
// nil where devices do what the map says and no volts contradict it.
func (d *Diagnosis) Running() *diagnosis.Posterior { return d.analysis.evidence.running() }

func (e *evidence) running() *diagnosis.Posterior {
	if e.weighedRunning {
		return e.posterior
	}
	e.posterior, e.weighedRunning = nil, true
	wrong := false
	for _, w := range e.odd {
		wrong = wrong || w.reading.Mode.Volts()
	}
	if e.live == nil && (wrong || slices.ContainsFunc(e.b.Machine.Symptoms, model.Symptom.Stands)) {
		e.live = diagnosis.NewLive(e.b.AsDrawn)
	}
	if !wrong && (e.live == nil || !e.live.Complaint()) {
		return nil
	}
	var readings []model.Reading
	for _, number := range sortedKeys(e.weighed) {
		w := e.weighed[number]
		volts := e.volts[number] != nil && w.reading.Drift.Final() && !e.replaced(w)
		if volts || w.counts && !e.torn[w.key] {
			readings = append(readings, w.reading)
		}
	}
	// volts that are as they should be, where the network is too plain to have them, say
	// nothing: sources that share a rail, outputs that somebody commanded and did not note
	evidence := slices.DeleteFunc(diagnosis.Gather(e.live, readings), func(one diagnosis.Evidence) bool {
		r, volts := one.(*diagnosis.Reading)
		return volts && e.weighed[r.Reading.Number].judgement.Outcome == judge.Agrees && r.Surprises()
	})
	if len(evidence) > 0 {
		e.posterior = diagnosis.Weigh(e.live, evidence, assets.DefaultPriors())
	}
	return e.posterior
}

// runningFindings adds what the running machine calls for, and what the volts by
// themselves do, to the findings of the dead machine: one cause, one finding. A place
// that the dead machine's readings name is theirs, and a supply with wrong volts at
// its own terminals the volts'; what else they make of readings that a suspect
// explains is the suspect's.
func (e *evidence) runningFindings(byRule map[string][]Finding, volts []Finding) {
	var suspects []diagnosis.Suspect
	p := e.running()
	if p != nil {
		suspects = p.Suspects()
	}
	for at, s := range suspects {
		if s.Chance < leastBlamed {
			break
		}
		rivals := slices.DeleteFunc(slices.Concat(suspects[:at], suspects[at+1:]), func(r diagnosis.Suspect) bool { return r.Chance >= leastBlamed })
		f := e.suspectFinding(p, s, rivals)
		named := slices.ContainsFunc(volts, func(g Finding) bool { return g.Mode == f.Mode && g.Rule == f.Rule && namesSame(g, f) })
		for rule, list := range byRule {
			for i := range list {
				if namesSame(list[i], f) || joinRule(rule) && (s.Kind == diagnosis.Touch || s.Kind == diagnosis.LoadShort) && sameSet(list[i].Nets, f.Nets) {
					named = true
					list[i].Readings = bothReadings(list[i].Readings, f.Readings)
				}
			}
			byRule[rule] = slices.DeleteFunc(list, func(g Finding) bool { return !joinRule(rule) && !namesSame(g, f) && followsFrom(g, f) })
		}
		volts = slices.DeleteFunc(volts, func(g Finding) bool { return !(g.Mode == f.Mode && namesSame(g, f)) && followsFrom(g, f) })
		if !named {
			byRule[f.Rule] = append(byRule[f.Rule], f)
		}
	}
	for _, finding := range volts {
		byRule[finding.Rule] = append(byRule[finding.Rule], finding)
	}
}

// followsFrom says whether a finding only tells of readings that a surer one explains.
func followsFrom(g, f Finding) bool {
	return (g.Confidence < f.Confidence || namesSame(g, f)) && len(g.Readings) > 0 && allIn(g.Readings, f.Readings)
}

// namesSame says whether two findings blame one thing.
func namesSame(x, y Finding) bool {
	if len(x.Culprit.Wires)+len(y.Culprit.Wires) > 0 {
		return slices.Equal(x.Culprit.Wires, y.Culprit.Wires)
	}
	if len(x.Culprit.Terminals) > 1 && len(y.Culprit.Terminals) > 1 {
		return allIn(x.Culprit.Terminals, y.Culprit.Terminals) || allIn(y.Culprit.Terminals, x.Culprit.Terminals)
	}
	return len(x.Culprit.Devices) > 0 && allIn(y.Culprit.Devices, x.Culprit.Devices)
}

func allIn[T comparable](part, whole []T) bool {
	return !slices.ContainsFunc(part, func(x T) bool { return !slices.Contains(whole, x) })
}

func bothReadings(x, y []int64) []int64 { return eachOnce(slices.Concat(x, y)) }

// suspectFinding words a suspect of the running machine.
func (e *evidence) suspectFinding(p *diagnosis.Posterior, s diagnosis.Suspect, rivals []diagnosis.Suspect) Finding {
	var f Finding
	place, message := explain.Place{Element: -1, Other: -1, A: -1, B: -1}, ""
	if s.Element >= 0 {
		place.Element = s.Element
	} else {
		place.A, place.B = s.At, s.To
	}
	switch s.Kind {
	case diagnosis.ElementOpen, diagnosis.ElementHigh, diagnosis.Touch:
		f = e.wiringSuspect(s, place)
	default:
		d := e.b.draft(nameFailedPart, Fault)
		e.blamePlace(d, place)
		message = upperFirst(e.live.Text(s.Hypothesis)) + "."
		f = d.say(0, message, e.caution(place, e.partAdvice(s)))
		f.Culprit = Culprit{Devices: eachOnce(d.first.devices), Terminals: eachOnce(d.first.terminals), Wires: eachOnce(d.first.wires)}
	}
	if !strings.Contains(strings.ToLower(f.Advice), "plug out") && !strings.HasPrefix(f.Advice, "With it on") {
		f.Advice = "Power off, plug out. " + f.Advice
	}
	if mode, part := e.modeOf(s); part {
		f.Rule, f.Mode = nameFailedPart, mode
	}
	f.Confidence = round(s.Chance)
	f.Headline = headline("%s (%s)", e.live.Text(s.Hypothesis), shareText(f.Confidence))
	speaks := p.Explains(s)
	f.Readings = readingsOf(speaks)
	for _, other := range p.Parts(s, rivals[:min(len(rivals), 5)]) {
		if !slices.Contains(speaks, other) {
			speaks = append(speaks, other)
		}
	}
	if names := rivalNames(p, rivals); len(names) > 0 {
		f.Message += fmt.Sprintf(" It could also be: %s.", strings.Join(names, "; "))
	}
	f.Message += " " + e.speaksText(speaks)
	return f
}

func readingsOf(list []diagnosis.Evidence) []int64 {
	numbers := []int64{}
	for _, one := range list {
		switch r := one.(type) {
		case *diagnosis.Reading:
			numbers = append(numbers, r.Reading.Number)
		case *diagnosis.DeadReading:
			numbers = append(numbers, r.Reading.Number)
		}
	}
	slices.Sort(numbers)
	return numbers
}

// rivalNames names what else may be wrong, with its chance.
func rivalNames(p *diagnosis.Posterior, rivals []diagnosis.Suspect) []string {
	const most, least = 3, 0.02
	var names []string
	for _, r := range rivals {
		if len(names) < most && r.Chance >= least {
			names = append(names, fmt.Sprintf("%s (%s)", p.Live.Text(r.Hypothesis), shareText(r.Chance)))
		}
	}
	return names
}

// speaksText counts and lists what a suspect rests on.
func (e *evidence) speaksText(list []diagnosis.Evidence) string {
	var texts []string
	for _, one := range list {
		if s, is := one.(*diagnosis.Symptom); is {
			texts = append(texts, s.String())
		}
	}
	for _, number := range readingsOf(list) {
		texts = append(texts, "reading "+e.readingText(number))
	}
	if len(texts) == 1 {
		return "Evidence: only " + texts[0] + "."
	}
	return fmt.Sprintf("Evidence: %d things noted, %s.", len(texts), judge.ListText(texts, 6))
}

// wiringSuspect words a wire, a joint or a link as the readings of a dead machine do.
func (e *evidence) wiringSuspect(s diagnosis.Suspect, place explain.Place) Finding {
	cause := explain.Cause{Hypothesis: explain.Hypothesis{Place: place, Ohms: s.Size}, Confidence: s.Chance}
	kind := graphs.Wire
	if s.Element >= 0 {
		kind = e.b.AsDrawn.Elements[s.Element].Kind
	}
	switch {
	case s.Kind == diagnosis.Touch:
		cause.Fault, cause.Ohms, cause.Other = explain.Short, 0, s.Blown
		return e.shortFinding(cause)
	case s.Kind == diagnosis.ElementHigh:
		cause.Fault = explain.LinkHigh
		if kind == graphs.Wire {
			cause.Fault = explain.WireHigh
		}
		return e.highFinding(cause)
	}
	cause.Fault = explain.LinkOpen
	switch kind {
	case graphs.Wire:
		cause.Fault = explain.WireOpen
	case graphs.Resistance:
		cause.Fault = explain.LoadOpen
	}
	f := e.openFinding(cause)
	if kind == graphs.Fuse && !e.notLive(place) {
		f.Advice = fmt.Sprintf("Take %s out and read it alone: OL convicts it. Before a new one goes in: ohms behind it, to 0 V; what blew it may still be there.", e.b.device(e.b.AsDrawn.Elements[s.Element].A))
	}
	return f
}

// modeOf returns in what way a part failed; false where it is the wiring.
func (e *evidence) modeOf(s diagnosis.Suspect) (FailMode, bool) {
	if s.Kind == diagnosis.ElementOpen {
		switch e.b.AsDrawn.Elements[s.Element].Kind {
		case graphs.Fuse:
			return FailBlown, true
		case graphs.Contact, graphs.Resistance:
			return FailOpen, true
		}
		return "", false
	}
	mode, part := map[diagnosis.Kind]FailMode{
		diagnosis.ElementClose: FailWelded, diagnosis.PartShort: FailShort, diagnosis.PartValue: FailValue, diagnosis.LoadOpen: FailDead,
		diagnosis.LoadShort: FailShort, diagnosis.SupplyDead: FailDead, diagnosis.SupplyLow: FailLow, diagnosis.SupplyHigh: FailHigh,
		diagnosis.SupplyRipple: FailRipple, diagnosis.StuckOn: FailStuckOn, diagnosis.StuckOff: FailStuckOff, diagnosis.DiodeOpen: FailOpen,
		diagnosis.DiodeShort: FailShort, diagnosis.DiodeTurned: FailReversed, diagnosis.NoPower: FailDead,
	}[s.Kind]
	return mode, part
}

// partAdvice says how a part is convicted or acquitted, and what goes with its
// repair.
func (e *evidence) partAdvice(s diagnosis.Suspect) string {
	b := e.b
	at, device, across := s.At, "", ""
	if s.Element >= 0 {
		element := b.AsDrawn.Elements[s.Element]
		at, across = element.A, fmt.Sprintf("%s to %s", b.name(element.A), b.name(element.B))
	} else if s.To >= 0 {
		across = fmt.Sprintf("%s to %s", b.name(s.At), b.name(s.To))
	}
	device = b.device(at)
	alone := fmt.Sprintf("Power off, plug out. Unplug %s, so that it stands alone, and read %s", b.unplugText(device), across)
	switch s.Kind {
	case diagnosis.ElementClose:
		return fmt.Sprintf("Run nothing that %s should stop. Plug out: ohms %s in the position that opens; closed again proves it. Replace it, then ask what welded it: a short behind it, a fuse too large for it.", device, across)
	case diagnosis.PartShort:
		return alone + ", ohms: next to nothing proves it. Replace it; the output that drives it may have died of it, test that first."
	case diagnosis.PartValue:
		return alone + fmt.Sprintf(", ohms: about %s belong there; its twin, if it has one, tells more.", judge.OhmsText(b.AsDrawn.Elements[s.Element].Ohms))
	case diagnosis.LoadOpen:
		return e.atItself(at, s.To, model.ModeVoltsDC, fmt.Sprintf("its own volts there, while it does nothing, prove that %s itself has failed", device)) +
			" Replace it and note it as failed: what killed it may kill the next one (bellout suspects)."
	case diagnosis.LoadShort:
		fuse := ""
		if s.Blown >= 0 {
			fuse = fmt.Sprintf(" No new fuse in %s before that.", b.device(b.AsDrawn.Elements[s.Blown].A))
		}
		return fmt.Sprintf("Power off, plug out: ohms %s, then unplug %s and read again: a short that is gone convicts it.%s", across, b.unplugText(device), fuse)
	case diagnosis.StuckOn:
		return fmt.Sprintf("Power off, plug out, its load unplugged: ohms %s; next to nothing proves it. A transistor is replaced, not sleeved; then ask what killed it: a coil without a diode, a short in the load.", across)
	case diagnosis.StuckOff:
		return "Is it commanded on, and was that noted? Then its load unplugged, read whether the output switches with a lamp or a resistor on it. A transistor is replaced; then ask what killed it."
	case diagnosis.DiodeOpen, diagnosis.DiodeShort, diagnosis.DiodeTurned:
		return fmt.Sprintf("Power off, plug out, one end of it lifted: diode range %s, both ways. Replace it with its ring the right way round, and test the output that it protects.", across)
	case diagnosis.NoPower:
		return "Is the plug in and every switch on? What lies before the supplies is the mains side: a licensed person looks at it."
	}
	return e.supplyAdvice(s, device)
}

// supplyAdvice sends to a supply's own terminals.
func (e *evidence) supplyAdvice(s diagnosis.Suspect, device string) string {
	r := railEvidence{e: e}
	at := slices.IndexFunc(e.b.Parts.Supplies, func(o graphs.Supply) bool { return o.Rail == s.At })
	supply := e.b.Parts.Supplies[at]
	back := -1
	if len(supply.Returns) > 0 {
		back = supply.Returns[0]
	}
	switch s.Kind {
	case diagnosis.SupplyHigh:
		low := back >= 0 && e.b.MayProbeLive(s.At, back) && math.Abs(s.Size*supply.Volts.Or(0)) < judge.LiveProbeDC
		return switchOff(r.hung([]int{at})) + " Plugs off all of them. " + r.alone(device, low)
	case diagnosis.SupplyRipple:
		return e.atItself(s.At, back, model.ModeVoltsAC, "more than 1 % of its volts, loaded as in use, convicts it") + " Replace it, never open it, and see that it is cooled."
	}
	return r.input(device) + e.atItself(s.At, back, model.ModeVoltsDC, "right there, it is acquitted") +
		" Wrong there: power off, unplug what hangs on it and read it alone before it is replaced; a short on its rail looks the same."
}

// atItself asks for volts at a part's own terminals, from whoever may read them.
func (e *evidence) atItself(red, black int, mode model.Mode, means string) string {
	if black < 0 || !e.b.MayProbeLive(red, black) {
		return fmt.Sprintf("A competent person reads %s at its own terminals: %s.", e.b.device(red), means)
	}
	return fmt.Sprintf("With it on, %s, %s to %s: %s.", map[model.Mode]string{model.ModeVoltsDC: "volts DC", model.ModeVoltsAC: "volts AC"}[mode], e.b.name(red), e.b.name(black), means)
}
