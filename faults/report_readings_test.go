package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bellout/model"
)

// planted is a truth that differs from the map: faults are planted into a copy
// of the map, the meter reads the copy, the check sees only map and readings.
func TestPlantedFaults(t *testing.T) {
	for _, c := range []struct {
		id, name string
		truth    []string // edits of the map that make the machine as it is
		probes   string   // pairs and conditions; the values are what the truth shows
		want     string
	}{
		{"F02", "an open wire", []string{"drop W4"},
			"G1:+ E1:+; G1:+ J1:1a; J1:1a E1:+", "open W4"},
		{"F18", "an open return, read past the coil", []string{"drop W6"},
			"E1:- G1:- ohms; J1:2a G1:- ohms; J1:2 G1:- ohms", "open W6"},
		{"F04", "a pin that is not latched", []string{"drop J1 1 1a solid"},
			"G1:+ J1:1; J1:1 J1:1a; J1:1a E1:+; G1:+ E1:+", "open J1:1"},
		{"F12", "two nets touch at a plug", []string{"link J1 1 2 solid"},
			"G1:+ G1:- ohms; J1:1 J1:2 ohms when unplugged J1", "short"},
		{"F13", "rails cross", []string{"wire X1 H1:+ K1:A1"},
			"G1:+ G2:+ ohms; G1:+ G2:+ ohms when lifted W10; G1:+ G2:+ ohms when lifted W8", "rail-cross H1:+"},
		{"F15", "the 0 V sides touch", []string{"wire X1 H1:- TB0:4"},
			"G1:- G2:- ohms", "mixed-ground G1:-"},
		{"F11", "feed and return changed over at the coil", []string{"wire W4 J1:1a E1:-", "wire W5 E1:+ J1:2a"},
			"J1:1a E1:+ ohms; J1:2a E1:- ohms; J1:1a E1:- ohms; J1:2a E1:+ ohms", "swapped W4"},
		{"F17", "a blown fuse", []string{"link F1 1 2 fuse 5 open"},
			"G1:+ F1:1; F1:1 F1:2; F1:2 TB1:1", "open F1:1"},
		{"F39", "a lamp whose filament is open", []string{"drop H1 + - resistance"},
			"G2:+ G2:- ohms; G2:+ H1:+; H1:- G2:-", "open H1:+"},
	} {
		t.Run(c.id+" "+c.name, func(t *testing.T) {
			m := build(t, lock)
			truth := change(t, build(t, lock), c.truth...)
			measure(t, m, truth, c.probes)
			lines := ofReadings(m)
			if len(lines) != 1 || !strings.HasPrefix(lines[0], c.want) {
				t.Errorf("got %q, want one finding %q", lines, c.want)
				for _, f := range Check(m).Findings {
					t.Logf("%s %s %v %.2f: %s\n  %s", f.Rule, f.Wires, f.Terminals, f.Confidence, f.Message, f.Advice)
				}
			}
			if got := ofReadings(truth); len(got) != 0 {
				t.Errorf("the truth itself has findings of readings: %q", got)
			}
		})
	}
}

// measure takes the readings that a meter shows on the truth. A probe is two
// terminals, ohms for the ohms range, and conditions.
func measure(t *testing.T, m, truth *model.Machine, probes string) {
	t.Helper()
	for _, probe := range strings.Split(probes, ";") {
		head, when, _ := strings.Cut(strings.TrimSpace(probe), " when ")
		fields := strings.Fields(head)
		mode := model.ModeContinuity
		if len(fields) > 2 {
			mode = model.ModeOhms
		}
		conditions, err := truth.ParseConditions(when)
		if err != nil {
			t.Fatal(err)
		}
		x, err := Expect(truth, ref(fields[0]), ref(fields[1]), mode, conditions)
		if err != nil {
			t.Fatal(err)
		}
		shown := x.Shows
		if mode == model.ModeOhms {
			shown = "OL"
			if !math.IsInf(x.Ohms, 1) {
				shown = fmt.Sprintf("%.2f", x.Ohms+0.2)
			}
		}
		line := fmt.Sprintf("%s %s %s", fields[0], fields[1], shown)
		if when != "" {
			line += ` when "` + when + `"`
		}
		read(t, m, line)
	}
}

