package judge

import (
	"math"

	"bellout/graphs"
	"bellout/model"
)

// A volts reading agrees within this share of the expected volts, or within the
// least volts. Common practice for supplies that have been set by hand.
const (
	voltsShare = 0.10
	voltsLeast = 0.3
)

// Volts returns what the running machine has between two terminals; not known
// where no source fixes it, and on the mains, whose volts no map holds.
func (j *Judge) Volts(red, black int, conditions model.Conditions) model.Optional {
	if j.OnMains(red) || j.OnMains(black) {
		return model.Optional{}
	}
	volts, known := j.operate(conditions).Between(red, black)
	if !known || math.IsNaN(volts) || math.IsInf(volts, 0) {
		return model.Optional{}
	}
	return model.Known(volts)
}

// operate is the machine running under conditions.
func (j *Judge) operate(conditions model.Conditions) *graphs.OperatingPoint {
	key := conditions.String()
	point, known := j.running[key]
	if !known {
		point = j.View(conditions).Operate(graphs.LoadsAsCurrents)
		j.running[key] = point
	}
	return point
}

// judgeVolts compares a reading of the running machine. It is no evidence of
// what joins what: a single strand carries a meter's current.
func (j *Judge) judgeVolts(r model.Reading, red, black int) Judgement {
	judgement := Judgement{Outcome: Undecided, Danger: j.Danger(r), Rail: RailVolts{Load: -1}}
	if judgement.Danger != NoDanger {
		judgement.Outcome = Contradicts
		return judgement
	}
	if j.onMains(red) || j.onMains(black) {
		return judgement
	}
	judgement.Rail = j.railVolts(r, red, black)
	if r.Mode == model.ModeVoltsDC {
		judgement.Volts = j.Volts(red, black, r.Conditions)
	}
	switch verdict := judgement.Rail.Verdict; {
	case !r.Drift.Final():
		judgement.Rail.Verdict = RailUnknown
	case verdict == RailGood:
		judgement.Outcome = Agrees
	case verdict > RailGood:
		judgement.Outcome = Contradicts
	case judgement.Volts.Known && nearVolts(r.Value.Number, judgement.Volts.Value, judgement.Volts.Value):
		judgement.Outcome = Agrees
	case judgement.Volts.Known && verdict == RailUnknown:
		judgement.Outcome = Contradicts
	}
	return judgement
}

// nearVolts says whether volts are what was expected, for a rail of nominal volts.
func nearVolts(volts, expected, nominal float64) bool {
	return math.Abs(volts-expected) <= math.Max(voltsLeast, voltsShare*math.Abs(nominal))
}
