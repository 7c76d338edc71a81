package causes

import (
	"fmt"
	"strings"

	"bellout/model"
)

// Words says what a verdict means for the person who reads it.
func (v Verdict) Words() string {
	switch v {
	case Strong:
		return "One suspect leads by far, given this map."
	case Leaning:
		return "One suspect leads, but not by enough to act on: measure before you replace anything."
	case Undecided:
		return "Undecided: nothing but a measurement separates the first ones."
	}
	return "No common cause is supported: each may have died by itself."
}

// modeWords are what is set at the meter.
var modeWords = map[model.Mode]string{
	model.ModeContinuity: "continuity", model.ModeOhms: "ohms", model.ModeDiode: "diode test",
	model.ModeVoltsDC: "DC volts", model.ModeVoltsAC: "AC volts",
}

// Words says where the tips go, what to do first, and what to mind.
func (p Probe) Words() string {
	text := fmt.Sprintf("%s, red on %s, black on %s", modeWords[p.Mode], p.Red, p.Black)
	if len(p.Conditions) > 0 {
		text += ", with " + strings.Join(p.Conditions, "; ")
	}
	return text + ". " + p.Caution()
}

// Caution says what to mind at the probe: volts are read on the running machine,
// all else on a dead one.
func (p Probe) Caution() string {
	return strings.TrimSpace(p.caution() + " " + p.stays)
}

func (p Probe) caution() string {
	switch p.Mode {
	case model.ModeVoltsDC, model.ModeVoltsAC:
		return "The machine runs for this: extra-low-voltage side only, one hand, nothing moving, the black clip first; safest with the loads unplugged and a dummy load on the output."
	default:
		return "Power off, plug out, 0 V proven first; signal and USB leads out."
	}
}
