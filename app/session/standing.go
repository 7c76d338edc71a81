package session

import (
	"slices"

	"bellout/faults"
	"bellout/faults/judge"
)

// stand works out how the readings of the view's machine stand to its map, and
// what they prove.
func (v *View) stand(known *faults.Diagnosis) {
	v.Proven, v.ProvenBy, v.Stale = map[string]bool{}, map[string][]int64{}, map[int64]bool{}
	v.Outcomes = make(map[int64]judge.Outcome, len(v.Machine.Readings))
	for _, reading := range v.Machine.Readings {
		if !reading.Stands() {
			continue
		}
		v.Outcomes[reading.Number] = known.OutcomeOf(reading.Number)
		if known.Stale(reading.Number) {
			v.Stale[reading.Number] = true
		}
		for _, row := range known.ProvedBy(reading.Number) {
			name := v.Machine.Wires[row].Name
			v.Proven[name] = true
			v.ProvenBy[name] = append(v.ProvenBy[name], reading.Number)
		}
	}
	for _, numbers := range v.ProvenBy {
		slices.Sort(numbers)
	}
}