// A joint that lets go of both wires under one screw: they stay joined to each
// other, so the chain rings, and the terminal reads open.
func TestTheJointOfTwoWires(t *testing.T) {
	machine := `
		device G1 supply : + rail 24, - return
		device TB1 terminal-block : 1 pass, 2 pass
		link TB1 1 2 solid
		device E1 solenoid load=1 : + feed 24, - return
		device E2 solenoid load=1 : + feed 24, - return
		wire W1 G1:+ TB1:1
		wire W2 TB1:1 E1:+
		wire W3 TB1:2 E2:+
	`
	open := read(t, build(t, machine), "G1:+ E1:+ beep\nG1:+ TB1:1 silent\nE1:+ TB1:1 silent\nG1:+ E2:+ silent\nTB1:2 E2:+ beep")
	if got, want := ofReadings(open), "open TB1:1"; len(got) != 1 || !strings.HasPrefix(got[0], want) {
		t.Errorf("got %q, want one finding %q", got, want)
	}
	bad := read(t, build(t, machine), "G1:+ E1:+ 0.3\nG1:+ TB1:1 7.3\nE1:+ TB1:1 7.1\nG1:+ E2:+ 7.4\nTB1:2 E2:+ 0.2")
	got := ofReadings(bad)
	if want := "high-resistance TB1:1"; len(got) != 1 || !strings.HasPrefix(got[0], want) {
		t.Errorf("got %q, want one finding %q", got, want)
	}
	for _, f := range Check(bad).Findings {
		if f.Rule == nameHighResistance && !strings.Contains(f.Message, "7.1") && !strings.Contains(f.Message, "7.0") {
			t.Errorf("the size is not named: %s", f.Message)
		}
	}
}

// Two breaks in one chain: no single fault explains all readings.
func TestTwoBreaksInOneChain(t *testing.T) {
	m := read(t, build(t, lock), "F1:2 TB1:1 silent\nJ1:1a E1:+ silent\nG1:+ E1:+ silent\nG1:+ F1:2 beep\nTB1:1 J1:1a beep")
	got := ofReadings(m)
	if len(got) != 2 || !strings.HasPrefix(got[0], "open W2") || !strings.HasPrefix(got[1], "open W4") {
		t.Errorf("got %q, want open W2 and open W4", got)
	}
}

// A short that blew its fuse: the reading of the rail, taken before anybody saw
// that the fuse was gone, does not speak against the short behind it.
func TestAShortThatBlewItsFuse(t *testing.T) {
	m := read(t, build(t, lock),
		"G1:+ G1:- silent", // the coil alone would beep
		`J1:1 J1:2 0.3 steady when "open F1:1-2; lifted W5"`,
		`TB1:2 TB0:2 OL when "open F1:1-2; unplugged J1; lifted W8; lifted W3"`)
	var short []Finding
	for _, f := range Check(m).Findings {
		if len(f.Readings) > 0 {
			short = append(short, f)
		}
	}
	if len(short) != 1 || short[0].Rule != nameShort || !strings.Contains(short[0].Message, "F1:1-2") {
		t.Errorf("got %+v, want one short that has blown F1", short)
	}
}

