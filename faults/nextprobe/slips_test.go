package nextprobe

import (
	"math"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// TestTwoSlipsRunningAreNoBreak: on a good machine the tips miss twice running at
// one and the same touch. Nothing is claimed.
func TestTwoSlipsRunningAreNoBreak(t *testing.T) {
	m := demoMachine(t)
	w := newTruth(t, m, 1)
	w.steady = true
	steady := sit(t, m.Clone(), w, Options{}, 20*len(m.Terminals))
	tried := 0
	for at, probe := range steady.probes {
		heard := probe.Mode == model.ModeContinuity && len(probe.Conditions) == 0
		if !heard || !steady.planner.known.Analysis().AsDrawn.Nets().Same(mustIndex(m, probe.Red), mustIndex(m, probe.Black)) {
			continue
		}
		if at%5 > 0 { // a fifth of them is enough
			continue
		}
		tried++
		mine := newTruth(t, m, 1)
		mine.steady = true
		mine.misses = map[[2]model.TerminalRef]int{pairOf(probe): 2}
		s := sit(t, m.Clone(), mine, Options{}, 20*len(m.Terminals))
		for _, f := range claimed(s.planner.known) {
			t.Errorf("two slips at %s: %s", probe, f.Message)
		}
	}
	if tried == 0 {
		t.Error("nothing is proven by ear: nothing was tried")
	}
}

// TestPartThatBeepsIsNotProvenByEar: where a part of fewer ohms than a meter beeps
// at hangs on a tip, two wires changed over sound as they should.
func TestPartThatBeepsIsNotProvenByEar(t *testing.T) {
	m := demoMachine(t)
	w := newTruth(t, m, 1)
	w.steady = true
	c := graphs.NewCircuit(m, nil)
	tried := 0
	for _, probe := range sit(t, m, w, Options{Goal: Verify}, 20*len(m.Terminals)).probes {
		for _, ref := range [2]model.TerminalRef{probe.Red, probe.Black} {
			for _, id := range c.Incident(mustIndex(m, ref)) {
				if e := c.Elements[id]; e.Kind != graphs.Resistance || math.Max(e.Ohms, 0)+w.lead > w.beepOhms/2 {
					continue
				}
				if !c.Nets().Same(mustIndex(m, probe.Red), mustIndex(m, probe.Black)) {
					continue
				}
				tried++
				if probe.Mode == model.ModeContinuity {
					t.Errorf("%s by ear, though what hangs there beeps", probe)
				}
			}
		}
	}
	if tried == 0 {
		t.Error("the demo machine has no such part: nothing was tried")
	}
}
