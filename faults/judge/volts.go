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
// where no source fixes it, and on the mains, whose volts no map holds. Outputs are
// off that the conditions do not drive, relays pulled in whose coils have their volts,
// and a diode drops its own: where that makes a difference, it holds; else what the
// copper drops, which the operating point has to the milliohm.
func (j *Judge) Volts(red, black int, conditions model.Conditions) model.Optional {
	volts := j.allOn(red, black, conditions)
	if !volts.Known {
		return volts
	}
	state := j.state(conditions)
	running := state.Between(red, black)
	if far := math.Abs(running - volts.Value); far <= math.Max(voltsLeast, stateShare*math.Abs(volts.Value)) || len(state.Limiting) > 0 || state.Ohms(red, black) >= floatingOhms {
		return volts
	}
	return model.Known(math.Round(1000*running) / 1000) // no finer than what the states are
}

// Where two ways to work out volts differ by more than that share, or by voltsLeast,
// it is no matter of copper; nothing holds a place behind more than so many ohms.
// Judgement.
const (
	stateShare   = 0.02
	floatingOhms = 1e5
)

// allOn returns the volts with every output on and every diode ideal.
func (j *Judge) allOn(red, black int, conditions model.Conditions) model.Optional {
	if j.OnMains(red) || j.OnMains(black) {
		return model.Optional{}
	}
	point := j.operate(conditions)
	volts, known := point.Between(red, black)
	if !known || math.IsNaN(volts) || math.IsInf(volts, 0) {
		return model.Optional{}
	}
	return model.Known(volts)
}

func (j *Judge) state(conditions model.Conditions) *graphs.PowerState {
	key := conditions.String()
	state, known := j.states[key]
	if !known {
		state = graphs.NewPowerNetworkUnder(j.Rest, conditions).Run(graphs.Running{})
		j.states[key] = state
	}
	return state
}

// MostVolts returns the most that the map has between two terminals, whatever is
// switched: for who is to probe there.
func (j *Judge) MostVolts(red, black int) float64 {
	return math.Max(math.Abs(j.Volts(red, black, nil).Or(0)), math.Abs(j.allOn(red, black, nil).Or(0)))
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
	case (j.undriven(red, r.Conditions) || j.undriven(black, r.Conditions)) && j.nearAllOn(r, red, black):
		judgement.Outcome = Agrees // somebody commanded it on, and did not note that
	case judgement.Volts.Known && verdict == RailUnknown:
		judgement.Outcome = Contradicts
	}
	return judgement
}

func (j *Judge) nearAllOn(r model.Reading, red, black int) bool {
	on := j.allOn(red, black, r.Conditions)
	return on.Known && nearVolts(r.Value.Number, on.Value, on.Value)
}

// nearVolts says whether volts are what was expected, for a rail of nominal volts.
func nearVolts(volts, expected, nominal float64) bool {
	return math.Abs(volts-expected) <= math.Max(voltsLeast, voltsShare*math.Abs(nominal))
}
