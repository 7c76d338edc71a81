package nextprobe

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// starOfFuses is a supply with a bar, and from it fused branches, each with a
// motor whose return comes back to another bar.
func starOfFuses(t *testing.T, branches int) *model.Machine {
	t.Helper()
	s := &sketch{random: rand.New(rand.NewPCG(1, 1))}
	g := s.device("G", model.KindSupply, "cabinet", 0)
	rail, ret := s.terminal(g, "+", model.RoleRail, 24), s.terminal(g, "-", model.RoleReturn, 0)
	bar, back := s.block("cabinet", branches+1), s.block("cabinet", branches+1)
	s.wire(rail, bar[0], "RD")
	s.wire(ret, back[0], "BK")
	for b := range branches {
		f := s.device("F", model.KindFuse, "cabinet", 0)
		in, out := s.terminal(f, "1", model.RolePass, 0), s.terminal(f, "2", model.RolePass, 0)
		s.link(in, out, model.LinkFuse, 3)
		s.wire(bar[b+1], in, "RD")
		e := s.device("E", model.KindSolenoid, "bay", 0.5)
		plus, minus := s.terminal(e, "+", model.RoleFeed, 24), s.terminal(e, "-", model.RoleReturn, 0)
		s.link(plus, minus, model.LinkResistance, 480)
		s.wire(out, plus, "RD")
		s.wire(minus, back[b+1], "BK")
	}
	m := model.NewMachine()
	apply(t, m, s.changes...)
	return m
}

// TestHalfOfTheBranchesAreOpenedAtOnce: of sixteen alike branches one is shorted.
// Opening one after another takes half of them on the mean, halves take four.
func TestHalfOfTheBranchesAreOpenedAtOnce(t *testing.T) {
	const branches = 16
	for _, bad := range []int{1, 7, 16} {
		m := starOfFuses(t, branches)
		w := newTruth(t, m, 1)
		w.steady = true
		flawed := fmt.Sprintf("E%d", bad)
		apply(t, w.Machine, model.Change{After: model.Wire{Name: "Z1", From: model.TerminalRef{Device: flawed, Mark: "+"},
			To: model.TerminalRef{Device: flawed, Mark: "-"}, Basis: model.BasisPlanned}})
		first := model.Reading{Number: 1, Stored: 1, Red: model.TerminalRef{Device: "G1", Mark: "+"}, Black: model.TerminalRef{Device: "G1", Mark: "-"},
			Mode: model.ModeOhms, Value: model.Value{Number: 0.3}}
		apply(t, m, model.Change{After: first})
		planner := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
		most := 0
		asked := 0
		for next := planner.Next(); !next.Done; next = planner.Next() {
			if !next.Confirms {
				asked++
			}
			most = max(most, len(next.Probe.Conditions))
			take(t, m, planner, next.Probe.Reading(w.shows(*next.Probe)))
			planner.Took(*next.Probe)
		}
		found := false
		for _, f := range claimed(planner.known) {
			found = found || f.Rule == "short" && len(f.Terminals) > 0 && strings.HasPrefix(f.Terminals[0], flawed+":")
		}
		if !found || asked > 7 || most < 3 {
			t.Errorf("%s shorted: found %v after %d touches, at most %d things opened at once", flawed, found, asked, most)
		}
	}
}

// TestAFuseIsTakenOut: nobody holds a fuse open.
func TestAFuseIsTakenOut(t *testing.T) {
	m := starOfFuses(t, 2)
	p := New(faults.Diagnose(m.Clone()), Options{})
	for text, want := range map[string]string{"open F1:1-2": "take the fuse F1:1-2 out", "unplugged F1": "unplug F1"} {
		conditions, err := m.ParseConditions(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.prepare(conditions[0]); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}