// Networks worked out by hand or printed, each as readings. Source of the
// numbers: own solver with part values of the table of parts in circuit
// (worked circuits matrix_2x2, matrix_3x3, blown_fuse_bypassed,
// sneak_two_rails).
func TestWorkedNetworksAsReadings(t *testing.T) {
	for _, c := range []struct {
		name     string
		machine  string
		readings string
		want     []string
	}{
		{"a sound matrix of four lamps", matrix(2), "R1:1 C1:1 7.7", nil},
		{"a lamp lifted out of a matrix of four reads 30, not open", matrix(2), "R1:1 C1:1 30.2", []string{"open"}},
		{"a lamp lifted out of a matrix of nine reads 12.5, not open", matrix(3), "R1:1 C1:1 12.7", []string{"open"}},
		{"a blown fuse between two loads reads 12.4 and beeps", blownFuse, "F1:1 F1:2 12.6", []string{"open F1:1"}},
		{"a blown fuse between two loads beeps: the meter can't tell", blownFuse, "F1:1 F1:2 beep", nil},
		{"rail to rail through loads and commoned returns", sneakTwoRails, "G1:+ G2:+ 119.7", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := ofReadings(read(t, build(t, c.machine), c.readings))
			if len(got) != len(c.want) {
				t.Fatalf("got %q, want %q", got, c.want)
			}
			for i, want := range c.want {
				if !strings.HasPrefix(got[i], want) {
					t.Errorf("got %q, want %q", got[i], want)
				}
			}
		})
	}
}

// matrix is a lamp matrix without diodes: a lamp of 10 ohm from every row to
// every column.
func matrix(size int) string {
	var text strings.Builder
	for i := 1; i <= size; i++ {
		fmt.Fprintf(&text, "device R%d terminal-block : 1 pass\ndevice C%d terminal-block : 1 pass\n", i, i)
	}
	for i := 1; i <= size; i++ {
		for k := 1; k <= size; k++ {
			fmt.Fprintf(&text, "device H%d%d lamp : 1 feed, 2 return\nlink H%d%d 1 2 resistance 10\n", i, k, i, k)
			fmt.Fprintf(&text, "wire W%d%da R%d:1 H%d%d:1\nwire W%d%db H%d%d:2 C%d:1\n", i, k, i, i, k, i, k, i, k, k)
		}
	}
	return text.String()
}

const blownFuse = `
	device G1 supply : + rail 24, - return
	device F1 fuse : 1 pass, 2 pass
	link F1 1 2 fuse 5
	device E1 solenoid : + feed 24, - return
	device E2 solenoid : + feed 24, - return
	link E1 + - resistance 6.2
	link E2 + - resistance 6.2
	wire W1 G1:+ F1:1
	wire W2 F1:1 E1:+
	wire W3 F1:2 E2:+
	wire W4 E1:- G1:-
	wire W5 E2:- G1:-
`

const sneakTwoRails = `
	device G1 supply : + rail 12, - return
	device G2 supply : + rail 24, - return
	bond G1:- G2:-
	device E1 solenoid : + feed 12, - return
	device K1 relay : + feed 24, - return
	device K2 relay : + feed 24, - return
	link E1 + - resistance 4.7
	link K1 + - resistance 161
	link K2 + - resistance 400
	wire W1 G1:+ E1:+
	wire W2 E1:- G1:-
	wire W3 G2:+ K1:+
	wire W4 G2:+ K2:+
	wire W5 K1:- G2:-
	wire W6 K2:- G2:-
	wire W7 G1:- G2:-
`

func TestAReadingConfirmsACrossingOnTheMap(t *testing.T) {
	m := read(t, build(t, lock, "wire W12 K1:A1 H1:+"), "G1:+ G2:+ 0.3", "F1:2 TB1:1 beep")
	var crossing []Finding
	for _, f := range Check(m).Findings {
		if f.Rule == nameRailCross {
			crossing = append(crossing, f)
		}
	}
	if len(crossing) != 1 || crossing[0].Wires[0] != "W12" || !slices.Equal(crossing[0].Readings, []int64{1}) {
		t.Errorf("got %+v, want one rail-cross by W12 with reading 1", crossing)
	}
}

func TestAReadingRefutesACrossingOnTheMap(t *testing.T) {
	m := read(t, build(t, lock, "wire W12 K1:A1 H1:+"), "K1:A1 H1:+ OL", "G1:+ G2:+ OL")
	var rules []string
	for _, f := range Check(m).Findings {
		if len(f.Wires) > 0 && f.Wires[0] == "W12" {
			rules = append(rules, f.Rule)
		}
	}
	if len(rules) != 1 || rules[0] != nameOpen {
		t.Errorf("W12 is named by %v, want by open alone", rules)
	}
}
