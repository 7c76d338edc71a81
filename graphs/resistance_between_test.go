package graphs

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Several pairs of tips asked at once read what each reads by itself.
func TestOhmsBetweenEqualsOhmsIf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		changes := drawChanges(t, c)
		last := len(c.Machine.Terminals) - 1
		var pairs [][2]int
		for range rapid.IntRange(1, 5).Draw(t, "pairs") {
			pairs = append(pairs, [2]int{rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")})
		}
		for i, ohms := range c.OhmsBetween(pairs, changes) {
			if want := c.OhmsIf(pairs[i][0], pairs[i][1], changes); !alike(ohms, want) {
				t.Fatalf("%v: %g ohm asked together, %g by itself", pairs[i], ohms, want)
			}
		}
	})
}

func alike(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-6*(1+math.Min(math.Abs(a), math.Abs(b)))
}
