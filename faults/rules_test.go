package faults

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bellout/model"
)

// readmeRules are the words of the table in the README's section Rules, in its order.
var readmeRules = []string{
	"live-part", "open", "high-resistance", "short", "rail-cross", "mixed-ground", "ground-loop", "floating-ground", "swapped", "critical-return",
	"sneak-path", "over-voltage", "under-voltage", "reverse-polarity", "no-feed", "no-return", "overload", "voltage-drop", "no-fuse",
	"fuse-too-large", "no-flyback", "no-earth", "failed-part", "intermittent",
}

const machinesDir = "../testdata/machines"

// machineFile reads rows that build and read take, and the first line of the
// file, which says what it is for.
func machineFile(t testing.TB, m *model.Machine, name string) (first string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(machinesDir, name))
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ = strings.Cut(string(text), "\n")
	var rows, touches []string
	for _, line := range strings.Split(string(text), "\n") {
		if touch, isReading := strings.CutPrefix(line, "reading "); isReading {
			touches = append(touches, touch)
		} else {
			rows = append(rows, line)
		}
	}
	change(t, m, rows...)
	read(t, m, touches...)
	return strings.TrimPrefix(first, "# ")
}

func TestRulesAreThoseOfTheContract(t *testing.T) {
	var names []string
	for _, rule := range Rules {
		names = append(names, rule.Name)
		if rule.Title == "" || strings.HasSuffix(rule.Title, ".") {
			t.Errorf("%s: the title %q is no line without a full stop", rule.Name, rule.Title)
		}
		if len(rule.Why) < 80 {
			t.Errorf("%s: the why %q explains nothing", rule.Name, rule.Why)
		}
		if rule.Check == nil {
			t.Errorf("%s has no check", rule.Name)
		}
	}
	if !slices.Equal(names, readmeRules) {
		t.Errorf("got %v\nwant %v", names, readmeRules)
	}
}

func TestSoundMachineHasNoFinding(t *testing.T) {
	m := model.NewMachine()
	machineFile(t, m, "sound.txt")
	for _, f := range Check(m).Findings {
		t.Errorf("%s\n%s", brief(f), f.Message)
	}
}

// Each file of planted damages one thing in the sound machine. Its first line is
// the rule, what must stand first in one of the finding's lists, and, after
// "besides", the rules of warnings that are due as well: what a lost return
// would do is another matter once a load hangs on other volts.
func TestPlantedFaultIsTheOnlyFinding(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(machinesDir, "planted", "*.txt"))
	if err != nil {
		t.Fatal(err)
	}
	fired := map[string]bool{}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		t.Run(name, func(t *testing.T) {
			m := model.NewMachine()
			machineFile(t, m, "sound.txt")
			words := strings.Fields(machineFile(t, m, filepath.Join("planted", name+".txt")))
			rule, culprit := words[0], words[1]
			fired[rule] = true
			list := slices.DeleteFunc(Check(m).Findings, func(f Finding) bool {
				return len(words) > 2 && f.Severity != Fault && slices.Contains(words[3:], f.Rule)
			})
			if len(list) != 1 {
				t.Fatalf("%d findings, want one of %s:\n%s", len(list), rule, briefs(list))
			}
			f := list[0]
			first := slices.Concat(firstOf(f.Wires), firstOf(f.Devices), firstOf(f.Terminals))
			if f.Rule != rule || !slices.Contains(first, culprit) {
				t.Errorf("got %s, want %s with %s first", brief(f), rule, culprit)
			}
			if f.Message == "" || f.Advice == "" || f.Confidence <= 0 || f.Confidence > 1 {
				t.Errorf("%+v says too little", f)
			}
			for _, list := range [][]string{f.Devices, f.Terminals, f.Wires, f.Nets} {
				if list == nil {
					t.Errorf("%+v has a list that is nil", f)
				}
			}
			if f.Readings == nil {
				t.Error("the readings are nil")
			}
		})
	}
	for _, rule := range readmeRules {
		if !fired[rule] {
			t.Errorf("no machine in %s fires %s", filepath.Join(machinesDir, "planted"), rule)
		}
	}
}

func firstOf(list []string) []string { return list[:min(1, len(list))] }
