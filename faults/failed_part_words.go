package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// How sure volts make it that a supply is guilty, read at its own terminals, and
// elsewhere on its rail while nobody read the supply itself. Engineering judgement:
// nothing but a supply lifts a rail, what hangs on one can pull it down, a minus
// sign is mostly the tips, and joints fail more often than supplies.
var (
	sureOwn  = map[FailMode]float64{FailHigh: 0.97, FailDead: 0.85, FailLow: 0.8, FailRipple: 0.9, FailReversed: 0.5}
	sureAway = map[FailMode]float64{FailHigh: 0.8, FailDead: 0.3, FailLow: 0.3, FailRipple: 0.6, FailReversed: 0.3}
)

// sureWay is how sure it is that the way is bad where the supply itself reads
// right. The rest is a slip of the tips.
const sureWay = 0.9

// guilty accuses a supply.
func (r *railEvidence) guilty(a *accusation) Finding {
	b := r.e.b
	supply := b.Parts.Supplies[a.supplies[0]]
	d := b.draft(nameFailedPart, Fault)
	var devices []string
	for _, at := range a.supplies {
		s := b.Parts.Supplies[at]
		d.blameTerminals(s.Rail).nets(s.Rail)
		devices = append(devices, s.Device)
	}
	devices = eachOnce(devices)
	hung := r.hung(a.supplies)
	d.devices(hung...)
	first := a.own[0].judgement.Rail
	numbers := r.numbers(a)
	together := len(devices) > 1 && !r.feeds(a.supplies[0], a.supplies[1], 0)

	var line, message, advice string
	at, volts := supply.Device, model.MeterFigures(first.Nominal)
	live := len(supply.Returns) > 0 && b.MayProbeLive(supply.Rail, supply.Returns[0]) && math.Abs(first.Volts) < judge.LiveProbeDC
	switch {
	case together:
		line = headline("%s: no volts at any of them", judge.ListText(devices, 3))
		message = fmt.Sprintf("%s give nothing at their own terminals. What they share is likelier than that each died: the plug, a switch or a fuse before them.", judge.ListText(devices, 6))
		advice = "Is the plug in and every switch on? What was read with it out is noted" + r.plugNote() + ", or struck out. " +
			"Else what lies before them is the mains side: a licensed person looks at it."
	case a.mode == FailHigh:
		line = headline("%s gives too many volts for its "+volts+" V rail: switch off", at)
		message = fmt.Sprintf("%s gives %s V where %s to %s V belong. No load lifts a rail: it is %s itself, set wrong or failed high.", at, model.MeterFigures(first.Volts), model.MeterFigures(first.Low), model.MeterFigures(first.High), at)
		advice = switchOff(hung) + fmt.Sprintf(" Take the plugs of all of them off. %s Nothing goes back on it before it has held its volts for an hour; each of them runs on a current-limited supply first.", r.alone(supply.Device, live))
	case a.mode == FailReversed:
		line = headline("%s reads the wrong way round at its "+volts+" V output", at)
		message = fmt.Sprintf("%s reads %s V at its own terminals, of the wrong sign: the tips were exchanged, or its output is.", at, model.MeterFigures(first.Volts))
		advice = "Strike the reading out if the tips were exchanged. If not, switch off: whatever hangs on it stands on reversed volts. " + r.alone(supply.Device, live)
	case a.mode == FailRipple:
		line = headline("%s puts ripple on its "+volts+" V rail", at)
		message = fmt.Sprintf("%s carries %s V AC on its %s V rail, %s %%; a sound supply stays under 1 %%. Mostly its capacitors have dried out.", at, model.MeterFigures(first.Volts), volts, model.MeterFigures(100*first.Volts/first.Nominal))
		advice = "Read it again loaded as in use, and a twin of it if there is one. If it stays, replace the supply (never open it), and see that it is cooled."
		if first.Volts > 0.5*first.Nominal {
			advice = "First try the meter's AC range on a battery: some take DC for AC. " + advice
		}
	case a.mode == FailDead:
		line = headline("%s gives nothing on its "+volts+" V rail", at)
		message = fmt.Sprintf("%s gives %s V at its own terminals where %s to %s V belong.", at, model.MeterFigures(first.Volts), model.MeterFigures(first.Low), model.MeterFigures(first.High))
		advice = "Was it on? What was read with the plug out is noted" + r.plugNote() + ", or struck out. " + r.input(supply.Device) +
			"Else power off, unplug what hangs on it, and read it alone: volts that are back accuse a short or a load beyond it, and 0 V accuses " + at + "."
	default:
		line = headline("%s gives too few volts for its "+volts+" V rail", at)
		message = fmt.Sprintf("%s gives %s V at its own terminals where %s to %s V belong: it fails, or what hangs on it pulls it down.", at, model.MeterFigures(first.Volts), model.MeterFigures(first.Low), model.MeterFigures(first.High))
		advice = r.input(supply.Device) + "Unplug its loads one after another, power off between, and read again at its own terminals: volts that come back accuse what came off last, volts that stay low accuse " + at + "."
		if b.kindOf(at) == model.KindBattery {
			line = headline("%s is discharged or worn", at)
			message = fmt.Sprintf("%s has %s V where %s V and more belong: it is discharged, or worn.", at, model.MeterFigures(first.Volts), model.MeterFigures(first.Low))
			advice = "Charge it as its maker says and read it again under its load. Volts that fall off at once: replace it."
		}
	}
	if !live && a.mode != FailHigh && a.mode != FailReversed {
		advice = "Switch off. " + r.alone(supply.Device, live)
	}
	if len(devices) > 1 && !together {
		message += fmt.Sprintf(" %s hang%s on it.", judge.ListText(devices[1:], 4), plural(devices[1:]))
	}
	finding := d.say(sureOwn[a.mode], message+" "+r.e.readingsText(numbers), advice)
	finding.Mode, finding.Headline, finding.Readings = a.mode, line, numbers
	finding.Culprit = Culprit{Devices: devices, Terminals: eachOnce(d.first.terminals), Wires: []string{}}
	return finding
}

