package faults

import (
	"testing"

	"bellout/model"
)

func TestProven(t *testing.T) {
	ring := `
		device TB1 terminal-block : 1 pass
		device TB2 terminal-block : 1 pass
		device TB3 terminal-block : 1 pass
		device TB4 terminal-block : 1 pass
		wire W1 TB1:1 TB2:1
		wire W2 TB2:1 TB3:1
		wire W3 TB3:1 TB1:1
		wire W4 TB3:1 TB4:1`
	for _, c := range []struct {
		name          string
		machine       string
		readings      string
		wires, separs int
	}{
		{"nothing read, nothing proven", lock, "", 0, 0},
		{"a chain that beeps proves its wires", lock, "G1:+ E1:+ beep", 4, 0},
		{"a beep with a coil of 5 ohm in parallel proves nothing", `
			device TB1 terminal-block : 1 pass
			device TB2 terminal-block : 1 pass
			device E1 solenoid : 1 feed, 2 return
			link E1 1 2 resistance 5
			wire W1 TB1:1 TB2:1
			wire W2 TB1:1 E1:1
			wire W3 E1:2 TB2:1`, "TB1:1 TB2:1 beep", 0, 0},
		{"the same in ohms proves it", `
			device TB1 terminal-block : 1 pass
			device TB2 terminal-block : 1 pass
			device E1 solenoid : 1 feed, 2 return
			link E1 1 2 resistance 5
			wire W1 TB1:1 TB2:1
			wire W2 TB1:1 E1:1
			wire W3 E1:2 TB2:1`, "TB1:1 TB2:1 0.3", 1, 0},
		{"a ring proves none of its arms", ring, "TB1:1 TB2:1 beep", 0, 0},
		{"a ring proves what hangs on it", ring, "TB1:1 TB4:1 beep", 1, 0},
		{"with one arm lifted a ring proves the others", ring, `TB1:1 TB2:1 beep when "lifted W1"`, 2, 0},
		{"a coil that reads its ohms proves the way and the separation", lock, "G1:+ G1:- 5.1", 7, 1},
		{"a coil that beeps proves no separation", lock, "G1:+ G1:- beep", 7, 0},
		{"rails that are silent", lock, "G1:+ G2:+ silent", 0, 1},
		{"clip leads prove several at once", lock, `G2:- G1:+ silent when "clipped G1:+ G1:- F1:2"`, 0, 1},
		{"clip leads, the other supply whole", lock, `G2:+ G1:+ silent when "clipped G1:+ G1:-"`, 0, 2},
		{"a reading that was struck out proves nothing", lock, "", 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Check(read(t, build(t, c.machine), c.readings)).Proven
			if got.Wires != c.wires || got.Separations != c.separs {
				t.Errorf("proven %d wires and %d separations, want %d and %d", got.Wires, got.Separations, c.wires, c.separs)
			}
		})
	}
	whole := Check(build(t, lock)).Proven
	if whole.OfWires != 11 || whole.OfSeparations != 5 {
		t.Errorf("of %d wires and %d separations, want 11 and 5: one rail pair, two rails with two returns", whole.OfWires, whole.OfSeparations)
	}
}

func TestAStaleReadingIsKeptAndProvesNothing(t *testing.T) {
	m := read(t, build(t, lock), "G1:+ E1:+ beep", "G2:+ H1:+ silent", "G1:+ G2:+ silent")
	touch := func(stored int64, a, b string) {
		m.Touches = append(m.Touches, model.PathChange{Stored: stored, A: ref(a), B: ref(b)})
	}
	fresh := Check(m)
	if fresh.Proven.Wires != 4 || fresh.Proven.Separations != 1 {
		t.Fatalf("before the edit: %+v", fresh.Proven)
	}
	touch(10, "K1:A1", "TB1:3") // an edit beside the way of reading 1
	if got := Check(m).Proven; got.Wires != 4 {
		t.Errorf("an edit beside the way makes the reading stale: %+v", got)
	}
	touch(11, "TB1:2", "J1:1") // W3, on the way
	if got := Check(m).Proven; got.Wires != 0 {
		t.Errorf("an edit on the way leaves %d wires proven", got.Wires)
	}
	touch(12, "G2:+", "H1:+")
	for _, f := range Check(m).Findings {
		if f.Rule == nameOpen {
			t.Errorf("a stale reading still makes a finding: %s", f.Message)
		}
	}
	m.Touches = m.Touches[:0]
	touch(0, "TB1:2", "J1:1")
	if got := Check(m).Proven; got.Wires != 4 {
		t.Errorf("an edit before the reading makes it stale: %+v", got)
	}
	touch(9, "G1:+", "G2:+") // a wire that joined the rails was taken out again
	if got := Check(m).Proven; got.Separations != 0 {
		t.Errorf("an edit that joined the two leaves the separation proven")
	}
}
