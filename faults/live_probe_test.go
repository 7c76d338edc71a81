package faults

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/sample"
)

func TestMayProbeLive(t *testing.T) {
	const machine = outlet + `
device G4 supply limit=5 : + rail 60, - return
device G6 supply limit=5 : + rail 59.9, - return
device G7 supply limit=5 : + rail 48, 0 return, -48 rail -48
device T1 other limit=5 : S1 rail 24, S2 return
device T2 other limit=5 : S1 rail 30, S2 return
device D1 other : A1 pass, A2 pass, P pass, M pass
device D2 other : A1 pass, A2 pass, P pass, M pass
link D1 A1 P diode
link D1 A2 P diode
link D1 M A1 diode
link D1 M A2 diode
link D2 A1 P diode
link D2 A2 P diode
link D2 M A1 diode
link D2 M A2 diode
wire W31 T1:S1 D1:A1
wire W32 T1:S2 D1:A2
wire W33 T2:S1 D2:A1
wire W34 T2:S2 D2:A2
device F9 fuse : 1 pass, 2 pass
link F9 1 2 fuse 4
wire W35 G4:+ F9:1
`
	b := NewAnalysis(build(t, machine))
	at := func(name string) int {
		index, found := b.Machine.TerminalIndex(ref(name))
		if !found {
			t.Fatal(name)
		}
		return index
	}
	for _, c := range []struct {
		red, black string
		may        bool
	}{
		{"G1:+", "G1:-", true}, {"E1:+", "E1:-", true}, {"G6:+", "G6:-", true}, {"T1:S1", "T1:S2", true},
		{"G4:+", "G4:-", false}, {"F9:1", "F9:2", false}, // though no volts lie across it
		{"G7:+", "G7:-48", false}, {"G7:+", "G7:0", true},
		{"T2:S1", "T2:S2", false}, // 30 V, and it may be AC
		{"X1:L", "X1:N", false}, {"G1:-", "X1:N", false}, {"G1:-", "X1:PE", false}, {"B1:PE", "G1:-", false},
	} {
		if got := b.MayProbeLive(at(c.red), at(c.black)); got != c.may {
			t.Errorf("%s to %s: %v", c.red, c.black, got)
		}
	}
}

// No finding's advice asks for volts where the bound of live probes does not let
// anybody, whatever the machine: each asks in words that begin with one of these.
func TestNoAdviceAsksForVoltsAboveTheBound(t *testing.T) {
	asks := []string{"illivolts", "volts at the open plug", "volts on ", "own terminals", "DC volts", "Power on", "With it on"}
	loud := func(text string) bool {
		for _, ask := range asks {
			if strings.Contains(text, ask) && !strings.Contains(text, "competent person") {
				return true
			}
		}
		return false
	}
	heard := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(machinesDir, "planted", "*.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		m := model.NewMachine()
		machineFile(t, m, "sound.txt")
		machineFile(t, m, filepath.Join("planted", filepath.Base(file)))
		for i := range m.Terminals { // 24 V becomes 240 V, and so on
			for _, volts := range []*model.Optional{&m.Terminals[i].Volts, &m.Terminals[i].MinVolts, &m.Terminals[i].MaxVolts} {
				volts.Value *= 10
			}
		}
		for i := range m.Readings {
			if m.Readings[i].Mode == model.ModeVoltsDC {
				m.Readings[i].Value.Number *= 10
			}
		}
		for _, f := range Check(m).Findings {
			heard[f.Rule] = true
			if loud(f.Advice) && aboveBound(m, f) {
				t.Errorf("%s, %s: %s", filepath.Base(file), f.Rule, f.Advice)
			}
		}
	}
	if len(heard) < 20 {
		t.Errorf("only %v were heard", heard)
	}
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		for i := range m.Terminals {
			if role := m.Terminals[i].Role; role == model.RoleRail || role == model.RoleFeed {
				m.Terminals[i].Volts = model.Known(rapid.SampledFrom([]float64{judge.LiveProbeDC, 110, -300}).Draw(t, "volts"))
				m.Terminals[i].MinVolts, m.Terminals[i].MaxVolts = model.Optional{}, model.Optional{}
			}
		}
		for _, f := range Check(m).Findings {
			if loud(f.Advice) && aboveBound(m, f) {
				t.Errorf("%s: %s", f.Rule, f.Advice)
			}
		}
	})
}

// aboveBound says whether a finding is about a net that has volts.
func aboveBound(m *model.Machine, f Finding) bool {
	for _, name := range f.Terminals {
		if terminal, found := m.Terminal(ref(name)); found && math.Abs(terminal.Volts.Or(0)) >= judge.LiveProbeDC {
			return true
		}
	}
	return false
}
