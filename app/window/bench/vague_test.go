package bench

import (
	"math"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// What electronics may change is told as far as it is known: a heading that tells
// nothing was read as a probe that is of no use.
func TestWhatIsNotSureIsStillTold(t *testing.T) {
	for _, test := range []struct {
		ohms  float64
		known bool
		want  string
	}{
		{math.Inf(1), false, "anything but metal"},
		{47, false, "47 ohm or less"},
		{math.Inf(1), true, "silent, OL"},
	} {
		got, sure := shows(faults.Expectation{Mode: model.ModeOhms, Ohms: test.ohms, Known: test.known})
		if got != test.want || sure != test.known {
			t.Errorf("%v ohm, known %v: %q, sure %v; want %q", test.ohms, test.known, got, sure, test.want)
		}
	}
}
