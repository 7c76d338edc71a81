package probing

import "testing"

// TestNoSearchGoesInCircles: where a lamp of two ohms lies beside two wires that
// are changed over, many touches show the same number. They are not made one
// after another.
func TestNoSearchGoesInCircles(t *testing.T) {
	for _, seed := range []uint64{45, 183} {
		m := machineOf(t, seed, 100)
		w := newTruth(t, m, seed)
		w.plant(t, "swapped")
		s := sit(t, m, w, Options{}, 20*len(m.Terminals))
		named, wrong := s.named(w)
		if named != 1 || wrong > 0 || s.located > 15 {
			t.Errorf("%v: %d touches to locate, %d named, %d named wrong", w.flaws, s.located, named, wrong)
		}
	}
}
