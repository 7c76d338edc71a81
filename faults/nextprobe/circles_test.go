package nextprobe

import (
	"testing"

	"bellout/faults"
	"bellout/model"
)

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

// Confirming is given up after some touches for the map and the readings that there
// are: a reading that is struck out, or an edit, begins it anew.
func TestConfirmingBeginsAnewWhenSomethingIsTakenBack(t *testing.T) {
	m := demoMachine(t)
	wire := m.Wires[0]
	apply(t, m, model.Change{After: model.Reading{Number: 1, Stored: 1, Red: wire.From, Black: wire.To, Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}})
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
	p.Next()
	given := func() int { return p.confirmed["W4"] }
	p.confirmed["W4"] = mostConfirms
	if p.Next(); given() != mostConfirms {
		t.Fatal("it is forgotten though nothing changed")
	}
	struck := m.Readings[0]
	struck.Struck = "mistyped"
	apply(t, m, model.Change{Before: m.Readings[0], After: struck})
	p.Follow(faults.Diagnose(m.Clone()))
	if p.Next(); given() != 0 {
		t.Error("a reading was struck out, and the touches made before it still count")
	}
	p.confirmed["W4"] = mostConfirms
	gone := m.Wires[1]
	gone.Removed = true
	apply(t, m, model.Change{Before: m.Wires[1], After: gone})
	p.Follow(faults.Diagnose(m.Clone()))
	if p.Next(); given() != 0 {
		t.Error("the map was edited, and the touches made before it still count")
	}
}