func plural(list []string) string {
	if len(list) == 1 {
		return "s"
	}
	return ""
}

// switchOff says what to do at once about too many volts.
func switchOff(hung []string) string {
	if len(hung) == 0 {
		return "Switch off now."
	}
	return fmt.Sprintf("Switch off now. What hangs on it may be damaged: %s.", judge.ListText(hung, 8))
}

// alone says how a supply is read by itself.
func (r *railEvidence) alone(device string, live bool) string {
	if !live {
		return fmt.Sprintf("%s has more than is probed live here: a competent person reads it alone.", device)
	}
	return fmt.Sprintf("Then read %s alone, a dummy load on it and nothing else.", device)
}

// input sends to the input of a converter first.
func (r *railEvidence) input(device string) string {
	b := r.e.b
	for _, at := range b.loadsOf(device) {
		if l := b.Parts.Loads[at]; len(l.Returns) > 0 && b.MayProbeLive(l.Feed, l.Returns[0]) {
			return fmt.Sprintf("First its input, %s to %s. ", b.name(l.Feed), b.name(l.Returns[0]))
		}
	}
	return ""
}

// plugNote says how a reading with the plug out is noted.
func (r *railEvidence) plugNote() string {
	for _, device := range sortedRefs(r.e.b.Machine.Devices) {
		if r.e.b.kindOf(device) == model.KindMainsInlet {
			return fmt.Sprintf(" with \"unplugged %s\"", device)
		}
	}
	return ""
}

// hung names the devices that hang on supplies.
func (r *railEvidence) hung(supplies []int) []string {
	b := r.e.b
	var list []string
	for at, load := range b.Parts.Loads {
		if slices.ContainsFunc(b.Feeding(at), func(s int) bool { return slices.Contains(supplies, s) && r.device(s) != load.Device }) {
			list = append(list, load.Device)
		}
	}
	slices.SortFunc(list, model.Compare)
	return slices.Compact(list)
}

func (r *railEvidence) numbers(a *accusation) []int64 {
	var numbers []int64
	for _, w := range slices.Concat(a.own, a.away) {
		numbers = append(numbers, w.reading.Number)
	}
	slices.Sort(numbers)
	return slices.Compact(numbers)
}

