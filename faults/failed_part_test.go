package faults

import (
	"slices"
	"strings"
	"testing"
)

// plant is a machine with a plug, a switch on the mains, two supplies on them, a
// converter behind one of them, a battery, fuses and an output that somebody has to
// command.
const plant = `
	device X1 mains-inlet : L line, N neutral, PE earth
	device G1 supply limit=20 : L line, N neutral, + rail 24, - return
	device G2 supply limit=5 : L line, N neutral, + rail 12, - return
	device G3 converter load=1 : I+ feed 24, I- return, O+ rail 5
	device G5 battery limit=10 : + rail 12, - return
	device F1 fuse : 1 pass, 2 pass
	link F1 1 2 fuse 4
	device F2 fuse : 1 pass, 2 pass
	link F2 1 2 fuse 4
	device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link X0 1 2 solid
	link X0 2 3 solid
	link X0 3 4 solid
	device S1 switch : 1 pass, 2 pass
	link S1 1 2 contact open
	device E1 lamp load=1 : + feed 24, - return
	device E2 lamp load=1 : + feed 24, - return
	device E3 lamp load=1 : + feed 24, - return
	device E4 lamp load=0.5 : + feed 5 4.75..5.25, - return
	device E5 lamp load=1 : + feed 12, - return
	device E6 lamp load=1 : + feed 12, - return
	device A1 driver load=0.1 : V+ feed 24, 0V return, O1 drive
	device Y1 solenoid load=1 : 1 feed 24, 2 return
	link E1 + - resistance 3
	link E2 + - resistance 3
	link E3 + - resistance 3
	link Y1 1 2 resistance 24
	wire WL1 X1:L G1:L
	wire WN1 X1:N G1:N
	wire WL2 X1:L G2:L
	wire WN2 X1:N G2:N
	wire W1 G1:+ F1:1
	wire W2 F1:2 E1:+
	wire W3 E1:- X0:1
	wire W4 G1:+ F2:1
	wire W5 F2:2 E2:+
	wire W6 E2:- X0:2
	wire W7 X0:3 G1:-
	wire W8 F2:2 S1:1
	wire W9 S1:2 E3:+
	wire W10 E3:- X0:2
	wire W11 F2:2 G3:I+
	wire W12 G3:I- X0:4
	wire W13 G3:O+ E4:+
	wire W14 E4:- X0:4
	wire W15 G2:+ E5:+
	wire W16 E5:- G2:-
	wire W17 G5:+ E6:+
	wire W18 E6:- G5:-
	wire W19 F2:2 A1:V+
	wire W20 A1:0V X0:4
	wire W21 A1:V+ Y1:1
	wire W22 Y1:2 A1:O1
`

