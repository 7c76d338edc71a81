package graphs

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// What Unmoved says a new element leaves as it was, it does: whatever opens, closes
// or touches besides, whatever diodes and electronics do.
func TestWhatANewElementLeavesAsItWas(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		with := drawDoubtful(t)
		if rapid.Bool().Draw(t, "wires") {
			with = drawCircuit(t, true)
		}
		last := len(with.Machine.Terminals) - 1
		a, b := rapid.IntRange(0, last).Draw(t, "new from"), rapid.IntRange(0, last).Draw(t, "new to")
		if a == b {
			return
		}
		before := bare(last+1, slices.Clone(with.Elements))
		element := len(with.Elements)
		after := bare(last+1, append(slices.Clone(with.Elements), Element{Kind: Wire, A: a, B: b, Row: element, Present: true, Ohms: drawOhms(t, "new ohms", true)}))
		unmoved := after.UnmovedBy(element)
		changes := drawChanges(t, before)
		for range 6 {
			red, black := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
			points := []int{red, black}
			for _, change := range changes {
				if change.Element >= 0 {
					points = append(points, before.Elements[change.Element].A, before.Elements[change.Element].B)
				} else {
					points = append(points, change.A, change.B)
				}
			}
			if !unmoved.Between(points...) {
				continue
			}
			kept++
			was, is := before.PredictIf(red, black, changes), after.PredictIf(red, black, changes)
			if !alike(was.Ohms, is.Ohms) || !alike(was.LeastOhms, is.LeastOhms) {
				t.Fatalf("%d to %d: %v ohm before the wire %d to %d came, %v after", red, black, was, a, b, is)
			}
		}
	})
	if !testing.Short() && kept < 50 {
		t.Errorf("only %d questions were left as they were: that proves little", kept)
	}
}

func alike(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-6*(1+math.Min(math.Abs(a), math.Abs(b)))
}