// onTheWay is the finding of readings elsewhere on a rail: of the way there where
// the supply reads right, of the supply or the way where nobody read it.
func (r *railEvidence) onTheWay(a *accusation) Finding {
	if r.acquitted(a.supplies, a.mode == FailRipple) || r.rightAnywhere(a.supplies, a.mode == FailRipple) || len(a.supplies) == 0 {
		return r.way(a)
	}
	b := r.e.b
	supply := b.Parts.Supplies[a.supplies[0]]
	places, tips := r.places(a)
	d := b.draft(nameFailedPart, Fault)
	for _, s := range a.supplies {
		d.blameTerminals(b.Parts.Supplies[s].Rail).nets(b.Parts.Supplies[s].Rail)
	}
	d.terminals(tips...)
	hung := r.hung(a.supplies)
	d.devices(hung...)
	v := a.away[0].judgement.Rail
	at := supply.Device
	decide := fmt.Sprintf("Read %s at its own terminals", at)
	if len(supply.Returns) > 0 {
		decide += fmt.Sprintf(", %s to %s", b.name(supply.Rail), b.name(supply.Returns[0]))
	}
	if len(supply.Returns) == 0 || !b.MayProbeLive(supply.Rail, supply.Returns[0]) {
		decide = fmt.Sprintf("Have a competent person read %s at its own terminals", at)
	}
	what := map[FailMode]string{FailHigh: "too many volts", FailLow: "too few volts", FailDead: "next to nothing", FailRipple: "AC", FailReversed: "volts of the wrong sign"}[a.mode]
	line := headline("%s: "+what+" (from %s)", judge.ListText(places, 2), at)
	message := fmt.Sprintf("%s reads %s V where %s to %s V belong: %s.", judge.ListText(places, 4), model.MeterFigures(v.Volts), model.MeterFigures(v.Low), model.MeterFigures(v.High), what)
	advice := decide + fmt.Sprintf(": right there, the way is bad; wrong there too, it is %s.", at)
	switch a.mode {
	case FailHigh:
		line = headline("%s gets too many volts (from %s): switch off", judge.ListText(places, 2), at)
		advice = switchOff(hung) + " No load lifts a rail: it is " + at + " itself, another rail that got in, or a 0 V that is lost. Plugs off, then: " + lowerFirst(decide) + "."
	case FailRipple:
		message = fmt.Sprintf("%s carries %s V AC on the %s V rail, %s %%; a sound rail stays under 1 %%.", judge.ListText(places, 4), model.MeterFigures(v.Volts), model.MeterFigures(v.Nominal), model.MeterFigures(100*v.Volts/v.Nominal))
		advice = decide + fmt.Sprintf(", AC, loaded as in use: as much there, it is %s; clean there, a load that pulses or a slack joint makes it.", at)
	case FailReversed:
		advice = "Strike the reading out if the tips were exchanged. Else switch off. " + advice
	default:
		message += fmt.Sprintf(" Nobody read %s itself: it may be the supply or the way from it.", at)
	}
	numbers := r.numbers(a)
	finding := d.say(sureAway[a.mode], message+" "+r.e.readingsText(numbers), advice)
	finding.Mode, finding.Headline, finding.Readings = a.mode, line, numbers
	return finding
}

