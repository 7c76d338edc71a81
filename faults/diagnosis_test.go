package faults

import (
	"strings"
	"testing"

	"bellout/faults/judge"
	"bellout/model"
)

// lock is a small sound machine: two supplies, a fuse, a block with a bus bar,
// a plug, a solenoid of 5 ohm, a lamp of 3 ohm, a relay coil of 320 ohm.
const lock = `
	device G1 supply limit=10 : + rail 24, - return
	device G2 supply limit=5 : + rail 12, - return
	device F1 fuse : 1 pass, 2 pass
	link F1 1 2 fuse 5
	device TB1 terminal-block : 1 pass, 2 pass, 3 pass
	link TB1 1 2 solid
	link TB1 2 3 solid
	device TB0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link TB0 1 2 solid
	link TB0 2 3 solid
	link TB0 3 4 solid
	device J1 connector : 1 pass, 2 pass, 1a pass, 2a pass
	link J1 1 1a solid
	link J1 2 2a solid
	device E1 solenoid load=4 : + feed 24, - return
	link E1 + - resistance 5
	device K1 relay load=0.08 : A1 feed 24, A2 return
	link K1 A1 A2 resistance 320
	device H1 lamp load=0.4 : + feed 12, - return
	link H1 + - resistance 3
	wire W1 G1:+ F1:1
	wire W2 F1:2 TB1:1
	wire W3 TB1:2 J1:1
	wire W4 J1:1a E1:+
	wire W5 E1:- J1:2a
	wire W6 J1:2 TB0:2
	wire W7 TB0:1 G1:-
	wire W8 TB1:3 K1:A1
	wire W9 K1:A2 TB0:3
	wire W10 G2:+ H1:+
	wire W11 H1:- G2:-
`

func TestReadingsNameTheCulprit(t *testing.T) {
	for _, c := range []struct {
		name     string
		readings string
		want     []string
	}{
		{"a chain that beeps is no finding", `G1:+ E1:+ beep`, nil},
		{"one silent wire", `TB1:2 J1:1 silent`, []string{"open W3 [1]"}},
		{"silent along a chain, its first half proven", "G1:+ J1:1 beep\nG1:+ E1:+ silent\nJ1:1 J1:1a beep", []string{"open W4 [2 1 3]"}},
		{"the break reads as the rest of the network", "G1:+ J1:1 beep\nG1:+ E1:+ 325.2\nJ1:1 J1:1a beep", []string{"open W4 [2 1 3]"}},
		{"OL where the rest of the network would show", "G1:+ J1:1 beep\nG1:+ E1:+ OL\nJ1:1 J1:1a beep", []string{"open W4 [2 1 3]"}},
		{"a bad joint", "TB1:2 J1:1 2.6", []string{"high-resistance W3 [1]"}},
		{"the rails meet", "G1:+ G2:+ 0.3", []string{"rail-cross G1:+ [1]"}},
		{"the returns meet", "G1:- G2:- 0.3", []string{"mixed-ground G1:- [1]"}},
		{"rail to return through the coil", "G1:+ G1:- beep", nil},
		{"rail to return, too low for the coil", "G1:+ G1:- 0.3", []string{"short G1:+ [1]"}},
		{"one reading now silent, now beeping", "TB1:2 J1:1 silent\nTB1:2 J1:1 beep", []string{"intermittent W3 [1 2]"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := read(t, build(t, lock), c.readings)
			got := ofReadings(m)
			if len(got) != len(c.want) {
				t.Fatalf("got %q, want %q", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] {
					t.Errorf("got %q, want %q", got[i], c.want[i])
				}
			}
		})
	}
}

func TestLogMeansAndDiscovers(t *testing.T) {
	base := build(t, lock, `
		device E9 solenoid load=1 : + feed 24, - return
		device S9 switch : 1 pass, 2 pass
		link S9 1 2 contact closed`)
	for _, c := range []struct {
		name, line string
		outcome    judge.Outcome
		wire       string
	}{
		{"a beep to a terminal without a wire is a wire", "TB1:3 E9:+ beep", judge.Discovery, "W12 TB1:3 E9:+"},
		{"whichever tip was where", "E9:+ TB1:3 0.3", judge.Discovery, "W12 TB1:3 E9:+"},
		{"a load on the way is no wire", "TB1:3 E9:+ 5.2", judge.Contradicts, ""},
		{"silence is no wire", "TB1:3 E9:+ silent", judge.Agrees, ""},
		{"what the map explains is no wire", "S9:1 S9:2 beep", judge.Agrees, ""},
		{"two rails with wires are a fault, no wire", "G1:+ G2:+ beep", judge.Contradicts, ""},
		{"clip leads do not say to which", `TB1:3 E9:+ beep when "clipped TB1:3 TB0:1"`, judge.Contradicts, ""},
		{"a silent wire contradicts", "G1:+ F1:1 silent", judge.Contradicts, ""},
		{"a climbing value can't tell", "G1:+ G2:+ 40 rising", judge.Undecided, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := base.Clone()
			r := reading(t, m, c.line)
			logged, found := log(t, m, r)
			wire := ""
			if found != nil {
				wire = found.Wire.Name + " " + found.Wire.From.String() + " " + found.Wire.To.String()
				if complaints := found.Wire.Validate(); len(complaints) > 0 {
					t.Errorf("the wire is not valid: %v", complaints)
				}
			}
			if logged.Outcome != c.outcome || wire != c.wire || logged.Message == "" {
				t.Errorf("got %s, wire %q (%s), want %s, wire %q", logged.Outcome, wire, logged.Message, c.outcome, c.wire)
			}
			if c.outcome == judge.Contradicts && len(logged.Findings) == 0 && !strings.Contains(c.line, "5.2") && !strings.Contains(c.line, "clipped") {
				t.Errorf("no finding: %s", logged.Message)
			}
		})
	}
}

// log says what a reading means on a machine, and which wire it shows.
func log(t testing.TB, m *model.Machine, r model.Reading) (Meaning, *Discovery) {
	t.Helper()
	d := Diagnose(m)
	return d.Suppose(r), d.Discover(r)
}
