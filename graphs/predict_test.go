package graphs

import (
	"math"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

func TestWhatUndecidedElementsLeaveOpen(t *testing.T) {
	b := newBench(t)
	for _, mark := range []string{"X:1", "X:2", "X:3", "X:4", "X:5", "X:6", "Y:1", "Y:2", "Z:1", "Z:2", "Z:3"} {
		b.terminal(mark, model.RolePass)
	}
	b.link("X", "1", "2", model.LinkResistance, 40)
	b.link("X", "2", "3", model.LinkDiode, 0)
	b.link("X", "3", "4", model.LinkResistance, 10)
	b.link("X", "4", "5", model.LinkElectronic, 0)
	b.link("X", "5", "6", model.LinkCapacitance, 1e-3)
	b.link("Y", "1", "2", model.LinkResistance, 7)
	b.link("Z", "1", "2", model.LinkResistance, 40)
	b.link("Z", "1", "2", model.LinkDiode, 0)
	b.link("Z", "2", "3", model.LinkResistance, 4000)
	b.link("Z", "2", "3", model.LinkDiode, 0)
	c := b.circuit()
	inf := math.Inf(1)
	for _, row := range []struct {
		name        string
		red, black  string
		ohms, least float64
	}{
		{"no doubt in the part", "Y:1", "Y:2", 7, 7},
		{"doubt in the part, none in the way", "X:1", "X:2", 40, 40},
		{"diode forwards", "X:1", "X:3", inf, 40},
		{"diode backwards", "X:3", "X:1", inf, inf},
		{"diode, then a load", "X:1", "X:4", inf, 50},
		{"electronic and capacitance", "X:3", "X:6", inf, 10},
		{"all in a row", "X:1", "X:6", inf, 50},
		{"all in a row, backwards", "X:6", "X:1", inf, inf},
		{"only an electronic link", "X:4", "X:5", inf, 0},
		{"a coil hides its diode", "Z:1", "Z:2", 40, 40},
		{"a coil of many ohms does not", "Z:2", "Z:3", 4000, 0},
		{"nor its blocked way", "Z:3", "Z:2", 4000, 4000},
		{"parts apart", "X:1", "Y:1", inf, inf},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := c.Predict(b.at(row.red), b.at(row.black))
			if got.Ohms != row.ohms {
				t.Errorf("ohms %v, want %v", got.Ohms, row.ohms)
			}
			if got.LeastOhms != row.least && !(math.Abs(got.LeastOhms-row.least) < 1e-5) {
				t.Errorf("least ohms %v, want %v", got.LeastOhms, row.least)
			}
		})
	}
}

// drawDoubtful draws resistors with diodes and electronic links among them.
func drawDoubtful(t *rapid.T) *Circuit {
	terminals := rapid.IntRange(2, 8).Draw(t, "terminals")
	var elements []Element
	diodes := 0
	for range rapid.IntRange(1, 12).Draw(t, "elements") {
		a, b := rapid.IntRange(0, terminals-1).Draw(t, "a"), rapid.IntRange(0, terminals-1).Draw(t, "b")
		if a == b {
			continue
		}
		e := Element{A: a, B: b, Row: len(elements), Present: true}
		switch kind := rapid.IntRange(0, 9).Draw(t, "kind"); {
		case kind < 4 && diodes < 6:
			e.Kind = Diode
			diodes++
		case kind == 4:
			e.Kind = Electronic
		default:
			e.Kind, e.Ohms = Resistance, rapid.Float64Range(1, 1000).Draw(t, "ohms")
		}
		elements = append(elements, e)
	}
	return bare(terminals, elements)
}

// consistentOhms goes through all states of the diodes and returns the
// resistance in those that a current from a to b agrees with, the least where
// terminals that float let several agree: an oracle that shares only the solver.
func consistentOhms(t *rapid.T, c *Circuit, a, b int) float64 {
	var diodes []Element
	var fixed []conductor
	for _, e := range c.Elements {
		switch e.Kind {
		case Diode:
			diodes = append(diodes, e)
		case Electronic:
			fixed = append(fixed, conductor{int32(e.A), int32(e.B), 1e9})
		default:
			fixed = append(fixed, conductor{int32(e.A), int32(e.B), 1 / e.Ohms})
		}
	}
	n := len(c.Machine.Terminals)
	least := math.Inf(1)
	for state := range 1 << len(diodes) {
		list := append([]conductor(nil), fixed...)
		for i, d := range diodes {
			if state>>i&1 == 1 {
				list = append(list, conductor{int32(d.A), int32(d.B), 1e6})
			}
		}
		unique, _ := addParallel(n, list)
		f := newFactor(n, unique)
		if f.part[a] != f.part[b] {
			continue
		}
		volts := make([]float64, n)
		volts[a], volts[b] = 1, -1
		f.solve(volts)
		agrees := true
		for i, d := range diodes {
			drop := volts[d.A] - volts[d.B]
			if f.part[d.A] != f.part[d.B] || f.part[d.A] != f.part[a] {
				continue
			}
			if on := state>>i&1 == 1; on && drop < -1e-9 || !on && drop > 1e-7 {
				agrees = false
			}
		}
		if agrees {
			least = min(least, volts[a]-volts[b])
		}
	}
	return least
}

func TestLeastOhmsAgreeWithAState(t *testing.T) {
	diodes := 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawDoubtful(t)
		last := len(c.Machine.Terminals) - 1
		a, b := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
		if a == b {
			return
		}
		got := c.Predict(a, b)
		want := c.network(undecidedAsMetal).ohms(a, b)
		if want >= diodeHiddenOhms {
			want = consistentOhms(t, c, a, b)
			diodes++
		}
		if math.IsInf(got.LeastOhms, 1) != math.IsInf(want, 1) || (!math.IsInf(want, 1) && math.Abs(got.LeastOhms-want) > 1e-4) {
			t.Fatalf("least %v ohm, want %v", got.LeastOhms, want)
		}
		if got.LeastOhms > got.Ohms {
			t.Fatalf("least %v above %v", got.LeastOhms, got.Ohms)
		}
	})
	if diodes == 0 {
		t.Error("no draw had diodes that matter")
	}
}

func TestConditionChangesEqualTheCircuitUnderThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(8, 20).Draw(t, "machine")
		c := NewCircuit(m, nil)
		conditions := drawConditions(t, m)
		changes := c.ConditionChanges(conditions)
		under := c.Under(conditions)
		last := len(m.Terminals) - 1
		if last < 1 {
			return
		}
		for range 4 {
			a, b := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
			sameOhms(t, "ohms", c.OhmsIf(a, b, changes), under.Ohms(a, b), 1e-9)
			got, want := c.PredictIf(a, b, changes), under.Predict(a, b)
			if math.Abs(got.LeastOhms-want.LeastOhms) > 1e-4 {
				t.Fatalf("least %v, want %v", got.LeastOhms, want.LeastOhms)
			}
			if math.IsInf(got.LeastOhms, 1) != math.IsInf(want.LeastOhms, 1) {
				t.Fatalf("least %v, want %v", got.LeastOhms, want.LeastOhms)
			}
		}
	})
}
