package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// findings returns what the readings call for, by rule.
func (e *evidence) findings() map[string][]Finding {
	byRule := map[string][]Finding{}
	for _, explanation := range e.explainer.Explain() {
		for _, finding := range e.findingsOf(explanation) {
			byRule[finding.Rule] = append(byRule[finding.Rule], finding)
		}
	}
	e.runningFindings(byRule, e.failedPartFindings(byRule))
	byRule[nameLivePart] = e.livePartFindings()
	for rule := range byRule {
		slices.SortFunc(byRule[rule], compareFindings)
	}
	if torn := e.intermittentFindings(); len(torn) > 0 {
		byRule[nameIntermittent] = torn
	}
	return byRule
}

// findingsOf turns an explanation into findings. A part that has another value
// than the map says is no fault, nor is a contact that was read closed once where
// its position says open.
func (e *evidence) findingsOf(explanation explain.Explanation) []Finding {
	var list []Finding
	for _, cause := range explanation.Causes {
		switch cause.Fault {
		case explain.WireOpen, explain.LinkOpen, explain.LoadOpen, explain.JointOpen:
			list = append(list, e.openFinding(cause))
		case explain.WireHigh, explain.LinkHigh, explain.JointHigh:
			list = append(list, e.highFinding(cause))
		case explain.Short:
			if e.b.NetOf(cause.A) != e.b.NetOf(cause.B) { // else no join of nets: see reason
				list = append(list, e.shortFinding(cause))
			}
		case explain.Swap:
			list = append(list, e.swapFinding(cause))
		case explain.Mirrored, explain.Shifted:
			list = append(list, e.patternFinding(cause))
		case explain.Moved:
			list = append(list, e.movedFinding(cause))
		case explain.LinkClosed:
			if finding, welded := e.weldedFinding(cause); welded {
				list = append(list, finding)
			}
		}
	}
	if len(explanation.Causes) == 0 {
		list = append(list, e.plainJoins(explanation)...)
	}
	return list
}

// plainJoins returns a finding for each pair of nets that must never meet and
// that a reading shows as joined, where the other readings speak against every
// place: with rails a doubtful join is named all the same.
func (e *evidence) plainJoins(explanation explain.Explanation) []Finding {
	byNets := map[netPair][]int64{}
	var order []netPair
	for _, number := range explanation.Unexplained {
		r := e.weighed[number].reading
		red, _ := e.b.Machine.TerminalIndex(r.Red)
		black, _ := e.b.Machine.TerminalIndex(r.Black)
		pair := netPair{min(e.b.NetOf(red), e.b.NetOf(black)), max(e.b.NetOf(red), e.b.NetOf(black))}
		if !e.joins(r) || pair.a == pair.b || !forbidden(e.b.Net(red).Kind) || !forbidden(e.b.Net(black).Kind) {
			continue
		}
		if byNets[pair] == nil {
			order = append(order, pair)
		}
		byNets[pair] = append(byNets[pair], number)
	}
	var list []Finding
	for _, pair := range order {
		numbers := byNets[pair]
		r := e.weighed[numbers[0]].reading
		red, _ := e.b.Machine.TerminalIndex(r.Red)
		black, _ := e.b.Machine.TerminalIndex(r.Black)
		rule := e.b.ruleOfJoin(red, black)
		finding := e.b.draft(rule, Fault).blameTerminals(red, black).nets(red, black).headed("%s and %s read as joined", e.b.Net(red).Name, e.b.Net(black).Name).say(round(1-explanation.Mistaken),
			fmt.Sprintf("%s and %s read as joined, though other readings say they are apart. %s", e.b.Net(red).Name, e.b.Net(black).Name, e.readingsText(numbers)),
			fmt.Sprintf("Power off and every load out, leads zeroed: repeat %s to %s and keep the tips on. If it stays below 0.5 ohm the join is real and comes and goes; "+
				"if it opens, strike the reading out.", r.Red, r.Black))
		finding.Readings = numbers
		list = append(list, finding)
	}
	return list
}

// leastRival is the least chance of a rival that stands in a finding's lists.
const leastRival = 0.10

