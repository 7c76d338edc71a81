package faults

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

// stopMachine has an emergency stop of two contacts, one in the coil of a relay and
// one at a controller's input; the relay switches a motor on and a lamp off.
const stopMachine = `
	device G1 supply limit=5 : + rail 24, - return
	device S0 switch : 11 pass, 12 pass, 21 pass, 22 pass
	link S0 11 12 contact closed
	link S0 21 22 contact closed
	device K1 relay : A1 pass, A2 pass, 13 pass, 14 pass, 21 pass, 22 pass
	link K1 A1 A2 resistance 400
	link K1 13 14 contact open
	link K1 21 22 contact closed
	device M1 motor load=2 : + feed 24, - return
	link M1 + - resistance 12
	device H1 lamp load=0.1 : + feed 24, - return
	link H1 + - resistance 24
	device U1 controller load=0.1 : + feed 24, - return, I1 signal, I2 signal
	link U1 + - electronic
	link U1 I1 - electronic
	wire W1 G1:+ S0:11
	wire W2 S0:12 K1:A1
	wire W3 K1:A2 G1:-
	wire W4 G1:+ K1:13
	wire W5 K1:14 M1:+
	wire W6 M1:- G1:-
	wire W7 G1:+ K1:21
	wire W8 K1:22 H1:+
	wire W9 H1:- G1:-
	wire W10 G1:+ U1:+
	wire W11 U1:- G1:-
	wire W12 S0:22 U1:I1
	wire W13 S0:21 G1:+`

func TestAContactThatReadsClosedTwiceWhereItStandsOpenIsWelded(t *testing.T) {
	for _, c := range []struct {
		name, more, contact string
		reads               []string
		says                []string
		devices             []string
	}{
		{"a relay without power", "", "K1:13-14", []string{"K1:13 K1:14 0.3", "K1:14 K1:13 0.3"}, []string{"no longer takes M1 off", "its coil without power"}, []string{"K1", "M1"}},
		{"read over a longer way", "", "K1:13-14", []string{"G1:+ M1:+ 0.3", "K1:13 K1:14 0.3"}, []string{"no longer takes M1 off"}, []string{"K1", "M1"}},
		{"a stop that is pressed", "", "S0:11-12", []string{`S0:11 S0:12 0.3 when "open S0:11-12"`, `S0:11 S0:12 beep when "open S0:11-12"`},
			[]string{"no longer takes K1 off, nor what that switches: M1 and H1"}, []string{"S0", "H1", "K1", "M1"}},
		{"its other channel opens", "", "S0:11-12", []string{`S0:21 S0:22 OL when "open S0:21-22"`, `S0:11 S0:12 0.3 when "open S0:11-12"`, `S0:11 S0:12 0.3 when "open S0:11-12; open S0:21-22"`},
			[]string{"no longer takes K1 off"}, []string{"S0", "H1", "K1", "M1"}},
		{"a channel that is only read", "", "S0:21-22", []string{`S0:21 S0:22 0.3 when "open S0:21-22"`, `S0:21 S0:22 0.3 when "open S0:21-22"`}, []string{"U1:I1 takes it for closed"}, []string{"S0"}},
		{"a changeover, whose other throw is open then", "drop K1 21 22 contact\ndrop W7\nlink K1 13 22 contact closed", "K1:13-14", []string{"K1:13 K1:14 0.3", "K1:13 K1:22 OL", "K1:13 K1:14 0.3"},
			[]string{"no longer takes M1 off"}, []string{"K1", "M1"}},
		{"a contact without wires", "device S5 switch : 1 pass, 2 pass\nlink S5 1 2 contact open", "S5:1-2", []string{"S5:1 S5:2 beep", "S5:1 S5:2 beep"}, []string{"What it switches is not on the map"}, []string{"S5"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := read(t, build(t, stopMachine, c.more), c.reads...)
			f := one(t, m, nameFailedPart)
			wellHeaded(t, f)
			if f.Mode != FailWelded || f.Severity != Fault || !strings.HasPrefix(f.Headline, c.contact+" is welded") {
				t.Errorf("mode %q, %s, %q", f.Mode, f.Severity, f.Headline)
			}
			says(t, f.Message+" "+f.Advice, append(c.says, "Do not rely on")...)
			starts(t, "devices", f.Devices, c.devices...)
			closed := 0
			for _, number := range f.Readings {
				r, _ := m.Reading(number)
				if r.Value.Number < 1 && r.Value.String() != "OL" {
					closed++
				}
			}
			if closed != 2 {
				t.Errorf("the evidence is %v", f.Readings)
			}
			if list := Check(m).Unexplained; len(list) > 0 {
				t.Errorf("unexplained besides: %v", list)
			}
		})
	}
}

