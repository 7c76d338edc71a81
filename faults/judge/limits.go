package judge

import (
	"math"

	"bellout/model"
)

// Limits are what a meter may show without contradicting the map: Decide and
// Limits never part. Numbers include the leads.
type Limits struct {
	Low, High float64 // of a number; +Inf: none is too high
	OL        bool    // the display may go over its range
	// Beep and Silent: of continuity, the one, the other or either may be heard.
	Beep, Silent bool
}

// Limits returns what may be shown in ohms and continuity.
func (m Meter) Limits(mode model.Mode, s Observed) Limits {
	if mode == model.ModeContinuity {
		expected, other := m.beepsAt(s.Ohms), m.beepsAt(s.LeastOhms)
		return Limits{
			Beep:   math.Max(expected, other) >= likelyEnough,
			Silent: 1-math.Min(expected, other) >= likelyEnough,
		}
	}
	l := Limits{Low: math.Inf(-1), OL: m.overRange(s.Ohms) >= likelyEnough}
	if s.Metal {
		l.High = s.Ohms + m.JointLimit
	} else {
		l.Low, l.High = m.nearRange(s.Ohms)
		if math.IsInf(s.Ohms, 1) {
			l.Low = leakAboveOhms
		}
		if !s.Decided() {
			least, _ := m.nearRange(s.LeastOhms)
			l.Low = math.Min(l.Low, math.Max(MetalBelowOhms, math.Min(least, s.LeastOhms)))
		}
		l.Low += m.LeadOhms
		if l.Low <= m.LeadOhms {
			l.Low = math.Inf(-1) // what the leads read by themselves
		}
	}
	l.High += m.LeadOhms
	return l
}

// nearRange is where near holds.
func (m Meter) nearRange(ohms float64) (low, high float64) {
	if math.IsInf(ohms, 1) {
		return ohms, ohms
	}
	factor := math.Exp(partTooFar * m.PartSpread)
	return math.Min(ohms-2*m.MetalOhms, ohms/factor), math.Max(ohms+2*m.MetalOhms, ohms*factor)
}

// Limits returns what a reading may show without contradicting the map, and
// whether the map fixes any; not of the ranges AC and diode.
func (j *Judge) Limits(r model.Reading, judgement Judgement) (limits Limits, known bool) {
	red, foundRed := j.Machine.TerminalIndex(r.Red)
	black, foundBlack := j.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack || judgement.ByBond || judgement.ByContact {
		return Limits{}, false
	}
	switch r.Mode {
	case model.ModeContinuity, model.ModeOhms:
		return j.Meter.Limits(r.Mode, judgement.Sight), true
	case model.ModeVoltsDC:
		if !judgement.Volts.Known || judgement.Danger != NoDanger || j.onMains(red) || j.onMains(black) {
			return Limits{}, false
		}
		if rail := judgement.Rail; rail.Firm {
			return Limits{Low: math.Min(rail.Sign*rail.Low, rail.Sign*rail.High), High: math.Max(rail.Sign*rail.Low, rail.Sign*rail.High)}, true
		} else if rail.Load >= 0 || len(rail.Outputs) > 0 {
			return Limits{}, false // it hangs on what is on
		}
		margin := math.Max(voltsLeast, voltsShare*math.Abs(judgement.Volts.Value))
		return Limits{Low: judgement.Volts.Value - margin, High: judgement.Volts.Value + margin}, true
	}
	return Limits{}, false
}

// Text prints the limits with a unit, three figures each: more only where value
// would else seem to lie on the other side of one.
func (l Limits) Text(unit string, value model.Value) string {
	switch {
	case l.Beep && l.Silent:
		return ""
	case l.Beep:
		return "beep"
	case l.Silent:
		return "silent"
	}
	scale := 1.0
	if least := math.Max(l.Low, -l.Low); least >= 1000 && !math.IsInf(least, 1) || math.IsInf(l.Low, -1) && l.High >= 1000 {
		scale, unit = 1000, "k"+unit
	}
	low, high := boundText(l.Low, value, scale), boundText(l.High, value, scale)
	text := ""
	switch {
	case math.IsInf(l.High, 1) && math.IsInf(l.Low, -1):
		return ""
	case math.IsInf(l.High, 1):
		text = "at least " + low + " " + unit
	case math.IsInf(l.Low, -1):
		text = "at most " + high + " " + unit
	default:
		text = low + " to " + high + " " + unit
	}
	if l.OL {
		text += " or OL"
	}
	return text
}

func boundText(bound float64, value model.Value, scale float64) string {
	text := model.Figures(bound / scale)
	if printed, err := model.ParseNumber(text); err == nil && value.Kind == model.ShowsNumber &&
		((value.Number < bound) != (value.Number < scale*printed) || (value.Number > bound) != (value.Number > scale*printed)) {
		return model.FormatNumber(bound / scale)
	}
	return text
}
