package changes

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/graphs"
	"bellout/model"
)

// Stage is when a step is made.
type Stage string

// The stages, in order.
const (
	StageBefore Stage = "before it comes out"
	StageOut    Stage = "the old one is out, nothing is mated, plug out"
	StageVolts  Stage = "volts at the open plug, before mating"
	StageIn     Stage = "plug out again, the other one is in: terminal by terminal"
	StagePower  Stage = "first power"
)

// Step is one thing to do or to measure.
type Step struct {
	Stage    Stage  `json:"stage"`
	Terminal string `json:"terminal"` // DEVICE:TERMINAL; empty where it is about the whole
	// Probe is nil where nothing is measured.
	Probe   *nextprobe.Probe `json:"probe"`
	Do      string           `json:"do"`      // where the tips are, or what is done, in words
	Expect  string           `json:"expect"`  // what a good machine shows; empty where nothing is measured
	Else    string           `json:"else"`    // what anything else means
	Caution string           `json:"caution"` // to heed at this step; may be empty
}

const (
	cautionOff = "Plug out and in sight, capacitors discharged, batteries and other sources off, 0 V measured between the two first."
	// cautionLive is for the one kind of step that is made with power on.
	cautionLive = "A live test, extra-low voltage only: one hand, shrouded probes, the return clipped first, nothing that can move, somebody near. If any of that does not hold, leave it out."
)

func (r *replacing) steps() []Step {
	list := []Step{{Stage: StageBefore, Do: "Take a picture of every plug and terminal, the marks to be seen. Put a label with wire and terminal on each wire that has none.", Caution: cautionOff}}
	list = append(list, r.stepsOut()...)
	list = append(list, r.stepsVolts()...)
	list = append(list, r.stepsIn()...)
	if r.onlyMains() {
		return append(list, Step{Stage: StagePower, Do: "Power comes on by somebody who may do so under the local code, after they looked at the work.", Caution: judge.MainsCaution})
	}
	return append(list, Step{
		Stage: StagePower, Do: "Fused, current limited, one rail at a time, its supply measured first, the return joined before anything else, a hand on the switch.",
		Else:    "Off at once if a fuse opens, something smells, or a rail is not within its limits.",
		Caution: "Nothing that moves may be able to hurt anybody. Bellout never says that a circuit is safe: local codes and licensed people come first.",
	})
}

// onlyMains is true of a device that has nothing but mains terminals.
func (r *replacing) onlyMains() bool {
	for _, t := range r.terminals {
		if !r.mains(t.Ref()) {
			return false
		}
	}
	return len(r.terminals) > 0
}

// stepsOut are the dead checks of the wires while nothing hangs on them: each
// feed against its return.
func (r *replacing) stepsOut() []Step {
	var list []Step
	for _, t := range r.terminals {
		if t.Role != model.RoleFeed && t.Role != model.RoleRail || r.mains(t.Ref()) || len(r.wires[t.Ref()]) == 0 {
			continue
		}
		black, found := r.black(t, true)
		red := farEnd(r.wires[t.Ref()][0], t.Ref())
		if !found || red == black {
			continue
		}
		s := r.dead(StageOut, t, red, black, model.ModeOhms, r.unplugged)
		s.Do = fmt.Sprintf("Red on the wire of %s (or %s), black on the return (%s).", t.Ref(), red, black)
		s.Else = "Under 0.5 ohm: the rail meets its return in the wiring. Put nothing on it before that is found. What supplies and other loads on the rail read is no short: it climbs, or differs when the tips are swapped."
		list = append(list, s)
	}
	return list
}

// mayProbeLive says whether volts may be asked for between two terminals.
func (r *replacing) mayProbeLive(red, black model.TerminalRef) bool {
	a, foundA := r.m.TerminalIndex(red)
	c, foundC := r.m.TerminalIndex(black)
	return foundA && foundC && r.bench.MayProbeLive(a, c) && r.known.Report().MayBeLive()
}

