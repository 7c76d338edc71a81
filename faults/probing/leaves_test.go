package probing

import (
	"strings"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// TestAnAnswerSaysWhatItLeaves: a touch of a search that agrees tells which of the
// suspects are left, and the last one that none is.
func TestAnAnswerSaysWhatItLeaves(t *testing.T) {
	m := starOfFuses(t, 4)
	w := newTruth(t, m, 1)
	w.steady = true
	apply(t, m, model.Change{After: model.Reading{Number: 1, Stored: 1, Red: model.TerminalRef{Device: "G1", Mark: "+"}, Black: model.TerminalRef{Device: "E2", Mark: "+"},
		Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}})
	session := faults.NewSession(m)
	planner := New(session, Options{Goal: Locate})
	last, number := "", int64(1)
	for next := planner.Next(); !next.Done; next = planner.Next() {
		if next.Goal != Locate {
			t.Fatalf("%s: not a touch of the search", next.Probe)
		}
		r := next.Probe.Reading(w.shows(*next.Probe))
		number++
		r.Number, r.Stored = number, number
		apply(t, m, model.Change{After: r})
		session.Stored(r)
		planner.Took(*next.Probe)
		last = planner.Leaves(next)
		if !strings.HasPrefix(last, "It leaves ") || planner.Leaves(Proposal{Goal: Verify}) != "" {
			t.Errorf("after %s: %q", next.Probe, last)
		}
	}
	if number == 1 || !strings.Contains(last, "slip of the tip") {
		t.Errorf("after %d touches of a sound machine: %q", number-1, last)
	}
}
