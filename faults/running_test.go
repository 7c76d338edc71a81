package faults

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

// does notes symptoms, "E1 dead" a line, with "when ..." behind it.
func does(t *testing.T, m *model.Machine, text string) *model.Machine {
	t.Helper()
	for i, line := range strings.Split(text, "\n") {
		if line == "" {
			continue
		}
		words, when, _ := strings.Cut(line, " when ")
		device, word, _ := strings.Cut(words, " ")
		s := model.Symptom{At: time.Date(2026, 5, 4, 12, i, 0, 0, time.UTC), Device: device, Word: model.SymptomWord(word), When: when}
		if complaints := s.Validate(); len(complaints) > 0 {
			t.Fatal(complaints[0])
		}
		m.Symptoms = append(m.Symptoms, s)
	}
	return m
}

func faultLines(report *Report) []string {
	var got []string
	for _, f := range report.Findings {
		if f.Severity == Fault {
			first := append(slices.Clone(f.Wires), append(slices.Clone(f.Devices), f.Terminals...)...)
			got = append(got, fmt.Sprintf("%s %s %s", f.Rule, f.Mode, first[0]))
		}
	}
	return got
}

// What devices do and the volts there name the part, once. Common practice: a load
// with its own volts has failed; volts on one side of a piece and none on the other
// blame the piece; what works clears its way.
func TestRunningMachineNamesThePart(t *testing.T) {
	for _, c := range []struct {
		name, symptoms, readings string
		want                     []string
		headline, says           string
	}{
		{"a lamp with its own volts", "E1 dead", "E1:+ E1:- 23.9 mode=volts-dc", []string{"failed-part dead E1"}, "E1 has failed", "what killed it"},
		{"volts before a fuse and none behind it", "E1 dead\nE2 works", "F1:1 X0:1 24 mode=volts-dc\nF1:2 X0:1 0.02 mode=volts-dc", []string{"failed-part blown F1"}, "F1 is blown or out (", "read it alone"},
		{"volts at both ends of the feed, none over the lamp", "E1 dead\nE2 works", "E1:+ X0:1 24 mode=volts-dc\nE1:- X0:1 23.8 mode=volts-dc", []string{"open  W3"}, "W3 is open between E1:- and X0:1 (", "Evidence: 2 things noted, E1 dead and reading "},
		{"two behind one fuse", "E1 works\nE2 dead\nE4 dead", "F2:1 F2:2 24 mode=volts-dc", []string{"failed-part blown F2"}, "F2 is blown or out", "Before a new one"},
		{"a supply that gives nothing", "E5 dead\nE1 works", "G2:+ G2:- 0.05 mode=volts-dc", []string{"failed-part dead G2"}, "G2 gives nothing", ""},
		{"an output that was driven and its coil off", "Y1 dead when driven A1:O1\nE1 works\nE2 works", "A1:O1 A1:0V 23.9 mode=volts-dc when \"driven A1:O1\"\nA1:V+ A1:0V 24 mode=volts-dc", []string{"failed-part stuck-off A1"}, "output A1:O1 never switches on", "replaced"},
		{"nobody drove it", "Y1 dead\nE1 works", "", nil, "", ""},
		{"everything works", "E1 works\nE2 works\nE4 works\nE5 works\nE6 works\nG3 works\nA1 works", "G1:+ G1:- 24.1 mode=volts-dc", nil, "", ""},
		{"dead, repaired, works", "E1 dead\nE1 works", "", nil, "", ""},
		{"one symptom names nobody", "E1 dead", "", nil, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := Check(does(t, read(t, build(t, plant), c.readings), c.symptoms))
			got := faultLines(report)
			if !slices.Equal(got, c.want) {
				t.Fatalf("got %q, want %q\n%s", got, c.want, briefs(report.Findings))
			}
			if len(got) == 0 {
				return
			}
			f := report.Findings[0]
			t.Log(f.Headline, "|", f.Message, "|", f.Advice)
			if !strings.Contains(f.Headline, c.headline) || !strings.Contains(f.Message+f.Advice, c.says) {
				t.Errorf("%s\n%s\n%s", f.Headline, f.Message, f.Advice)
			}
			for _, u := range report.Unexplained {
				t.Errorf("not explained: %s", u.Words)
			}
		})
	}
}

// A demo machine in which every device does what it should, commanded or not, and whose
// supplies read right: nobody is blamed that the map does not blame.
func TestAllWorkingBlamesNobody(t *testing.T) {
	m := demoBare(t)
	before := faultLines(Check(m))
	b := NewBench(m)
	var driven []string
	for _, driver := range b.Parts.Drivers {
		driven = append(driven, "driven "+b.name(driver.Drive))
	}
	var text strings.Builder
	for _, load := range b.Parts.Loads {
		fmt.Fprintf(&text, "%s works when %s\n", load.Device, strings.Join(driven, "; "))
		fmt.Fprintf(&text, "%s works\n", load.Device)
	}
	for _, supply := range b.Parts.Supplies {
		if len(supply.Returns) > 0 && supply.Volts.Or(99) < 50 {
			read(t, m, fmt.Sprintf("%s %s %g mode=volts-dc", b.name(supply.Rail), b.name(supply.Returns[0]), 1.01*supply.Volts.Value))
		}
	}
	if got := faultLines(Check(does(t, m, text.String()))); !slices.Equal(got, before) {
		t.Errorf("got %q, without symptoms %q", got, before)
	}
}