func lowerFirst(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// places names where an accusation's readings away from the supply were taken: the
// loads, else the points.
func (r *railEvidence) places(a *accusation) (names []string, tips []int) {
	b := r.e.b
	for _, w := range a.away {
		red, black := r.e.tips(w)
		tips = append(tips, red, black)
		if load := w.judgement.Rail.Load; load >= 0 {
			names = append(names, b.Parts.Loads[load].Device)
		} else {
			names = append(names, b.name(r.railTip(w)))
		}
	}
	return eachOnce(names), tips
}

// ruleOfWay is the rule of a way that is bad while its supply is right.
var ruleOfWay = map[FailMode]string{FailDead: nameOpen, FailLow: nameHighResistance, FailReversed: "swapped", FailHigh: nameFailedPart, FailRipple: nameFailedPart}

// mostBlamed is how many elements of a way are blamed by name, as it is one of them.
const mostBlamed = 3

// way accuses what lies between a supply that reads right and places that do not.
func (r *railEvidence) way(a *accusation) Finding {
	b := r.e.b
	places, tips := r.places(a)
	where := judge.ListText(places, 4)
	short := judge.ListText(places, 2)
	v := a.away[0].judgement.Rail
	source := "its supply"
	if len(a.supplies) > 0 {
		source = r.device(a.supplies[0])
	}
	rule := ruleOfWay[a.mode]
	d := b.draft(rule, Fault)
	between := r.between(a)
	numbers := r.numbers(a)
	on := ""
	if len(between) > 0 {
		names := make([]string, len(between))
		for i, id := range between {
			names[i] = b.elementName(id)
		}
		on = fmt.Sprintf(" Between lie %s.", judge.ListText(names, 6))
		if len(names) == 1 {
			on = fmt.Sprintf(" Between lies %s.", names[0])
		}
		if len(names) <= mostBlamed {
			d.blame(between...)
		}
	}
	if drivers := b.driversAt(tips); len(drivers) > 0 {
		on += fmt.Sprintf(" Or the output of %s does not switch.", judge.ListText(drivers, 3))
	}
	d.blameTerminals(tips...).nets(tips...)
	halve := fmt.Sprintf("With it on, black stays on the 0 V of %s and red moves back along the feed, then red stays and black moves along the return: where the volts come is the bad place. ", source)
	if !b.allLow(tips...) {
		halve = ""
	}
	var line, message, advice string
	switch a.mode {
	case FailHigh:
		line = headline("%s gets too many volts, %s gives the right ones: switch off", short, source)
		message = fmt.Sprintf("%s gets %s V where it stands %s V at most, and %s itself reads right: another rail got in, or the 0 V there is lost.", where, model.MeterFigures(v.Volts), model.MeterFigures(v.High), source)
		advice = "Switch off now. What hangs there may be damaged: " + where + ". Plug out, plugs off, then dead: ohms from each 0 V there to that of " + source + " (metal belongs there), and from its feed to the other rails (nothing belongs there)."
	case FailRipple:
		line = headline("%s gets ripple, %s itself is clean", short, source)
		message = fmt.Sprintf("%s carries %s V AC on the %s V rail, %s %%, and %s itself is clean: a load that pulses, or a slack joint on the way.", where, model.MeterFigures(v.Volts), model.MeterFigures(v.Nominal), model.MeterFigures(100*v.Volts/v.Nominal), source)
		advice = halve + "Take loads off one after another until it goes."
	case FailReversed:
		line = headline("%s gets reversed volts, %s gives the right ones", short, source)
		message = fmt.Sprintf("%s reads %s V, of the wrong sign, and %s itself reads right: the tips were exchanged, or feed and return are, on the way.", where, model.MeterFigures(v.Volts), source)
		advice = "Strike the reading out if the tips were exchanged. Else switch off and unplug it: reversed volts destroy. Dead, plug out: ohms from each pin of the open plug to the rail and to 0 V."
	default:
		line = headline("No volts reach %s, %s gives them: the way is open", short, source)
		short, bad := "next to nothing", "open"
		if a.mode == FailLow {
			line = headline("%s gets too few volts, %s gives the right ones: a bad joint", judge.ListText(places, 2), source)
			short, bad = "too little", "bad"
		}
		message = fmt.Sprintf("%s reads %s V, %s, while the rail of %s reads right: something on the way is %s, feed or return.", where, model.MeterFigures(v.Volts), short, source, bad)
		if len(places) > 1 {
			message = strings.Replace(message, " reads ", " read ", 1)
		}
		advice = halve + "Dead, plug out: ohms along the feed and along the return, from the middle on."
	}
	sure := sureWay
	if a.mode == FailReversed {
		sure = sureOwn[FailReversed]
	}
	finding := d.say(sure, message+on+" "+r.e.readingsText(numbers), advice)
	finding.Headline, finding.Readings = line, numbers
	if rule == nameFailedPart {
		finding.Mode = a.mode
	}
	finding.Culprit = Culprit{Devices: eachOnce(d.first.devices), Terminals: eachOnce(d.first.terminals), Wires: eachOnce(d.first.wires)}
	return finding
}

// driversAt names the devices whose outputs lie on the nets of terminals.
func (b *Analysis) driversAt(terminals []int) []string {
	var devices []string
	for _, t := range terminals {
		for _, other := range b.Net(t).Terminals {
			if b.role(other) == model.RoleDrive {
				devices = append(devices, b.device(other))
			}
		}
	}
	return eachOnce(devices)
}

// between returns what may be bad on the way: what lies on the ways to all the bad
// places and to none that reads right.
func (r *railEvidence) between(a *accusation) []int {
	if len(a.supplies) == 0 || a.mode == FailHigh {
		return nil
	}
	suspected := map[int]int{}
	for _, w := range a.away {
		for _, id := range r.wayTo(w, a.supplies[0]) {
			suspected[id]++
		}
	}
	for _, w := range r.current {
		if w.judgement.Rail.Verdict == judge.RailGood && w.reading.Mode == a.away[0].reading.Mode && slices.Contains(r.of[w], a.supplies[0]) {
			for _, id := range r.wayTo(w, a.supplies[0]) {
				delete(suspected, id)
			}
		}
	}
	var list []int
	for _, id := range sortedKeys(suspected) {
		if suspected[id] == len(a.away) {
			list = append(list, id)
		}
	}
	return list
}

// wayTo lists the elements on the ways from a supply's rail and return to a
// reading's tips.
func (r *railEvidence) wayTo(w *weighed, supply int) []int {
	b := r.e.b
	red, black := r.e.tips(w)
	rail := r.railTip(w)
	zero := red
	if rail == red {
		zero = black
	}
	view := r.e.judge.View(w.reading.Conditions)
	list := explain.Between(view, b.Parts.Supplies[supply].Rail, rail)
	if returns := b.Parts.Supplies[supply].Returns; len(returns) > 0 {
		list = append(slices.Clone(list), explain.Between(view, returns[0], zero)...)
	}
	return slices.DeleteFunc(slices.Clone(list), func(id int) bool { return id >= len(b.AsDrawn.Elements) })
}
