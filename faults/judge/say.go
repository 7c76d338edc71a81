package judge

import (
	"fmt"
	"math"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Say tells in a few sentences what a good machine shows where a reading was
// taken, through what, and what the reading means, with the caution that the
// place wants.
func (j *Judge) Say(r model.Reading, judgement Judgement) string {
	return strings.TrimSpace(j.say(r, judgement) + " " + j.Caution(r))
}

func (j *Judge) say(r model.Reading, judgement Judgement) string {
	red, foundRed := j.Machine.TerminalIndex(r.Red)
	black, foundBlack := j.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return "The reading names a terminal that the map does not have."
	}
	if r.Mode.Volts() {
		return j.sayVolts(r, judgement, red, black)
	}
	if r.Value.Kind == model.ShowsNumber && r.Value.Number < 0 {
		return "Negative ohms: residual voltage is present. Stop, discharge, check for 0 V, then repeat; this reading tells nothing of the wiring."
	}
	exact := judgement.Sight
	if !exact.Metal && !judgement.Unmapped {
		exact = j.Sight(red, black, r.Conditions)
	}
	expected := j.Expected(r, exact, red, black)
	return expected + " " + j.meaning(r, judgement, red, black)
}

// Expected says what a good machine shows where a reading was taken, and
// through what.
func (j *Judge) Expected(r model.Reading, s Observed, red, black int) string {
	through := j.Along(r.Conditions, s, red, black)
	switch {
	case s.Metal:
		return fmt.Sprintf("A good machine shows a join here, %s%s.", OhmsText(s.Ohms), through)
	case math.IsInf(s.Ohms, 1) && s.Decided():
		return "A good machine shows nothing here: no path joins the two."
	case math.IsInf(s.Ohms, 1):
		between, lie := j.beside(r.Conditions, red, black)
		return fmt.Sprintf("Only %s %s between the two: a good machine may show anything but metal.", between, lie)
	case !s.Decided():
		beside, lie := j.beside(r.Conditions, red, black)
		return fmt.Sprintf("A good machine shows %s or less here%s; %s %s beside it.", OhmsText(s.Ohms), through, beside, lie)
	default:
		return fmt.Sprintf("A good machine shows %s here%s.", OhmsText(s.Ohms), through)
	}
}

func (j *Judge) meaning(r model.Reading, judgement Judgement, red, black int) string {
	shown := ValueText(r)
	switch judgement.Outcome {
	case Agrees:
		switch {
		case judgement.ByBond:
			return "The join is one that a bond permits: no fault."
		case r.Value.Kind == model.ShowsOL || r.Value.Kind == model.ShowsSilent:
			return fmt.Sprintf("The reading %s agrees.", shown)
		case !judgement.Sight.Metal && math.IsInf(judgement.Sight.Ohms, 1):
			return fmt.Sprintf("The reading %s agrees: that much is leakage, damp or fingers on the tips, no join.", shown)
		case !judgement.Sight.Metal:
			part := fmt.Sprintf("The reading %s agrees: it is the part, no join of nets.", shown)
			if open := j.OpenContacts(red, black, r.Conditions); len(open) > 0 && r.Value.Kind == model.ShowsBeep {
				part += fmt.Sprintf(" It does not say that %s is open: read ohms.", j.Machine.Links[j.Rest.Elements[open[0]].Row].Place())
			}
			return part
		default:
			return fmt.Sprintf("The reading %s agrees.", shown)
		}
	case Undecided:
		switch {
		case !r.Drift.Final():
			return fmt.Sprintf("The value was %s: a capacitor, not final. Hold the tips for 10 to 30 s, swap them, and take what stands still.", r.Drift)
		case judgement.ByContact:
			return fmt.Sprintf("The reading %s depends on a contact whose position is not noted: note it, as in open S1:1-2 or closed S1:1-2, and repeat.", shown)
		case judgement.Unmapped && j.WireMayLack(red, black):
			return fmt.Sprintf("The reading %s is no join: a part, maybe behind a wire that the map does not have yet.", shown)
		case judgement.Unmapped:
			return fmt.Sprintf("The reading %s is a part or electronics that the map does not hold, such as a supply's output stage, no join: %s.", shown, j.aside(r, red, black))
		case !judgement.Sight.Decided():
			return fmt.Sprintf("The reading %s can't tell: %s.", shown, j.aside(r, red, black))
		case r.Mode == model.ModeContinuity:
			return fmt.Sprintf("The reading %s can't tell: what lies between is near the meter's threshold. Read ohms.", shown)
		default:
			return fmt.Sprintf("The reading %s is a part or electronics that the map does not hold, no join: %s.", shown, j.aside(r, red, black))
		}
	default:
		if r.Value.Kind == model.ShowsNumber || r.Value.Kind == model.ShowsBeep {
			return fmt.Sprintf("The reading %s contradicts that.", shown)
		}
		again := fmt.Sprintf("The reading %s contradicts that: repeat it once with firm tips.", shown)
		if j.onEarth(red) && j.onEarth(black) {
			again += " Do not use the machine before this earth reads low."
		}
		return again
	}
}

