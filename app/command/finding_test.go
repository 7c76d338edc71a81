package command

import (
	"testing"

	"bellout/faults"
)

// One of a thousand equal places is not "0 % sure".
func TestHowSureNeverSaysNothing(t *testing.T) {
	for confidence, want := range map[float64]string{
		0.0004: "under 1 % sure, given this map", 0.006: "1 % sure, given this map", 0.51: "51 % sure, given this map", 0.999: "follows from this map",
	} {
		if got := howSure(faults.Finding{Confidence: confidence}); got != want {
			t.Errorf("%v: %q, want %q", confidence, got, want)
		}
	}
}
