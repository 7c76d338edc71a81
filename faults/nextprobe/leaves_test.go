package nextprobe

import (
	"strings"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// TestAnAnswerSaysWhatItLeaves: a touch of a search tells which of the suspects are
// left, be they one wire that is open or, on a sound machine, none.
func TestAnAnswerSaysWhatItLeaves(t *testing.T) {
	for _, test := range []struct {
		broken string // wire; empty: none
		want   string
	}{{"", "slip of the tip"}, {"W6", "It leaves W6 ("}} {
		m := starOfFuses(t, 4)
		w := newTruth(t, m, 1)
		w.steady = true
		if row, found := w.WireIndex(test.broken); found {
			gone := w.Wires[row]
			gone.Removed = true
			apply(t, w.Machine, model.Change{Before: w.Wires[row], After: gone})
		}
		apply(t, m, model.Change{After: model.Reading{Number: 1, Stored: 1, Red: model.TerminalRef{Device: "G1", Mark: "+"}, Black: model.TerminalRef{Device: "E2", Mark: "+"},
			Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}})
		planner := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
		last, touches := "", 0
		for next := planner.Next(); !next.Done; next = planner.Next() {
			touches++
			take(t, m, planner, next.Probe.Reading(w.shows(*next.Probe)))
			planner.Took(*next.Probe)
			last = planner.Leaves(next)
			if !strings.HasPrefix(last, "It leaves ") || planner.Leaves(Proposal{Goal: Verify}) != "" {
				t.Errorf("after %s: %q", next.Probe, last)
			}
		}
		if touches == 0 || !strings.Contains(last, test.want) {
			t.Errorf("%s broken: after %d touches %q, want %q", test.broken, touches, last, test.want)
		}
	}
}