// One reading may be a slip, or a position that was noted wrong.
func TestOneReadingOfAClosedContactAsksForAnother(t *testing.T) {
	for _, line := range []string{"K1:13 K1:14 0.3", `S0:11 S0:12 0.3 when "open S0:11-12"`, "G1:+ M1:+ 0.3"} {
		m := build(t, stopMachine)
		logged, found := log(t, m, reading(t, m, line))
		if logged.Outcome != "contradicts" || found != nil || len(logged.Findings) > 0 {
			t.Errorf("%s: %s, %d findings, %v", line, logged.Outcome, len(logged.Findings), found)
		}
		says(t, logged.Message, "repeat the reading once", "closed twice it is welded")
		report := Check(read(t, m, line))
		if len(report.Findings) > 0 || len(report.Unexplained) != 1 || !strings.Contains(report.Unexplained[0].Words, "repeat the reading once") {
			t.Errorf("%s: %s %v", line, briefs(report.Findings), report.Unexplained)
		}
	}
}

func TestNothingIsCalledWelded(t *testing.T) {
	for _, c := range []struct{ name, more, reads string }{
		{"a contact that opens", "", "K1:13 K1:14 OL\nK1:13 K1:14 OL"},
		{"one that is held closed", "", "K1:13 K1:14 0.3 when \"closed K1:13-14\"\nK1:13 K1:14 0.3 when \"closed K1:13-14\""},
		{"one that stands closed", "", "S0:11 S0:12 0.3\nS0:11 S0:12 0.3"},
		{"one whose position nobody noted", "device S5 switch : 1 pass, 2 pass\nlink S5 1 2 contact", "S5:1 S5:2 0.3\nS5:1 S5:2 0.3"},
		{"a beep of the parts beside it", "", "K1:13 K1:14 beep\nK1:13 K1:14 beep"},
		{"a fuse that is noted as blown", "device F1 fuse : 1 pass, 2 pass\nlink F1 1 2 fuse 2 open", "F1:1 F1:2 0.3\nF1:1 F1:2 0.3"},
		{"one that reads closed once and open once", "", "K1:13 K1:14 0.3\nK1:13 K1:14 OL"},
		{"a wire beside it that the map has", "wire W20 K1:13 K1:14", "K1:13 K1:14 0.3\nK1:13 K1:14 0.3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, f := range Check(read(t, build(t, stopMachine, c.more), c.reads)).Findings {
				if f.Mode == FailWelded {
					t.Errorf("%s: %s", f.Headline, f.Message)
				}
			}
		})
	}
	m := build(t, stopMachine)
	logged, _ := log(t, m, reading(t, m, "K1:13 K1:14 beep"))
	says(t, logged.Message, "does not say that K1:13-14 is open: read ohms")
}

// Whatever else is on the machine: a contact whose position says open, at rest or for
// the reading, and that reads as metal twice across its own terminals, is called
// welded; by itself no other way joins the two.
func TestPropertyAContactReadClosedTwiceIsWelded(t *testing.T) {
	found := 0
	rapid.Check(t, func(rt *rapid.T) {
		var more []string
		for i := range rapid.IntRange(1, 4).Draw(rt, "switches") {
			state := rapid.SampledFrom([]string{"open", "closed"}).Draw(rt, "state")
			more = append(more, fmt.Sprintf("device S%d switch : 1 pass, 2 pass\nlink S%d 1 2 contact %s", i+5, i+5, state),
				fmt.Sprintf("device H%d lamp load=1 : + feed 24, - return\nlink H%d + - resistance 24", i+5, i+5),
				fmt.Sprintf("wire WA%d G1:+ S%d:1\nwire WC%d H%d:- G1:-", i, i+5, i, i+5))
			if rapid.Bool().Draw(rt, "wired") {
				more = append(more, fmt.Sprintf("wire WB%d S%d:2 H%d:+", i, i+5, i+5))
			}
		}
		m := build(t, append([]string{stopMachine}, more...)...)
		links := slices.DeleteFunc(slices.Clone(m.Links), func(l model.Link) bool { return l.Kind != model.LinkContact })
		link := rapid.SampledFrom(links).Draw(rt, "contact")
		when := ""
		if link.State == model.StateClosed || rapid.Bool().Draw(rt, "held") {
			when = fmt.Sprintf(" when \"open %s\"", link.Place())
		}
		line := fmt.Sprintf("%s %s 0.3%s", link.FromRef(), link.ToRef(), when)
		read(t, m, line, line)
		for _, f := range Check(m).Findings {
			if f.Mode == FailWelded && strings.HasPrefix(f.Headline, link.Place()) && f.Severity == Fault {
				found++
				return
			}
		}
		rt.Fatalf("%s twice: %s", line, briefs(Check(m).Findings))
	})
	if found == 0 {
		t.Fatal("nothing was read")
	}
}
