package judge

import "bellout/model"

// Shows returns what a good machine's meter shows, and whether that is known:
// false where something undecided could change it.
func (m Meter) Shows(mode model.Mode, s Observed) (shows string, known bool) {
	beeps := s.Ohms+m.LeadOhms < m.BeepBelowOhms
	beepsAtLeast := s.LeastOhms+m.LeadOhms < m.BeepBelowOhms
	shows = "silent"
	if beeps {
		shows = "beep"
	}
	switch mode {
	case model.ModeContinuity:
		return shows, beeps == beepsAtLeast
	case model.ModeDiode:
		volts := m.DiodeVolts(s)
		if !volts.Known {
			return "OL", s.Decided()
		}
		return model.MeterFigures(volts.Value) + " V", s.Decided()
	default:
		return shows, s.Decided() || m.near(s.LeastOhms, s.Ohms)
	}
}

// DiodeVolts returns what the diode range shows where nothing undecided lies
// between: about a milliampere times the ohms; not known above its range.
func (m Meter) DiodeVolts(s Observed) model.Optional {
	volts := s.Ohms * diodeMilliamps / 1000
	if volts > diodeOpenVolts {
		return model.Optional{}
	}
	return model.Known(volts)
}