// Along names what a meter's current goes through between two terminals: parts
// first, else the wires. It begins with a space where it is not empty.
func (j *Judge) Along(conditions model.Conditions, s Observed, red, black int) string {
	if math.IsInf(s.Ohms, 1) {
		return ""
	}
	path := j.View(conditions).Through(red, black)
	parts, wires := j.PathParts(conditions, path)
	switch {
	case len(parts) > 0:
		return " through " + ListText(parts, 3)
	case len(wires) > 0:
		return " along " + ListText(wires, 6)
	default:
		return ""
	}
}

// PathParts names the parts (coil E1, lamp H2) and the wires that lie on a path
// of terminals, in its order.
func (j *Judge) PathParts(conditions model.Conditions, path []int) (parts, wires []string) {
	c := j.View(conditions)
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		best := -1
		for _, id := range c.Incident(a) {
			e := c.Elements[id]
			if !e.Present || c.Far(int(id), a) != b {
				continue
			}
			if best < 0 || rank(e) < rank(c.Elements[best]) {
				best = int(id)
			}
		}
		if best < 0 {
			continue
		}
		switch e := c.Elements[best]; e.Kind {
		case graphs.Wire:
			wires = append(wires, j.Machine.Wires[e.Row].Name)
		case graphs.Resistance:
			parts = append(parts, PartName(j.Machine, j.Machine.Links[e.Row].Device))
		}
	}
	return parts, wires
}

// rank prefers, of several elements between two terminals, the one that carries
// most.
func rank(e graphs.Element) float64 {
	switch {
	case e.Kind.Metal():
		return e.Ohms
	case e.Kind == graphs.Resistance:
		return 1e3 + e.Ohms
	default:
		return math.Inf(1)
	}
}

// PartName names a device by what a meter sees of it: coil K3, lamp H1.
func PartName(m *model.Machine, ref string) string {
	device, _ := m.Device(ref)
	switch device.Kind {
	case model.KindSolenoid, model.KindRelay:
		return "coil " + ref
	case model.KindMotor:
		return "motor " + ref
	case model.KindLamp:
		return "lamp " + ref
	case model.KindSpeaker:
		return "speaker " + ref
	case model.KindSupply, model.KindConverter:
		return "the output of supply " + ref
	case model.KindMainsInlet:
		return "the filter of inlet " + ref
	default:
		return ref
	}
}

// ValueText prints what a display showed with its unit, as people say it:
// 4.7 kohm, 12.5 V, OL.
func ValueText(r model.Reading) string {
	if r.Value.Kind != model.ShowsNumber {
		return r.Value.String()
	}
	switch r.Mode {
	case model.ModeOhms:
		switch size := math.Abs(r.Value.Number); {
		case size >= 1e6:
			return model.NotedFigures(r.Value.Number/1e6) + " Mohm"
		case size >= 1e3:
			return model.NotedFigures(r.Value.Number/1e3) + " kohm"
		default:
			return model.NotedFigures(r.Value.Number) + " ohm"
		}
	case model.ModeVoltsAC:
		return model.NotedFigures(r.Value.Number) + " V AC"
	default:
		return model.NotedFigures(r.Value.Number) + " V"
	}
}

// OhmsText prints a resistance as a display would.
func OhmsText(ohms float64) string {
	switch {
	case math.IsInf(ohms, 1):
		return "OL"
	case ohms < 0.1:
		return "under 0.1 ohm"
	case ohms < 1e3:
		return model.Figures(ohms) + " ohm"
	case ohms < 1e6:
		return model.Figures(ohms/1e3) + " kohm"
	default:
		return model.Figures(ohms/1e6) + " Mohm"
	}
}
