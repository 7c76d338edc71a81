package probing

import "testing"

// TestNoSearchGoesInCircles: where a lamp of two ohms lies beside two wires that
// are changed over, many touches show the same number; and what is all but sure
// can be confirmed in many ways that tell nothing more. They are not gone through
// one after another.
func TestNoSearchGoesInCircles(t *testing.T) {
	for _, test := range []struct {
		seed      uint64
		terminals int // 0: the demo machine
	}{{45, 100}, {183, 100}, {29, 0}, {58, 0}} {
		m := demoMachine(t)
		if test.terminals > 0 {
			m = machineOf(t, test.seed, test.terminals)
		}
		w := newTruth(t, m, test.seed)
		w.plant(t, "swapped")
		s := sit(t, m, w, Options{}, 20*len(m.Terminals))
		named, wrong := s.named(w)
		if named != 1 || wrong > 0 || s.located > 15 || s.confirmed > 8 {
			t.Errorf("%v: %d touches to locate, %d to confirm, %d named, %d named wrong", w.flaws, s.located, s.confirmed, named, wrong)
		}
	}
}
