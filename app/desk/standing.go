package desk

import (
	"slices"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// stand works out how the readings of the view's machine stand to its map, and
// what they prove. It goes by the readings, of which there are few beside wires:
// after each reading the person waits for it. Only an edit of the map makes a
// reading stale.
func (v *View) stand(session *faults.Session, edited bool) {
	v.Proven, v.ProvenBy = map[string]bool{}, map[string][]int64{}
	v.Outcomes = make(map[int64]judge.Outcome, len(v.Machine.Readings))
	for _, reading := range v.Machine.Readings {
		if !reading.Stands() {
			continue
		}
		v.Outcomes[reading.Number] = session.OutcomeOf(reading.Number)
		for _, row := range session.ProvedBy(reading.Number) {
			name := v.Machine.Wires[row].Name
			v.Proven[name] = true
			v.ProvenBy[name] = append(v.ProvenBy[name], reading.Number)
		}
	}
	for _, numbers := range v.ProvenBy {
		slices.Sort(numbers)
	}
	if edited {
		v.Stale = stale(session, v.Machine)
	}
}

// stale are the numbers of the standing readings whose way was edited, or got
// another part, since.
func stale(session *faults.Session, m *model.Machine) map[int64]bool {
	numbers := map[int64]bool{}
	for _, reading := range m.Readings {
		if reading.Stands() && session.Stale(reading.Number) {
			numbers[reading.Number] = true
		}
	}
	return numbers
}