// stepsVolts are the volts at the open plug. None on the mains side, none at or
// above the bound of live probes.
func (r *replacing) stepsVolts() []Step {
	var list []Step
	for _, t := range r.terminals {
		black, found := r.black(t, true)
		if r.mains(t.Ref()) || found && t.Role == model.RoleFeed && r.mains(black) {
			continue // nothing is measured live there; the cautions say so
		}
		if t.Role == model.RoleRail {
			list = append(list, r.alone(t)...)
			continue
		}
		volts, black, known := r.running(t, r.unplugged)
		if !known || len(r.wires[t.Ref()]) == 0 {
			continue
		}
		red := farEnd(r.wires[t.Ref()][0], t.Ref())
		if !r.mayProbeLive(red, black) || math.Abs(volts) >= judge.LiveProbeDC {
			list = append(list, Step{Stage: StageVolts, Terminal: t.Ref().String(), Do: fmt.Sprintf("%s carries about %.0f V: no live probe there. Check the wiring dead, and have somebody who may do so look at the volts.", t.Ref(), volts)})
			continue
		}
		probe := nextprobe.Probe{Red: red, Black: black, Mode: model.ModeVoltsDC, Conditions: r.unplugged}
		s := Step{
			Stage: StageVolts, Terminal: t.Ref().String(), Probe: &probe, Expect: voltsExpected(t, volts),
			Do:      fmt.Sprintf("Power on, nothing mated. Red on the plug's contact for %s (one with %s), black on that of the return (%s).", t.Ref(), red, black),
			Else:    "A minus sign: the two are swapped. Other volts: another rail, or a supply that is off its mark. Do not mate it before that is found.",
			Caution: r.cautionLive(red, black),
		}
		list = append(list, s)
	}
	return list
}

// alone are the volts of another supply by itself, before anything hangs on it.
func (r *replacing) alone(rail model.Terminal) []Step {
	black, found := r.ownReturn(rail)
	if !found || !rail.Volts.Known || !r.mayProbeLive(rail.Ref(), black) {
		return nil
	}
	probe := nextprobe.Probe{Red: rail.Ref(), Black: black, Mode: model.ModeVoltsDC, Conditions: r.unplugged}
	alone := "The other supply alone, its plug not mated, its mains side covered, a dummy load across its output"
	if r.device.Kind.Known() == model.KindBattery {
		alone = "The other battery alone, no lead on it, nothing across it"
	}
	at, _ := r.m.TerminalIndex(rail.Ref())
	low, high, by, known := r.known.Judge().RailLimits(at)
	if !known {
		return nil
	}
	return []Step{{
		Stage: StageVolts, Terminal: rail.Ref().String(), Probe: &probe,
		Do:      fmt.Sprintf("%s: red on %s itself, black on %s.", alone, rail.Ref(), black),
		Expect:  fmt.Sprintf("%s V, the sign right; stop under %s or over %s V (%s)", model.Figures(rail.Volts.Value), model.Figures(low), model.Figures(high), by),
		Else:    "It is set to other volts, it is another supply, or its output is reversed. Mate nothing to it.",
		Caution: r.cautionLive(rail.Ref(), black),
	}}
}

// ownReturn is the return of a supply that belongs to one of its rails.
func (r *replacing) ownReturn(rail model.Terminal) (model.TerminalRef, bool) {
	for _, supply := range r.bench.Parts.Supplies {
		if r.m.Terminals[supply.Rail].Ref() == rail.Ref() && len(supply.Returns) > 0 {
			return r.m.Terminals[supply.Returns[0]].Ref(), true
		}
	}
	return model.TerminalRef{}, false
}

func voltsExpected(t model.Terminal, volts float64) string {
	text := model.MeterFigures(volts) + " V"
	if low, high := t.Limits(); t.Role == model.RoleFeed && low.Known && high.Known {
		text += fmt.Sprintf(", and within %s to %s V", model.Figures(low.Value), model.Figures(high.Value))
	}
	return text + ", the sign right"
}