func TestVoltsOutOfLimits(t *testing.T) {
	for _, c := range []struct {
		name, readings string
		want           []string // rule, mode and first device or terminal of each, as line writes them
		says           string   // in headline, message or advice of the first
		not            string   // nowhere in it
	}{
		{"right", "G1:+ G1:- 24.1 mode=volts-dc\nG1:+ G1:- 0.02 mode=volts-ac\nE1:+ E1:- 23.8 mode=volts-dc", nil, "", ""},
		{"high at its own terminals", "G1:+ G1:- 31 mode=volts-dc", []string{"failed-part high G1"}, "What hangs on it may be damaged: A1, E1, E2, E3, G3 and Y1", "pulls it down"},
		{"high, the tips the other way round", "G1:- G1:+ -31 mode=volts-dc", []string{"failed-part high G1"}, "switch off", ""},
		{"high at a load, above its own max_v", "E4:+ E4:- 5.3 mode=volts-dc", []string{"failed-part high G3"}, "switch off", "pull"},
		{"high at both", "G1:+ G1:- 31 mode=volts-dc\nE1:+ E1:- 30.8 mode=volts-dc\nE2:+ E2:- 30.8 mode=volts-dc", []string{"failed-part high G1"}, "readings 1", ""},
		{"high at a load, the supply right", "G2:+ G2:- 12 mode=volts-dc\nE5:+ E5:- 24 mode=volts-dc", []string{"failed-part high E5"}, "another rail got in", "pull"},
		{"low at its own terminals", "G1:+ G1:- 18 mode=volts-dc", []string{"failed-part low G1"}, "what hangs on it pulls it down", ""},
		{"low at a load, the supply right", "G1:+ G1:- 24 mode=volts-dc\nE1:+ E1:- 15 mode=volts-dc", []string{"high-resistance  E1"}, "a bad joint", "G1 gives too few"},
		{"low at a load, nobody read the supply", "E5:+ E5:- 9 mode=volts-dc", []string{"failed-part low G2"}, "Read G2 at its own terminals, G2:+ to G2:-", ""},
		{"low at one load, another is right", "E2:+ E2:- 24 mode=volts-dc\nE1:+ E1:- 15 mode=volts-dc", []string{"high-resistance  E1"}, "", "F2"},
		{"dead at its own terminals", "G2:+ G2:- 0.1 mode=volts-dc", []string{"failed-part dead G2"}, "gives nothing", ""},
		{"dead at a load, the supply right", "G1:+ G1:- 24 mode=volts-dc\nE1:+ E1:- 0 mode=volts-dc", []string{"open  E1"}, "No volts reach E1", ""},
		{"two loads dead behind one fuse", "G1:+ G1:- 24 mode=volts-dc\nE2:+ E2:- 0 mode=volts-dc\nG3:I+ G3:I- 0 mode=volts-dc\nE1:+ E1:- 24 mode=volts-dc", []string{"open  F2"}, "E2 and G3", ""},
		{"all that the plug feeds is dead", "G1:+ G1:- 0 mode=volts-dc\nG2:+ G2:- 0 mode=volts-dc", []string{"failed-part dead G1"}, "G1 and G2: no volts at any of them", ""},
		{"one of two is dead", "G1:+ G1:- 0 mode=volts-dc\nG2:+ G2:- 12 mode=volts-dc", []string{"failed-part dead G1"}, "G1 gives nothing", ""},
		{"a converter is dead with the supply before it", "G3:O+ G3:I- 0 mode=volts-dc\nG1:+ G1:- 0 mode=volts-dc", []string{"failed-part dead G1"}, "", ""},
		{"a converter alone", "G1:+ G1:- 24 mode=volts-dc\nG3:O+ G3:I- 0 mode=volts-dc", []string{"failed-part dead G3"}, "First its input, G3:I+ to G3:I-", ""},
		{"ripple", "G1:+ G1:- 1.4 mode=volts-ac", []string{"failed-part ripple G1"}, "puts ripple on its 24 V rail", ""},
		{"ripple at a load, the supply clean", "G1:+ G1:- 0.01 mode=volts-ac\nE1:+ E1:- 1.4 mode=volts-ac", []string{"failed-part ripple E1"}, "G1 itself is clean", ""},
		{"just usual ripple", "G1:+ G1:- 0.24 mode=volts-ac", nil, "", ""},
		{"reversed", "G2:+ G2:- -12 mode=volts-dc", []string{"failed-part reversed G2"}, "the tips were exchanged", ""},
		{"the last reading counts", "G2:+ G2:- 0 mode=volts-dc\nG2:- G2:+ -12.1 mode=volts-dc", nil, "", ""},
		{"two causes", "G1:+ G1:- 31 mode=volts-dc\nG2:+ G2:- 9 mode=volts-dc", []string{"failed-part high G1", "failed-part low G2"}, "", ""},
		{"a battery that is charged", "G5:+ G5:- 14.2 mode=volts-dc\nE6:+ E6:- 14.1 mode=volts-dc", nil, "", ""},
		{"a battery that is flat", "G5:+ G5:- 9 mode=volts-dc", []string{"failed-part low G5"}, "discharged or worn", ""},

		// what the map explains is no finding
		{"the plug is out", "G1:+ G1:- 0 mode=volts-dc when \"unplugged X1\"\nE1:+ E1:- 0 mode=volts-dc when \"unplugged X1\"\nG3:O+ G3:I- 0.3 mode=volts-dc when \"unplugged X1\"", nil, "", ""},
		{"capacitors run down", "G1:+ G1:- 11 mode=volts-dc when \"unplugged X1\"\nG1:+ G1:- 11 falling mode=volts-dc", nil, "", ""},
		{"the supply is unplugged", "G1:+ G1:- 0 mode=volts-dc when \"unplugged G1\"", nil, "", ""},
		{"too much all the same", "G1:+ G1:- 31 mode=volts-dc when \"unplugged G1\"", []string{"failed-part high G1"}, "", ""},
		{"its fuse is out", "E1:+ E1:- 0 mode=volts-dc when \"open F1:1-2\"", nil, "", ""},
		{"a wire is off", "E1:+ E1:- 0.1 mode=volts-dc when \"lifted W3\"", nil, "", ""},
		{"a switch stands open", "E3:+ E3:- 0 mode=volts-dc", nil, "", ""},
		{"a switch is closed", "G1:+ G1:- 24 mode=volts-dc\nE3:+ E3:- 0 mode=volts-dc when \"closed S1:1-2\"", []string{"open  E3"}, "", ""},
		{"an output that nobody drove", "Y1:1 Y1:2 0 mode=volts-dc", nil, "", ""},
		{"an output that was driven", "G1:+ G1:- 24 mode=volts-dc\nY1:1 Y1:2 0 mode=volts-dc when \"driven A1:O1\"", []string{"open  Y1"}, "Or the output of A1 does not switch", ""},
		{"the input of a converter is off", "G3:O+ G3:I- 0 mode=volts-dc when \"open F2:1-2\"", nil, "", ""},
		{"a break that ohms prove", "F1:1 F1:2 OL\nF1:1 F1:2 OL\nE1:+ E1:- 0 mode=volts-dc\nG1:+ G1:- 24 mode=volts-dc", []string{"open  F1"}, "", ""},
		{"a short that ohms prove", "G2:+ G2:- 0.2\nG2:+ G2:- 0.2\nG2:+ G2:- 0.4 mode=volts-dc", []string{"short  G2"}, "", ""},
		{"nothing fixes the volts there", "E1:+ G2:- 9 mode=volts-dc", nil, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := Check(read(t, build(t, plant), c.readings))
			var got []string
			for _, f := range report.Findings {
				culprit := ""
				switch {
				case len(f.Devices) > 0:
					culprit = f.Devices[0]
				case len(f.Terminals) > 0:
					culprit = f.Terminals[0]
				}
				if f.Severity == Fault {
					got = append(got, f.Rule+" "+string(f.Mode)+" "+culprit)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Fatalf("got %q\n%s\nunexplained %+v", got, briefs(report.Findings), report.Unexplained)
			}
			if len(got) > 0 {
				text := strings.Join([]string{report.Findings[0].Headline, report.Findings[0].Message, report.Findings[0].Advice}, " ")
				if !strings.Contains(text, c.says) || c.not != "" && strings.Contains(text, c.not) {
					t.Errorf("says %q; want %q in it, and not %q", text, c.says, c.not)
				}
			}
			for _, u := range report.Unexplained {
				t.Errorf("not explained: %s", u.Words)
			}
		})
	}
}