// causeDraft begins the finding of a cause: its own names first, then those of
// its likely rivals, which are not blamed.
func (e *evidence) causeDraft(rule string, cause explain.Cause) *draft {
	d := e.b.draft(rule, Fault)
	e.blamePlace(d, cause.Place)
	e.nameRivals(d, cause.Rivals)
	return d
}

func (e *evidence) nameRivals(d *draft, rivals []explain.Rival) {
	for _, rival := range rivals {
		if rival.Confidence < leastRival {
			continue
		}
		named := e.b.draft(d.finding.Rule, Fault)
		e.blamePlace(named, rival.Place)
		d.rivals.devices = append(d.rivals.devices, named.first.devices...)
		d.rivals.terminals = append(d.rivals.terminals, named.first.terminals...)
		d.rivals.wires = append(d.rivals.wires, named.first.wires...)
		d.rest.terminals = append(d.rest.terminals, named.rest.terminals...)
		d.rest.nets = append(d.rest.nets, named.rest.nets...)
	}
}

func (e *evidence) blamePlace(d *draft, place explain.Place) {
	for _, id := range [2]int{place.Element, place.Other} {
		if id < 0 || place.Fault == explain.Short {
			continue
		}
		d.blame(id)
		element := e.b.AsDrawn.Elements[id]
		d.nets(element.A, element.B).terminals(element.A, element.B)
	}
	for _, t := range [2]int{place.A, place.B} {
		if t >= 0 {
			d.blameTerminals(t).nets(t)
		}
	}
}

// say ends the finding of a cause.
func (e *evidence) say(d *draft, cause explain.Cause, message, advice string) Finding {
	if message = sentence(message); len(cause.Readings) > 0 {
		message += " " + e.readingsText(cause.Readings)
	}
	if other := e.elseText(cause); other != "" {
		message += fmt.Sprintf(" Given this map it is %s sure; %s.", shareText(cause.Confidence), other)
	}
	finding := d.say(round(cause.Confidence), message, advice)
	finding.Readings = cause.Readings
	finding.Culprit = Culprit{Devices: eachOnce(d.first.devices), Terminals: eachOnce(d.first.terminals), Wires: eachOnce(d.first.wires)}
	return finding
}

// largeDoubt is the chance that only the readings are wrong from which on a
// finding says so.
const largeDoubt = 0.10

// elseText says what else it could be; empty where there is nothing to name.
func (e *evidence) elseText(cause explain.Cause) string {
	var parts []string
	if len(cause.Rivals) > 0 {
		names := make([]string, len(cause.Rivals))
		for i, rival := range cause.Rivals {
			names[i] = fmt.Sprintf("%s (%s)", e.placeText(rival.Place), shareText(rival.Confidence))
		}
		parts = append(parts, "it could also be "+eitherText(names, 4))
	}
	if cause.Mistaken >= largeDoubt {
		parts = append(parts, fmt.Sprintf("else the tips slipped (%s): repeat the touch", shareText(cause.Mistaken)))
	}
	return strings.Join(parts, "; ")
}

// surest is the most that readings can say: nothing is beyond doubt.
const surest = 0.994

// round keeps the digits of a confidence that mean something, and short of
// certainty: readings prove nothing beyond doubt.
func round(confidence float64) float64 {
	return math.Min(math.Round(confidence*1000)/1000, surest)
}

func shareText(share float64) string { return model.PercentText(math.Min(share, surest)) }

func (e *evidence) readingsText(numbers []int64) string {
	texts := make([]string, 0, len(numbers))
	for _, number := range numbers {
		texts = append(texts, e.readingText(number))
	}
	if len(texts) == 1 {
		return "Evidence: reading " + texts[0] + "."
	}
	return "Evidence: readings " + judge.ListText(texts, 5) + "."
}

// readingText says one reading in a few words, after its number.
func (e *evidence) readingText(number int64) string {
	r := e.weighed[number].reading
	under := ""
	if conditions := e.weighed[number].under; len(conditions) > 0 {
		under = ", " + conditions.String()
	}
	return fmt.Sprintf("%d (%s to %s: %s%s)", number, r.Red, r.Black, valueText(r), under)
}