// stepsIn are the checks after the other device is in: every wired terminal to the
// other end of its wire, then feeds against returns.
func (r *replacing) stepsIn() []Step {
	var list []Step
	for _, t := range r.terminals {
		wires := r.wires[t.Ref()]
		if len(wires) == 0 {
			list = append(list, Step{Stage: StageIn, Terminal: t.Ref().String(), Do: fmt.Sprintf("%s stays free: no wire of the map ends there.", t.Ref()), Else: "A wire there is one that the map does not have, or one that belongs elsewhere."})
			continue
		}
		for _, w := range wires {
			if r.stays() { // no ohms against it: it is live
				list = append(list, Step{Stage: StageIn, Terminal: t.Ref().String(), Do: fmt.Sprintf("%s back on %s, the minus last.%s", w.Name, t.Ref(), tug(w)), Caution: r.cautionOff(t.Ref(), farEnd(w, t.Ref()), nil)})
				continue
			}
			mode := model.ModeOhms
			if kind := r.net(t.Ref()).Kind; kind == graphs.NetSignal || kind == graphs.NetOther {
				mode = model.ModeContinuity
			}
			s := r.dead(StageIn, t, t.Ref(), farEnd(w, t.Ref()), mode, nil)
			s.Do = fmt.Sprintf("%s: red on %s itself, black on %s.%s", w.Name, t.Ref(), farEnd(w, t.Ref()), tug(w))
			s.Else = "Open, or some ohms more: the joint, or the wire belongs to another terminal. Try the neighbours before anything is powered."
			list = append(list, s)
		}
	}
	return append(list, r.polarity()...)
}

func tug(w model.Wire) string {
	if w.Colour == "" {
		return " Pull gently."
	}
	return fmt.Sprintf(" Insulation %s. Pull gently.", w.Colour)
}

// polarity checks each feed against its return, the device in place.
func (r *replacing) polarity() []Step {
	var list []Step
	for _, t := range r.terminals {
		if t.Role != model.RoleFeed && t.Role != model.RoleRail || r.mains(t.Ref()) || len(r.wires[t.Ref()]) == 0 || r.stays() {
			continue
		}
		black, found := r.black(t, false)
		if !found || black == t.Ref() {
			continue
		}
		s := r.dead(StageIn, t, t.Ref(), black, model.ModeOhms, nil)
		s.Do = fmt.Sprintf("Polarity: red on %s, black on %s. Compare the marks with those of the old one; then change the tips over and read again.", t.Ref(), black)
		s.Else = "Under 0.5 ohm: a short, or a diode that sits backwards. The same both ways where a diode belongs: it is missing, or the coil beside it hides it."
		list = append(list, s)
	}
	return list
}

// dead is a step without power between two terminals.
func (r *replacing) dead(stage Stage, t model.Terminal, red, black model.TerminalRef, mode model.Mode, conditions model.Conditions) Step {
	a, _ := r.m.TerminalIndex(red)
	b, _ := r.m.TerminalIndex(black)
	conditions, may := r.bench.Staying().TakeOut(a, b, conditions, false)
	s := Step{Stage: stage, Terminal: t.Ref().String(), Caution: r.cautionOff(red, black, conditions)}
	if !may {
		s.Expect = "not asked: what stays live with the plug out cannot be taken out"
		return s
	}
	probe := nextprobe.Probe{Red: red, Black: black, Mode: mode, Conditions: conditions}
	s.Probe = &probe
	x, err := faults.Expect(r.m, red, black, mode, conditions)
	switch {
	case err != nil:
		s.Expect = "not known: " + err.Error()
	case !x.Known:
		s.Expect = "what electronics in the way read: no fixed value"
	case mode == model.ModeOhms && !math.IsInf(x.Ohms, 1):
		s.Expect = judge.OhmsText(x.Ohms) + " and the leads"
	default:
		s.Expect = x.Shows
	}
	return s
}

// stays says whether the device is live with the plug out, and so is the other one.
func (r *replacing) stays() bool {
	return slices.ContainsFunc(r.bench.Staying().Sources(), func(s faults.StayingSource) bool { return s.Device == r.device.Ref })
}

