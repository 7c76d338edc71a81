package faults

import (
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Stale returns the numbers of the standing readings whose path was edited, or got
// another part, after they were taken, rising. Cost: nothing where nothing of the
// kind is remembered.
func Stale(m *model.Machine) []int64 {
	var numbers []int64
	if len(m.Touches)+len(m.Events) == 0 {
		return numbers
	}
	stale := judge.New(graphs.NewCircuit(m, nil)).NewStaleness()
	for _, r := range m.Readings {
		if r.Stands() && stale.Stale(r) {
			numbers = append(numbers, r.Number)
		}
	}
	slices.Sort(numbers)
	return numbers
}
