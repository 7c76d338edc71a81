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
// where no source fixes it.
func (j *Judge) Volts(red, black int, conditions model.Conditions) model.Optional {
	key := conditions.String()
	point, known := j.running[key]
	if !known {
		point = j.View(conditions).Operate(graphs.LoadsAsCurrents)
		j.running[key] = point
	}
	if point == nil || point.Island[red] < 0 || point.Island[red] != point.Island[black] {
		return model.Optional{}
	}
	volts := point.Volts[red] - point.Volts[black]
	if math.IsNaN(volts) || math.IsInf(volts, 0) {
		return model.Optional{}
	}
	return model.Known(volts)
}

// judgeVolts compares a reading of the running machine. It is no evidence of
// what joins what: a single strand carries a meter's current.
func (j *Judge) judgeVolts(r model.Reading, red, black int) Judgement {
	volts := j.Volts(red, black, r.Conditions)
	judgement := Judgement{Outcome: Undecided, Volts: volts}
	if !volts.Known || !r.Drift.Final() {
		return judgement
	}
	low, high := j.voltsLimits(red, black, volts.Value)
	judgement.Outcome = Contradicts
	if r.Value.Number >= low && r.Value.Number <= high {
		judgement.Outcome = Agrees
	}
	return judgement
}

// voltsLimits returns what is in order where the map expects some volts: a
// feed's own limits where the red tip is on one, a tenth else.
func (j *Judge) voltsLimits(red, black int, expected float64) (low, high float64) {
	margin := math.Max(voltsLeast, voltsShare*math.Abs(expected))
	low, high = expected-margin, expected+margin
	terminal := j.Machine.Terminals[red]
	if terminal.Role == model.RoleFeed && j.Machine.Terminals[black].Role == model.RoleReturn {
		least, most := terminal.Limits()
		if least.Known && most.Known && expected >= least.Value && expected <= most.Value {
			return least.Value, most.Value
		}
	}
	return low, high
}