// cautionOff goes with a test of the dead machine between two terminals.
func (r *replacing) cautionOff(red, black model.TerminalRef, conditions model.Conditions) string {
	caution := cautionOff
	if r.mains(red) || r.mains(black) {
		caution = judge.MainsCaution
	}
	a, _ := r.m.TerminalIndex(red)
	b, _ := r.m.TerminalIndex(black)
	return strings.TrimSpace(caution + " " + r.bench.Staying().Caution(a, b, conditions, false))
}

// cautionLive goes with volts between two terminals.
func (r *replacing) cautionLive(red, black model.TerminalRef) string {
	a, _ := r.m.TerminalIndex(red)
	b, _ := r.m.TerminalIndex(black)
	return strings.TrimSpace(cautionLive + " " + r.bench.Staying().LiveCaution(a, b))
}

// openFindings are the faults at the device, or on a net that it is joined to:
// another device would meet them too.
func (r *replacing) openFindings() []string {
	nets := map[string]bool{}
	for _, t := range r.terminals {
		nets[r.net(t.Ref()).Name] = true
	}
	own := func(place string) bool {
		device, _, _ := strings.Cut(place, ":")
		return device == r.device.Ref
	}
	list := []string{}
	for _, f := range r.known.Report().Findings {
		here := slices.ContainsFunc(f.Devices, own) || slices.ContainsFunc(f.Terminals, own) ||
			slices.ContainsFunc(f.Nets, func(name string) bool { return nets[name] })
		if f.Severity == faults.Fault && here {
			list = append(list, "Not mended yet, mend it first: "+f.Message)
		}
	}
	return list
}

// cautions are those that the device itself calls for, and those that always hold.
func (r *replacing) cautions() []string {
	list := []string{}
	if live, is := r.known.Report().Live(); is {
		list = append(list, live.Headline+". "+live.Advice)
	}
	list = append(append(list, r.openFindings()...),
		"Unplug the machine from the mains and keep the plug in sight. A switch or a button is no isolation. Name every other source: a second plug, a UPS, a battery, USB from something that is powered elsewhere.",
		"Wait, drain the rails through a resistor, never with a tool, and measure below 10 V before a wire comes off. Prove the meter before and after.",
	)
	kind := r.device.Kind.Known()
	if rest := r.bench.Staying().Everything(); rest != "" {
		list = append(list, rest)
	}
	hasMains := false
	for _, t := range r.terminals {
		hasMains = hasMains || r.mains(t.Ref())
	}
	if hasMains {
		list = append(list, judge.MainsCaution+" Where earth (PE) joins it: off last, on first, and read in low ohms from the plug's pin to the metal afterwards.")
	}
	switch kind {
	case model.KindSupply, model.KindConverter:
		list = append(list, "Do not open a sealed supply: its primary capacitors hold several hundred volts long after it was unplugged. Measure the other one alone, into a dummy load, before anything hangs on it.")
	case model.KindBattery:
		list = append(list, "A battery cannot be switched off. Cover its terminals, take the negative off first or as the maker says, never short, pierce or charge a swollen, hot or leaking one.")
	case model.KindMotor, model.KindSolenoid:
		list = append(list, "Nothing may move or fall when it comes off: block it, and drain air and springs. Check the diode across a coil before its driver is trusted with it.")
	case model.KindAmplifier, model.KindSpeaker:
		list = append(list, "A speaker terminal may sit at half the supply: join none of them to 0 V, and none to another channel's.")
	case model.KindFuse, model.KindBreaker:
		list = append(list, "Same rating and same type as the sheet of fuses says, never more than the thinnest wire behind it may carry. A fuse that opened had a cause: find it first.")
	}
	if strings.Contains(strings.ToLower(r.device.Title+" "+r.device.Note), "lithium") {
		list = append(list, "Lithium packs: disconnect and move away before wiring work, terminals insulated.")
	}
	return append(list, "Bellout never says that a circuit is safe. Local codes come first; mains wiring, earth and fixed installations are for licensed people.")
}