func valueText(r model.Reading) string { return judge.ValueText(r) }

// placeText names a place as a sentence does.
func (e *evidence) placeText(place explain.Place) string {
	b := e.b
	switch place.Fault {
	case explain.WireOpen, explain.WireHigh:
		return b.elementName(place.Element)
	case explain.LinkOpen, explain.LinkHigh, explain.LinkClosed:
		return b.elementName(place.Element)
	case explain.LoadOpen, explain.PartValue:
		return judge.PartName(b.Machine, b.device(b.AsDrawn.Elements[place.Element].A))
	case explain.JointOpen, explain.JointHigh:
		return "the joint at " + b.name(place.A)
	case explain.Swap:
		return fmt.Sprintf("%s and %s swapped at %s", b.elementName(place.Element), b.elementName(place.Other), b.device(place.A))
	case explain.Mirrored:
		return b.device(place.A) + " mirrored"
	case explain.Shifted:
		return b.device(place.A) + " shifted by one"
	case explain.Moved:
		return fmt.Sprintf("%s on %s instead of %s", b.elementName(place.Element), b.name(place.B), b.name(place.A))
	default:
		return fmt.Sprintf("%s touching %s", b.name(place.A), b.name(place.B))
	}
}

func (e *evidence) openFinding(cause explain.Cause) Finding {
	b := e.b
	d := e.causeDraft(nameOpen, cause)
	var message, test, repair string
	good := "under 0.5 ohm" // what acquits it
	if cause.Element >= 0 {
		element := b.AsDrawn.Elements[cause.Element]
		from, to := b.name(element.A), b.name(element.B)
		test = fmt.Sprintf("Probe %s to %s", from, to)
		switch {
		case cause.Fault == explain.WireOpen:
			message = fmt.Sprintf("%s (%s to %s) does not conduct: its joint at one end, or the wire itself.", b.elementName(cause.Element), from, to)
			d.headed("%s is open between %s and %s", b.elementName(cause.Element), from, to)
			repair = "Tug it at both ends and look for bare copper; remake the joint, or replace the wire."
			if e.explainer.Blamed(cause.Element) {
				message = fmt.Sprintf("%s (%s to %s) does not conduct. The map draws it across nets that must not meet, so it is likelier not there than broken.",
					b.elementName(cause.Element), from, to)
				d.headed("%s is drawn from %s to %s and does not join them", b.elementName(cause.Element), from, to)
				repair = "Follow it from end to end: if it is not there or ends elsewhere, correct the map; if it is there, take it out."
			}
		case cause.Fault == explain.LoadOpen:
			message = fmt.Sprintf("%s does not conduct between %s and %s: what is read is the rest of the network.", e.placeText(cause.Place), from, to)
			d.headed("%s is open inside", upperFirst(e.placeText(cause.Place)))
			repair = "Replace it if it does."
			test = fmt.Sprintf("Unplug %s, so that it stands alone, and probe %s to %s", b.unplugText(b.device(element.A)), from, to)
			good = fmt.Sprintf("about %s", judge.OhmsText(element.Ohms))
		case element.Kind == graphs.Fuse:
			message = fmt.Sprintf("%s does not conduct: the fuse is blown or out.", b.elementName(cause.Element))
			d.headed("Fuse %s is blown or out", b.device(element.A))
			repair = "Take the fuse out and measure it alone. Find what blew it before another goes in."
		case element.Kind == graphs.Contact:
			message = fmt.Sprintf("%s does not conduct: the contact is worn or not in the position noted.", b.elementName(cause.Element))
			d.headed("Contact %s does not close", b.elementName(cause.Element))
			repair = "Note the position with the reading; move it a few times and repeat; clean or replace the contact."
		default:
			message = fmt.Sprintf("%s does not conduct: a contact that is not mated, latched or clean.", b.elementName(cause.Element))
			d.headed("%s does not conduct", b.elementName(cause.Element))
			repair = "Back-probe it while mated; reseat it until it clicks, replace both halves where it is burnt."
		}
	} else {
		message = fmt.Sprintf("The wires at %s are joined to each other, but not to the terminal.", b.name(cause.A))
		d.headed("The joint at %s is open", b.name(cause.A))
		test = fmt.Sprintf("Press one tip on the wires' own copper at %s, the other on the terminal", b.name(cause.A))
		repair = "Take the joint apart, strip or ferrule the wires anew, tighten it, and repeat the reading."
	}
	advice := fmt.Sprintf("%s: OL proves it, %s acquits it.", test, good)
	switch touches := e.touchesOf(cause); {
	case cause.Fault == explain.LoadOpen: // another test: it stands alone
	case touches == 1:
		advice = fmt.Sprintf("Repeat the same touch with firm tips, %s to %s: OL again proves it, %s acquits it.",
			b.name(b.AsDrawn.Elements[cause.Element].A), b.name(b.AsDrawn.Elements[cause.Element].B), good)
	case touches > 1:
		advice = fmt.Sprintf("Read across it %d times alike: take it as so.", touches)
	}
	advice += e.nextText(cause) + " " + repair
	if e.isEarth(cause.Place) {
		message = "Protective earth: " + message
	}
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

// isEarth says whether a place is part of a protective conductor.
func (e *evidence) isEarth(place explain.Place) bool {
	if place.Element >= 0 {
		return e.b.kept.Protective(place.Element)
	}
	return place.A >= 0 && slices.ContainsFunc(explain.WiresAt(e.b.AsDrawn, place.A), e.b.kept.Protective)
}

// deadOnly says whether a place calls for dead tests only.
func (e *evidence) deadOnly(place explain.Place) bool {
	return e.isEarth(place) || e.b.deadOnly([]int{place.Element, place.Other}, []int{place.A, place.B})
}

// notLive says whether no volts are asked for at a place: the mains, earth, and
// what has more than live probes are for.
func (e *evidence) notLive(place explain.Place) bool {
	ends := []int{place.A, place.B}
	for _, id := range [2]int{place.Element, place.Other} {
		if id >= 0 {
			ends = append(ends, e.b.AsDrawn.Elements[id].A, e.b.AsDrawn.Elements[id].B)
		}
	}
	return e.deadOnly(place) || !e.b.allLow(ends...)
}

// openPlug asks for volts before power returns, where they may be read live.
func (e *evidence) openPlug(place explain.Place) string {
	if e.notLive(place) {
		return ""
	}
	return "; before power returns check the volts at the open plug"
}

// touchesOf returns how many readings of a cause's evidence were taken across
// the element itself, at rest or in the position that conducts.
func (e *evidence) touchesOf(cause explain.Cause) int {
	if cause.Element < 0 {
		return 0
	}
	element := e.b.AsDrawn.Elements[cause.Element]
	ends := [2]model.TerminalRef{e.b.AsDrawn.Ref(element.A), e.b.AsDrawn.Ref(element.B)}
	count := 0
	for _, number := range cause.Readings {
		r := e.weighed[number].reading
		across := [2]model.TerminalRef{r.Red, r.Black} == ends || [2]model.TerminalRef{r.Black, r.Red} == ends
		if across && judge.OpenWay(r) {
			count++
		}
	}
	return count
}

// nextText says which reading tells a cause from its first rival.
func (e *evidence) nextText(cause explain.Cause) string {
	if len(cause.Rivals) == 0 {
		return ""
	}
	rival := cause.Rivals[0]
	if rival.Element >= 0 && rival.Fault != explain.Swap {
		element := e.b.AsDrawn.Elements[rival.Element]
		return fmt.Sprintf(" If it is acquitted, go on with %s to %s.", e.b.name(element.A), e.b.name(element.B))
	}
	return fmt.Sprintf(" If it is acquitted, look at %s.", e.placeText(rival.Place))
}

func (e *evidence) highFinding(cause explain.Cause) Finding {
	b := e.b
	d := e.causeDraft(nameHighResistance, cause)
	size := judge.OhmsText(e.sizeOf(cause))
	var message, test string
	switch {
	case cause.Element >= 0:
		element := b.AsDrawn.Elements[cause.Element]
		what := "a joint of it, or the wire itself, is bad"
		d.headed("%s has a bad joint, %s to %s", b.elementName(cause.Element), b.name(element.A), b.name(element.B))
		if cause.Fault == explain.LinkHigh {
			what = "the contact is slack, worn or corroded"
			d.headed("%s makes bad contact", b.elementName(cause.Element))
		}
		message = fmt.Sprintf("%s (%s to %s) has about %s too much: %s.", b.elementName(cause.Element), b.name(element.A), b.name(element.B), size, what)
		test = fmt.Sprintf("Zero the leads and probe %s to %s, then from each terminal to the bare copper beside it: the step is the bad joint.", b.name(element.A), b.name(element.B))
	default:
		message = fmt.Sprintf("The joint at %s has about %s between the terminal and its wires.", b.name(cause.A), size)
		d.headed("The joint at %s is bad", b.name(cause.A))
		test = fmt.Sprintf("Zero the leads and probe from %s to the bare copper of each wire there.", b.name(cause.A))
	}
	advice := test + e.nextText(cause) + " Remake the joint and repeat the reading"
	if e.notLive(cause.Place) {
		advice += "."
	} else {
		advice += "; under load, millivolts across it tell more than ohms."
	}
	if e.isEarth(cause.Place) {
		message = "Protective earth: " + message
	}
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

// sizeOf returns a cause's size: the median of what its readings show above the
// map.
func (e *evidence) sizeOf(cause explain.Cause) float64 {
	var sizes []float64
	for _, number := range cause.Readings {
		w := e.weighed[number]
		if w.reading.Value.Kind == model.ShowsNumber && w.reading.Mode == model.ModeOhms && w.judgement.Outcome == judge.Contradicts {
			if over := w.reading.Value.Number - e.judge.Meter.LeadOhms - w.judgement.Sight.Ohms; w.judgement.Sight.Metal && over > 0 {
				sizes = append(sizes, over)
			}
		}
	}
	if len(sizes) == 0 {
		return cause.Ohms
	}
	slices.Sort(sizes)
	return sizes[len(sizes)/2]
}

func (e *evidence) swapFinding(cause explain.Cause) Finding {
	b := e.b
	d := e.causeDraft(nameSwapped, cause).
		headed("%s and %s are swapped at %s", b.elementName(cause.Element), b.elementName(cause.Other), b.device(cause.A))
	message := fmt.Sprintf("%s and %s are swapped at %s: %s ends at %s, %s at %s.",
		b.elementName(cause.Element), b.elementName(cause.Other), b.device(cause.A),
		b.elementName(cause.Element), b.name(cause.B), b.elementName(cause.Other), b.name(cause.A))
	far := b.AsDrawn.Far(cause.Element, cause.A)
	advice := fmt.Sprintf("Probe %s to %s: a join proves it. Swap the two and mark them, or correct the map if the machine is right%s.",
		b.name(far), b.name(cause.B), e.openPlug(cause.Place))
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

// caution puts what must be said first before advice that touches the mains.
func (e *evidence) caution(place explain.Place, advice string) string {
	terminals := []int{place.A, place.B}
	for _, id := range [2]int{place.Element, place.Other} {
		if id >= 0 {
			terminals = append(terminals, e.b.AsDrawn.Elements[id].A, e.b.AsDrawn.Elements[id].B)
		}
	}
	for _, t := range terminals {
		if t >= 0 && (e.b.kept.Mains(t) || e.b.Net(t).Kind.Mains()) {
			return "This is the mains side: plug out and in sight, dead, ohms only; a licensed person decides and repairs. " + advice
		}
	}
	if e.isEarth(place) {
		return "Do not use the machine before its earth is whole again: metal that hands reach may come alive. Plug out, dead, ohms only. " + advice
	}
	if e.deadOnly(place) {
		return "Earth is in this: plug out, dead, ohms only. " + advice
	}
	return advice
}

// shortFinding names two nets that touch. Where several places fit, the nets
// are sure and the place is not.
func (e *evidence) shortFinding(cause explain.Cause) Finding {
	b := e.b
	rule := b.ruleOfJoin(cause.A, cause.B)
	var elsewhere []string
	rivals := cause.Rivals[:0:0]
	d := b.draft(rule, Fault).blameTerminals(cause.A, cause.B).nets(cause.A, cause.B).
		headed("%s and %s touch, at %s to %s", b.Net(cause.A).Name, b.Net(cause.B).Name, b.name(cause.A), b.name(cause.B))
	if text, found := b.neutralAtEarth(cause.A, cause.B); found {
		d.headed("%s", text)
	}
	for _, rival := range cause.Rivals {
		if rival.Fault == explain.Short && b.sameNets(rival.Place, cause.Place) {
			elsewhere = append(elsewhere, fmt.Sprintf("%s to %s", b.name(rival.A), b.name(rival.B)))
			d.rivals.terminals = append(d.rivals.terminals, b.name(rival.A), b.name(rival.B))
			d.rivals.devices = append(d.rivals.devices, b.device(rival.A), b.device(rival.B))
			continue
		}
		rivals = append(rivals, rival)
	}
	e.nameRivals(d, rivals)
	place := fmt.Sprintf("%s to %s", b.name(cause.A), b.name(cause.B))
	message := fmt.Sprintf("%s, and nothing on the map joins them.", b.joinText(cause.A, cause.B, func(t int) string { return b.Net(t).Name }))
	message += fmt.Sprintf(" They may touch at %s.", eitherText(append([]string{place}, elsewhere...), 5))
	if cause.Ohms > 0 {
		message += fmt.Sprintf(" The join has about %s.", judge.OhmsText(cause.Ohms))
	}
	if cause.Other >= 0 {
		message += fmt.Sprintf(" By the other readings it has blown %s.", b.elementName(cause.Other))
	}
	advice := fmt.Sprintf("Power off and every load out: a steady reading below 0.5 ohm from %s to %s is a real join, a coil or a cold lamp is not. ", b.name(cause.A), b.name(cause.B))
	switch {
	case b.kept.Mains(cause.A) || b.kept.Mains(cause.B):
		advice += "Leave the plug out until it is found. Nothing is lifted there: follow both by eye to where they may touch."
	case e.deadOnly(cause.Place):
		advice += "Then unplug or lift branch after branch, but no earth, until the reading opens: the join lies in what was taken off last. Take the cause out and sleeve the place."
	default:
		advice += "Then unplug or lift branch after branch until the reading opens: the join lies in what was taken off last. Take the cause out and sleeve the place."
	}
	cause.Rivals = rivals
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

func (b *Analysis) sameNets(p, q explain.Place) bool {
	a1, b1, a2, b2 := b.NetOf(p.A), b.NetOf(p.B), b.NetOf(q.A), b.NetOf(q.B)
	return a1 == a2 && b1 == b2 || a1 == b2 && b1 == a2
}

// ruleOfJoin returns the rule that a join of two terminals' nets breaks.
func (b *Analysis) ruleOfJoin(x, y int) string {
	kindX, kindY := b.Net(x).Kind, b.Net(y).Kind
	switch {
	case kindX == graphs.NetRail && kindY == graphs.NetRail:
		return nameRailCross
	case kindX == graphs.NetReturn && kindY == graphs.NetReturn:
		return nameMixedGround
	default:
		return nameShort
	}
}

// compareFindings puts the worst first.
func compareFindings(x, y Finding) int {
	if order := severityOrder(x.Severity) - severityOrder(y.Severity); order != 0 {
		return order
	}
	if order := ruleOrder(x.Rule) - ruleOrder(y.Rule); order != 0 {
		return order
	}
	for _, lists := range [][2][]string{{x.Wires, y.Wires}, {x.Terminals, y.Terminals}, {x.Devices, y.Devices}, {x.Nets, y.Nets}} {
		if order := model.Compare(strings.Join(lists[0], " "), strings.Join(lists[1], " ")); order != 0 {
			return order
		}
	}
	return strings.Compare(x.Message, y.Message)
}
