package book

import (
	"regexp"
	"testing"

	"bellout/assets"
	"bellout/faults/judge"
	"bellout/model"
)

// In the demo machine wire W228 joins +36 V to +24 V, and W229 two returns: the map
// holds both. Who reads the join finds it, which is no pass.
func TestWhatAgreesWithAFaultyMapIsNoPass(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsFound))
	verdicts := map[string]int{}
	for _, r := range f.m.Readings {
		verdict := f.verdict(r, false).text
		verdicts[verdict]++
		if joins := r.Number == 44 || r.Number == 45; joins != (verdict == "as mapped") {
			t.Errorf("reading %d, %s to %s: %s is %q", r.Number, r.Red, r.Black, shown(r), verdict)
		}
	}
	if verdicts["pass"] < 30 || verdicts["FAIL"] < 3 {
		t.Errorf("verdicts %v", verdicts)
	}
	sound := factsOf(t, demo(t, assets.AsRepaired))
	for _, r := range sound.m.Readings {
		if verdict := sound.verdict(r, false).text; verdict == "as mapped" {
			t.Errorf("of a sound map: reading %d is %q", r.Number, verdict)
		}
	}
}

// Volts at a load that the map feeds from the wrong rail are what the map says, and
// outside of what the load stands.
func TestVoltsOfAWrongRailAreNoPass(t *testing.T) {
	m := demo(t, assets.AsRepaired)
	lamp := model.Reading{Number: 900, Red: ref(t, "E1:+"), Black: ref(t, "E1:-"), Mode: model.ModeVoltsDC, Value: model.Value{Number: 35.2}}
	feed, _ := m.Terminal(lamp.Red)
	rail, _ := m.Terminal(ref(t, "G3:+"))
	apply(t, m, model.Edit{Changes: []model.Change{{After: lamp}}})
	if verdict := factsOf(t, m).verdict(lamp, false).text; verdict != "FAIL" {
		t.Errorf("35.2 V at %s, which is made for %s V: %s", lamp.Red, feed.Volts, verdict)
	}
	var wire model.Wire
	for _, w := range m.Wires {
		if w.To == lamp.Red || w.From == lamp.Red {
			wire = w
		}
	}
	moved := wire
	moved.From, moved.To = rail.Ref(), lamp.Red
	apply(t, m, model.Edit{Changes: []model.Change{{Before: wire, After: moved}}})
	f := factsOf(t, m)
	if outcome := f.known.OutcomeOf(900); outcome != judge.Agrees {
		t.Fatalf("the map has 36 V there: %s", outcome)
	}
	if verdict := f.verdict(lamp, false).text; verdict != "as mapped" {
		t.Errorf("35.2 V at %s, wired to %s: %s", lamp.Red, rail.Ref(), verdict)
	}
}

// The limit that stands beside a FAIL leaves the value out.
func TestNothingFailsInsideItsLimit(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsFound))
	long := regexp.MustCompile(`[0-9]{5}|\.[0-9]{4}`)
	for _, r := range f.m.Readings {
		limits, known := f.known.Limits(r)
		if !known {
			continue
		}
		var inside bool
		switch r.Value.Kind {
		case model.ShowsOL:
			inside = limits.OL
		case model.ShowsBeep:
			inside = limits.Beep
		case model.ShowsSilent:
			inside = limits.Silent
		default:
			inside = r.Value.Number >= limits.Low && r.Value.Number <= limits.High
		}
		verdict := f.verdict(r, false).text
		if verdict == "FAIL" && inside || verdict == "pass" && !inside {
			t.Errorf("reading %d, %s: %s, but the limit is %q", r.Number, shown(r), verdict, f.limit(r))
		}
		if long.MatchString(f.limit(r)) {
			t.Errorf("reading %d: the limit is printed as %q", r.Number, f.limit(r))
		}
	}
}

func ref(t *testing.T, text string) model.TerminalRef {
	t.Helper()
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func apply(t *testing.T, m *model.Machine, edit model.Edit) {
	t.Helper()
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
}
