package nextprobe

import (
	"strings"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
)

// Whatever mapping asks for, half an ohm there must be a wire found: a touch
// whose join log would call a short belongs to the proof that nets are apart.
func TestMapAsksOnlyForWhatWouldBeAWire(t *testing.T) {
	for _, state := range assets.DemoStates {
		p := New(faults.Diagnose(importDemo(t, state)), Options{Goal: Map})
		asked := 0
		for next := p.Next(); !next.Done && asked < 400; next = p.Next() {
			asked++
			reading := next.Probe.Reading(model.Value{Kind: model.ShowsNumber, Number: 0.2})
			if p.known.Discover(reading) == nil {
				t.Errorf("%s: %s to %s, and a join there is no wire", state, next.Probe.Red, next.Probe.Black)
			}
			p.Skip(*next.Probe)
		}
		if asked == 0 {
			t.Errorf("%s: mapping asks for nothing", state)
		}
	}
}

// TestMappingNamesTheEndThatHasNoWire: on the demo as found and while machines are
// drawn wire by wire. What is said to have no wire has none, and where one end has
// none it is the one that is named.
func TestMappingNamesTheEndThatHasNoWire(t *testing.T) {
	named, other := 0, 0
	look := func(m *model.Machine, next Proposal) {
		t.Helper()
		wired := map[model.TerminalRef]bool{}
		for _, wire := range m.Wires {
			if !wire.Removed {
				wired[wire.From], wired[wire.To] = true, true
			}
		}
		subject, says := strings.CutSuffix(strings.SplitAfter(next.Reason, " on the map")[0], " has no wire on the map")
		free := !wired[next.Probe.Red] || !wired[next.Probe.Black]
		switch {
		case says != free:
			t.Errorf("%s to %s, of which one is free: %v: %q", next.Probe.Red, next.Probe.Black, free, next.Reason)
		case says && wired[mustRef(t, subject)]:
			t.Errorf("%s has a wire: %q", subject, next.Reason)
		case says:
			named++
		default:
			other++
		}
	}
	for _, state := range assets.DemoStates {
		m := importDemo(t, state)
		p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
		for next := p.Next(); !next.Done; next = p.Next() {
			look(m, next)
			p.Skip(*next.Probe)
		}
	}
	for seed := range uint64(3) {
		m := smallMachine(t, seed, 80)
		truth := m.Clone()
		var gone []model.Change
		for at, wire := range m.Wires {
			if at%3 > 0 { // a third is drawn
				gone = append(gone, model.Change{Before: wire})
			}
		}
		apply(t, m, gone...)
		p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
		for range 120 {
			next := p.Next()
			if next.Done {
				break
			}
			look(m, next)
			value := model.Value{Kind: model.ShowsOL}
			if faults.NewAnalysis(truth).AsDrawn.Nets().Same(mustIndex(truth, next.Probe.Red), mustIndex(truth, next.Probe.Black)) {
				value = model.Value{Number: 0.3}
			}
			take(t, m, p, next.Probe.Reading(value))
			p.Took(*next.Probe)
		}
	}
	if named < 20 || other == 0 {
		t.Errorf("%d touches with a free end and %d without were looked at", named, other)
	}
}

func mustRef(t *testing.T, text string) model.TerminalRef {
	t.Helper()
	ref, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return ref
}

func TestProbingCountsOneInTheSingular(t *testing.T) {
	for _, c := range []struct {
		count int
		want  string
	}{{0, "0 separations"}, {1, "1 separation"}, {2, "2 separations"}} {
		if got := ofAll(c.count, "separation"); got != c.want {
			t.Errorf("%d in all: %q, want %q", c.count, got, c.want)
		}
	}
}