// Rails that meet on the map, and rails that may: the volts of one of them are no
// failed part of the other.
func TestVoltsOfRailsThatMeet(t *testing.T) {
	const charged = `
device G1 supply limit=5 : + rail 13.8, - return
device G5 battery limit=5 : + rail 12 10.5..13, - return
device E1 lamp load=1 : + feed 12 10..15, - return
wire W1 G1:+ G5:+
wire W2 G1:- G5:-
wire W3 G5:+ E1:+
wire W4 E1:- G5:-
bond G1:- G5:-
bond G1:+ G5:+`
	const crossed = `
device G1 supply limit=5 : + rail 36, - return
device G2 supply limit=5 : + rail 24, - return
device E1 lamp load=1 : + feed 24, - return
wire W1 G1:+ G2:+
wire W2 G1:- G2:-
bond G1:- G2:-
wire W3 G2:+ E1:+
wire W4 E1:- G2:-`
	for _, c := range []struct{ name, machine, readings string }{
		{"a charger on its battery", charged, "G5:+ G5:- 13.7 mode=volts-dc\nG1:+ G1:- 13.7 mode=volts-dc"},
		{"rails that the map draws together", crossed, "G2:+ G2:- 36 mode=volts-dc\nG1:+ G1:- 24 mode=volts-dc"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, f := range Check(read(t, build(t, c.machine), c.readings)).Findings {
				if f.Rule == nameFailedPart {
					t.Errorf("%s: %s", f.Mode, f.Message)
				}
			}
		})
	}
}

// The AC side of a bridge is no DC rail with ripple.
func TestACBeforeABridge(t *testing.T) {
	const bridge = `
device T1 other limit=5 : L line, N neutral, S1 rail 24, S2 return
device D1 other : A1 pass, A2 pass, P pass, M pass
link D1 A1 P diode
link D1 A2 P diode
link D1 M A1 diode
link D1 M A2 diode
wire W1 T1:S1 D1:A1
wire W2 T1:S2 D1:A2`
	for _, f := range Check(read(t, build(t, bridge), "T1:S1 T1:S2 25.2 mode=volts-ac")).Findings {
		if f.Rule == nameFailedPart || f.Rule == nameLivePart {
			t.Errorf("%s", f.Message)
		}
	}
}

// A supply that was too high and is dead now is another finding, and told as one.
func TestAnotherModeIsANewFinding(t *testing.T) {
	m := build(t, plant)
	before := Diagnose(m)
	log := func(line string) []Finding {
		supposed := before.Suppose(reading(t, m, line))
		read(t, m, line)
		after := Diagnose(m)
		brought := Since(before.Report().Findings, after.Report().Findings)
		if len(brought) != len(supposed.Findings) {
			t.Errorf("%s: told %s, stored %s", line, briefs(supposed.Findings), briefs(brought))
		}
		before = after
		return brought
	}
	for _, c := range []struct {
		line string
		mode FailMode
	}{{"G2:+ G2:- 31 mode=volts-dc", FailHigh}, {"G2:+ G2:- 0 mode=volts-dc", FailDead}, {"G2:+ G2:- 9 mode=volts-dc", FailLow}} {
		if found := log(c.line); len(found) != 1 || found[0].Mode != c.mode {
			t.Errorf("%s: %s", c.line, briefs(found))
		}
	}
	if found := log("G2:+ G2:- 12 mode=volts-dc"); len(found) > 0 {
		t.Errorf("it is well now: %s", briefs(found))
	}
}
