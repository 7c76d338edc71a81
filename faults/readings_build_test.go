package faults

import (
	"fmt"
	"strings"
	"testing"

	"bellout/model"
)

// read adds readings, one a line:
//
//	G1:+ E1:+ beep [steady|rising|falling] [mode=diode] [when "lifted W1; unplugged J4"]
func read(t testing.TB, m *model.Machine, lines ...string) *model.Machine {
	t.Helper()
	for _, line := range strings.Split(strings.Join(lines, "\n"), "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		r := reading(t, m, line)
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
	}
	return m
}

func reading(t testing.TB, m *model.Machine, line string) model.Reading {
	t.Helper()
	head, when, _ := strings.Cut(line, " when ")
	fields := strings.Fields(head)
	r := model.Reading{Number: 1, Red: ref(fields[0]), Black: ref(fields[1])}
	for _, known := range m.Readings {
		r.Number = max(r.Number, known.Number+1)
	}
	r.Stored = r.Number
	shown, err := model.ParseShown(fields[2])
	if err != nil {
		t.Fatal(err)
	}
	r.Value, r.Mode = shown.Value, shown.Value.DefaultMode()
	for _, field := range fields[3:] {
		if mode, named := strings.CutPrefix(field, "mode="); named {
			r.Mode = model.Mode(mode)
		} else {
			r.Drift = model.Drift(field)
		}
	}
	if r.Conditions, err = m.ParseConditions(strings.Trim(when, `"`)); err != nil {
		t.Fatal(err)
	}
	return r
}

// ofReadings returns the findings that readings call for, as short lines:
// rule, culprit wire, culprit terminal, nets, readings.
func ofReadings(m *model.Machine) []string {
	var lines []string
	for _, finding := range Check(m).Findings {
		if len(finding.Readings) > 0 {
			lines = append(lines, shortLine(finding))
		}
	}
	return lines
}

func shortLine(f Finding) string {
	culprit := ""
	switch {
	case len(f.Wires) > 0 && (f.Rule != nameShort && f.Rule != nameRailCross && f.Rule != nameMixedGround):
		culprit = f.Wires[0]
	case len(f.Terminals) > 0:
		culprit = f.Terminals[0]
	}
	return fmt.Sprintf("%s %s %v", f.Rule, culprit, f.Readings)
}
