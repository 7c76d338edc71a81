package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

// truths are what may be wrong with the machine lock, each an edit of it.
var truths = []string{
	"drop W1", "drop W2", "drop W3", "drop W4", "drop W5", "drop W6", "drop W7", "drop W8", "drop W9", "drop J1 1 1a solid", "link F1 1 2 fuse 5 open",
	"drop TB0 2 3 solid", "drop K1 A1 A2 resistance", "link J1 1 2 solid", "wire X1 H1:+ K1:A1", "wire X2 H1:- TB0:4", "link E1 + - resistance 2",
}

// drawReadings draws what a meter shows on lock with some faults planted, and
// sometimes a slip of the tip.
func drawReadings(t *rapid.T, tb testing.TB) (m *model.Machine, readings []model.Reading) {
	m = build(tb, lock)
	truth := build(tb, lock)
	for _, at := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(truths)-1), 0, 2, rapid.ID[int]).Draw(t, "faults") {
		change(tb, truth, truths[at])
	}
	conditions := []string{"", "", "", "", "unplugged J1", "lifted W8", "lifted W10", "unplugged F1", "lifted W2; unplugged J1"}
	refs := make([]model.TerminalRef, len(m.Terminals))
	for i, terminal := range m.Terminals {
		refs[i] = terminal.Ref()
	}
	count := rapid.IntRange(1, 8).Draw(t, "count")
	for range count {
		red := rapid.SampledFrom(refs).Draw(t, "red")
		black := rapid.SampledFrom(refs).Draw(t, "black")
		if red == black {
			continue
		}
		when, err := m.ParseConditions(rapid.SampledFrom(conditions).Draw(t, "when"))
		if err != nil {
			t.Fatal(err)
		}
		mode := rapid.SampledFrom([]model.Mode{model.ModeContinuity, model.ModeOhms}).Draw(t, "mode")
		x, err := Expect(truth, red, black, mode, existing(truth, when))
		if err != nil {
			t.Fatal(err)
		}
		r := model.Reading{Number: int64(len(readings) + 1), Stored: int64(len(readings) + 1), Red: red, Black: black, Mode: mode, Conditions: when}
		switch {
		case mode == model.ModeContinuity:
			r.Value, _ = model.ParseValue(x.Shows)
		case math.IsInf(x.Ohms, 1) || rapid.IntRange(0, 19).Draw(t, "slip") == 0:
			r.Value = model.Value{Kind: model.ShowsOL}
		default:
			r.Value = model.Value{Number: math.Round((x.Ohms+0.2)*100) / 100}
		}
		readings = append(readings, r)
	}
	return m, readings
}

// existing drops the conditions that name what the truth does not have.
func existing(m *model.Machine, all model.Conditions) model.Conditions {
	var kept []model.Condition
	for _, c := range all {
		if _, found := m.Wire(c.Wire); c.Kind != model.Lifted || found {
			kept = append(kept, c)
		}
	}
	return model.NewConditions(kept...)
}

func withReadings(tb testing.TB, m *model.Machine, readings []model.Reading) *model.Machine {
	clone := m.Clone()
	for _, r := range readings {
		if err := clone.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
			tb.Fatal(err)
		}
	}
	return clone
}

// print writes a report with the readings named by what they are, so that their
// numbers do not matter.
func print(report *Report, names map[int64]string) string {
	var lines []string
	for _, f := range report.Findings {
		touches := make([]string, len(f.Readings))
		for i, number := range f.Readings {
			touches[i] = names[number]
		}
		slices.Sort(touches)
		lines = append(lines, fmt.Sprintf("%s %s %.3f %v %v %v %v %v", f.Rule, f.Severity, f.Confidence, f.Devices, f.Terminals, f.Wires, f.Nets, touches))
	}
	return strings.Join(append(lines, fmt.Sprint(report.Proven)), "\n")
}

func namesOf(readings []model.Reading) map[int64]string {
	names := map[int64]string{}
	for _, r := range readings {
		names[r.Number] = fmt.Sprint(r.Red, r.Black, r.Mode, r.Value, r.Conditions)
	}
	return names
}

func TestTheOrderOfReadingsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, readings := drawReadings(rt, t)
		one := print(Check(withReadings(t, m, readings)), namesOf(readings))
		shuffled := rapid.Permutation(readings).Draw(rt, "order")
		for i := range shuffled {
			shuffled[i].Number, shuffled[i].Stored = int64(i+1), int64(i+1)
		}
		other := print(Check(withReadings(t, m, shuffled)), namesOf(shuffled))
		if one != other {
			rt.Fatalf("the order of the readings changed the report:\n%s\n\nreordered:\n%s", one, other)
		}
	})
}

func TestStrikingOutRestoresTheReport(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, readings := drawReadings(rt, t)
		if len(readings) == 0 {
			return
		}
		last := readings[len(readings)-1]
		before := print(Check(withReadings(t, m, readings[:len(readings)-1])), namesOf(readings))
		last.Struck = "a slip of the tip"
		struck := append(slices.Clone(readings[:len(readings)-1]), last)
		after := print(Check(withReadings(t, m, struck)), namesOf(readings))
		if before != after {
			rt.Fatalf("before the reading:\n%s\n\nstruck out:\n%s", before, after)
		}
	})
}

// On a sound machine every true reading agrees or can't tell, and makes no
// finding.
func TestASoundMachineHasNoFindings(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := build(t, lock)
		refs := m.Terminals
		for i := range 6 {
			red := rapid.SampledFrom(refs).Draw(rt, "red").Ref()
			black := rapid.SampledFrom(refs).Draw(rt, "black").Ref()
			if red == black {
				continue
			}
			x, err := Expect(m, red, black, model.ModeOhms, nil)
			if err != nil {
				rt.Fatal(err)
			}
			r := model.Reading{Number: int64(i + 1), Red: red, Black: black, Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}
			if !math.IsInf(x.Ohms, 1) {
				spread := rapid.Float64Range(0.85, 1.15).Draw(rt, "spread")
				r.Value = model.Value{Number: x.Ohms*spread + 0.2}
			}
			if err := m.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
				rt.Fatal(err)
			}
		}
		for _, f := range Check(m).Findings {
			if len(f.Readings) > 0 {
				rt.Fatalf("a finding on a sound machine: %s", f.Message)
			}
		}
	})
}
