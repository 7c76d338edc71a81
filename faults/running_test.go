package faults

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/sample"
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
	b := NewAnalysis(m)
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

// Volts of a sound machine, common practice: an idle coil's low side sits at the rail, a
// relay with its volts has changed over, a diode drops 0.65 V and the resistor before it
// the rest. Readings of that are no contradiction, and one of an output that somebody
// commanded on, and did not note, is none either.
func TestVoltsOfASoundMachine(t *testing.T) {
	m := build(t, `
		device G1 supply limit=20 : + rail 24, - return
		device A1 driver load=0.1 : V feed 24, 0V return, O1 drive
		device Y1 solenoid load=1 : 1 feed 24, 2 return
		link Y1 1 2 resistance 24
		device K1 relay load=0.05 : A1 feed 24, A2 return, 11 pass, 12 pass, 14 pass
		link K1 A1 A2 resistance 480
		link K1 11 12 contact closed
		link K1 11 14 contact open
		device E1 lamp load=1 : + feed 24, - return
		device E2 lamp load=1 : + feed 24, - return
		device R1 other : 1 pass, 2 pass
		link R1 1 2 resistance 1100
		device D1 other : A pass, K pass
		link D1 A K diode
		wire W1 G1:+ A1:V
		wire W2 G1:- A1:0V
		wire W3 G1:+ Y1:1
		wire W4 Y1:2 A1:O1
		wire W5 G1:+ K1:A1
		wire W6 K1:A2 G1:-
		wire W7 G1:+ K1:11
		wire W8 K1:14 E1:+
		wire W9 E1:- G1:-
		wire W10 K1:12 E2:+
		wire W11 E2:- G1:-
		wire W12 G1:+ R1:1
		wire W13 R1:2 D1:A
		wire W14 D1:K G1:-`)
	for _, c := range []struct {
		touch, when string
		want        float64
	}{
		{"A1:O1 A1:0V", "", 24}, {"Y1:1 Y1:2", "", 0}, {"A1:O1 A1:0V", "driven A1:O1", 0}, {"Y1:1 Y1:2", "driven A1:O1", 24},
		{"E1:+ E1:-", "", 24}, {"E2:+ E2:-", "", 0}, {"K1:11 K1:14", "", 0}, {"K1:11 K1:12", "", 24}, {"E1:+ E1:-", "lifted W5", 0}, {"E2:+ E2:-", "lifted W5", 24},
		{"D1:A D1:K", "", 0.65}, {"R1:1 R1:2", "", 23.35}, {"G1:+ G1:-", "", 24},
	} {
		line := fmt.Sprintf("%s %g mode=volts-dc", c.touch, c.want)
		if c.when != "" {
			line += fmt.Sprintf(" when %q", c.when)
		}
		r := reading(t, m, line)
		red, _ := m.TerminalIndex(r.Red)
		black, _ := m.TerminalIndex(r.Black)
		d := Diagnose(m)
		if got := d.Judge().Volts(red, black, r.Conditions); !got.Known || math.Abs(got.Value-c.want) > 0.1 {
			t.Errorf("%s when %q: %v V, want %g", c.touch, c.when, got, c.want)
		}
		if logged := d.Suppose(r); logged.Outcome == judge.Contradicts {
			t.Errorf("%s: %s", line, logged.Message)
		}
	}
	if logged := Diagnose(m).Suppose(reading(t, m, "Y1:1 Y1:2 23.8 mode=volts-dc")); logged.Outcome != judge.Agrees {
		t.Errorf("on, and not noted: %s, %s", logged.Outcome, logged.Message)
	}
}

// What the copper of the map drops is no supply that fails: voltage-drop says it.
func TestVoltsThatTheCopperDrops(t *testing.T) {
	m := build(t, `
		device G1 supply limit=10 : + rail 5, - return
		device E1 lamp load=3 : + feed 5, - return
		wire W1 G1:+ E1:+ gauge=AWG18 length=5.5
		wire W2 G1:- E1:- gauge=AWG18 length=5.5`)
	for _, line := range []string{"E1:+ E1:- 4.25 mode=volts-dc", "E1:+ E1:- 3.6 mode=volts-dc"} {
		blamed := slices.ContainsFunc(Check(read(t, m.Clone(), line)).Findings, func(f Finding) bool { return f.Severity == Fault })
		if want := strings.Contains(line, "3.6"); blamed != want {
			t.Errorf("%s: blamed %v", line, blamed)
		}
	}
}

// Sound machines drawn at random, every output commanded on, every device at work, the
// volts of every load read with a meter's noise: nobody is blamed that the map does not
// blame.
func TestSoundMachinesAtWorkBlameNobody(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	for seed := range uint64(40) {
		m := sample.Sound(seed)
		before := faultLines(Check(m))
		b := NewAnalysis(m)
		var driven []string
		for _, driver := range b.Parts.Drivers {
			driven = append(driven, "driven "+b.name(driver.Drive))
		}
		when := strings.Join(driven, "; ")
		conditions, err := m.ParseConditions(when)
		if err != nil {
			t.Fatal(err)
		}
		for i, load := range b.Parts.Loads {
			m.Symptoms = append(m.Symptoms, model.Symptom{At: time.Date(2026, 5, 4, 12, 0, i, 0, time.UTC), Device: load.Device, Word: model.SymptomWorks, When: when})
			if len(load.Returns) == 0 {
				continue
			}
			if volts := b.Judge().Volts(load.Feed, load.Returns[0], conditions); volts.Known {
				r := model.Reading{Number: int64(len(m.Readings) + 1), Stored: 1 << 40, Red: b.AsDrawn.Ref(load.Feed), Black: b.AsDrawn.Ref(load.Returns[0]), Mode: model.ModeVoltsDC,
					Value: model.Value{Kind: model.ShowsNumber, Number: volts.Value * (1 + 0.015*random.NormFloat64())}, Conditions: conditions}
				if err := m.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
					t.Fatal(err)
				}
			}
		}
		if report := Check(m); !slices.Equal(faultLines(report), before) || len(report.Unexplained) > 0 {
			t.Errorf("seed %d: %q, without symptoms and volts %q; unexplained %+v", seed, faultLines(report), before, report.Unexplained)
		}
	}
}
