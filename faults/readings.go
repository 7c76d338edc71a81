package faults

import (
	"cmp"
	"slices"
	"strings"

	"bellout/model"
)

// explainReadings fills b.explained with what the readings call for.
func (b *Bench) explainReadings() {
	b.evidence = newEvidence(b)
	b.takeReadings()
}

// takeReadings takes all readings of the machine into the evidence, which has none
// yet.
func (b *Bench) takeReadings() {
	// readings under one condition after another share what is worked out for it
	readings := slices.Clone(b.Machine.Readings)
	slices.SortFunc(readings, func(x, y model.Reading) int {
		if order := strings.Compare(x.Conditions.String(), y.Conditions.String()); order != 0 {
			return order
		}
		return cmp.Compare(x.Number, y.Number)
	})
	for _, reading := range readings {
		b.evidence.add(reading)
	}
	b.explained = b.evidence.findings()
}
