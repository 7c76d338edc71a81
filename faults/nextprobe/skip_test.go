package nextprobe

import (
	"testing"

	"bellout/faults"
	"bellout/model"
)

// TestSkipIsNotAskedAgain: who cannot get to a place is asked for others until
// none is left; no touch comes twice, and the sitting ends.
func TestSkipIsNotAskedAgain(t *testing.T) {
	for _, goal := range append([]Goal{""}, Goals...) {
		p := New(faults.Diagnose(smallMachine(t, 1, 60)), Options{Goal: goal})
		seen := map[skippedTouch]bool{}
		for n := 0; ; n++ {
			next := p.Next()
			if next.Done {
				break
			}
			key := skipped(next.Probe.Red, next.Probe.Black, next.Probe.Conditions)
			if seen[key] || n > 5000 {
				t.Fatalf("goal %q asks %v again after %d skips", goal, next.Probe, n)
			}
			seen[key] = true
			p.Skip(*next.Probe)
		}
		if (goal == "" || goal == Verify) && len(seen) == 0 {
			t.Errorf("goal %q asked nothing", goal)
		}
	}
}

// TestClipsProveManyNetsAtOnce: a rail against a bundle of nets takes fewer
// readings than pair by pair, and proves as much.
func TestClipsProveManyNetsAtOnce(t *testing.T) {
	readings := map[bool]int{}
	proven := map[bool]int{}
	for _, clips := range []bool{false, true} {
		m := smallMachine(t, 3, 300)
		s := sit(t, m, quiet(newTruth(t, m, 1)), Options{Goal: Verify, Clips: clips}, 2000)
		readings[clips], proven[clips] = s.isolation, s.planner.known.Report().Proven.Separations
	}
	if readings[true] > readings[false] || proven[true] < proven[false] {
		t.Errorf("with clips %d readings prove %d separations, without %d prove %d", readings[true], proven[true], readings[false], proven[false])
	}
}

// quiet takes away the slips of the tip.
func quiet(w *truth) *truth { w.steady = true; return w }

// TestWhatFailedIsMeasuredAtItsSupply: three devices failed and the wiring is
// found sound: a supply is measured, with the caution of a live test (Lantern
// Lock).
func TestWhatFailedIsMeasuredAtItsSupply(t *testing.T) {
	m := importDemo(t, "as-found")
	for _, r := range m.Readings { // what is asked for has not been read yet
		if r.Mode == model.ModeVoltsAC || r.Mode == model.ModeVoltsDC {
			apply(t, m, model.Change{Before: r})
		}
	}
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
	for range 8 {
		proposal, found := p.parts()
		if !found {
			t.Fatal("nothing is asked of the parts")
		}
		if proposal.Probe.Mode.Volts() {
			if proposal.Caution != cautionLive || liveOnMains(p.known, *proposal.Probe) != "" {
				t.Errorf("%+v", proposal)
			}
			return
		}
		reading := proposal.Probe.Reading(model.Value{Number: 0.3}) // the wiring is sound
		take(t, m, p, reading)
	}
	t.Error("no supply is measured though the wiring is sound")
}
