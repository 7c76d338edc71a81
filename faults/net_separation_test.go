package faults

import (
	"slices"
	"strings"
	"testing"
)

// cabinet is a sound machine: 24 V and 12 V with blocks, fuses and loads of
// their own, a converter from 24 V to 5 V, a driver with two coils, earth. The
// returns of 24 V and 12 V meet at one bond.
const cabinet = `
device X1 mains-inlet limit=10 : L line, N neutral, PE earth
device G1 supply limit=10 : L line, N neutral, PE earth, + rail 24, - return
device G2 supply limit=5 : L line, N neutral, PE earth, + rail 12, - return
device G3 converter load=1 limit=4 : IN feed 24, + rail 5, - return
wire W101 X1:L G1:L colour=BN
wire W102 X1:N G1:N colour=BU
wire W103 X1:PE G1:PE colour=GNYE
wire W104 X1:L G2:L colour=BN
wire W105 X1:N G2:N colour=BU
wire W106 X1:PE G2:PE colour=GNYE

device F1 fuse : 1 pass, 2 pass
link F1 1 2 fuse 6
device F2 fuse : 1 pass, 2 pass
link F2 1 2 fuse 4
device TB1 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass
link TB1 1 2 solid
link TB1 2 3 solid
link TB1 3 4 solid
link TB1 4 5 solid
device TB2 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
link TB2 1 2 solid
link TB2 2 3 solid
link TB2 3 4 solid
device TB3 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass, 6 pass, 7 pass
link TB3 1 2 solid
link TB3 2 3 solid
link TB3 3 4 solid
link TB3 4 5 solid
link TB3 5 6 solid
link TB3 6 7 solid
device TB4 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass
link TB4 1 2 solid
link TB4 2 3 solid
link TB4 3 4 solid
link TB4 4 5 solid
wire W1 G1:+ F1:1 colour=RD
wire W2 F1:2 TB1:1 colour=RD
wire W3 G2:+ F2:1 colour=OG
wire W4 F2:2 TB2:1 colour=OG
wire W5 G1:- TB3:1 colour=BU
wire W6 G2:- TB4:1 colour=BU
wire W7 TB3:7 TB4:5 colour=BU
bond TB3:7 TB4:5

device E1 lamp load=0.5 : + feed 24, - return
device E2 lamp load=0.5 : + feed 24, - return
device E3 lamp load=0.5 : + feed 12, - return
device E4 lamp load=0.5 : + feed 12, - return
wire W11 TB1:2 E1:+ colour=RD
wire W12 E1:- TB3:2 colour=BU
wire W13 TB1:3 E2:+ colour=RD
wire W14 E2:- TB3:3 colour=BU
wire W15 TB2:2 E3:+ colour=OG
wire W16 E3:- TB4:2 colour=BU
wire W17 TB2:3 E4:+ colour=OG
wire W18 E4:- TB4:3 colour=BU

wire W21 TB1:4 G3:IN colour=RD
wire W22 G3:- TB3:4 colour=BU
device K1 driver load=0.1 : VCC feed 5, GND return, O1 drive, O2 drive, I1 signal
device A1 controller load=0.2 : VCC feed 5, GND return, D1 signal
device Y1 solenoid load=1 : + feed 24, - return
link Y1 + - resistance 24
link Y1 - + diode
device Y2 solenoid load=1 : + feed 12, - return
link Y2 + - resistance 12
link Y2 - + diode
wire W23 G3:+ K1:VCC colour=VT
wire W24 G3:+ A1:VCC colour=VT
wire W25 K1:GND TB3:5 colour=BU
wire W26 A1:GND TB3:6 colour=BU
wire W27 A1:D1 K1:I1 colour=WH
wire W28 TB1:5 Y1:+ colour=RD
wire W29 Y1:- K1:O1 colour=GY
wire W30 TB2:4 Y2:+ colour=OG
wire W31 Y2:- K1:O2 colour=GY
`

// ownRules are the rules of this test's half of the table.
var ownRules = []string{
	"rail-cross", "short", "mixed-ground", "ground-loop", "floating-ground", "reverse-polarity", "no-feed", "no-return", "no-earth", "sneak-path",
}

// found runs the rules of this half over a machine.
func found(t testing.TB, lines ...string) []Finding {
	t.Helper()
	return ownFindings(NewAnalysis(build(t, lines...)))
}

func ownFindings(b *Analysis) []Finding {
	var list []Finding
	for _, rule := range Rules {
		if slices.Contains(ownRules, rule.Name) {
			list = append(list, rule.Check(b)...)
		}
	}
	return list
}

// brief writes a finding in one line: rule, severity where it is no fault, and
// each list that is not empty.
func brief(f Finding) string {
	text := f.Rule
	if f.Severity != Fault {
		text += " " + string(f.Severity)
	}
	for _, part := range []struct {
		mark string
		list []string
	}{{"d", f.Devices}, {"t", f.Terminals}, {"w", f.Wires}, {"n", f.Nets}} {
		if len(part.list) > 0 {
			text += " " + part.mark + "[" + strings.Join(part.list, " ") + "]"
		}
	}
	return text
}

func briefs(list []Finding) string {
	lines := make([]string, len(list))
	for at, f := range list {
		lines[at] = brief(f)
	}
	return strings.Join(lines, "\n")
}

func TestCrossingsNameTheirCulprit(t *testing.T) {
	tests := []struct {
		name  string
		fault string
		want  string
	}{
		{"none", "", ""},
		{"a wire between two rails", "wire W99 TB1:3 TB2:2", "rail-cross t[G1:+ G2:+] w[W99] n[+12V +24V]"},
		{"two wires between two rails", "wire W99 TB1:3 TB2:2\nwire W98 E1:+ E3:+", "rail-cross t[G1:+ G2:+] w[W99 W98] n[+12V +24V]"},
		{"a wire from a load's feed to the other rail", "wire W99 E3:+ TB1:1", "rail-cross t[G1:+ G2:+] w[W99] n[+12V +24V]"},
		{"a load's own wire is not to blame when it is of the wrong volts", "wire W99 TB1:3 TB2:2\ndrop W15\nwire W15 TB1:2 E3:+",
			"rail-cross t[G1:+ G2:+] w[W99] n[+12V +24V]"},
		{"a contact that is closed between two rails", "device S9 switch : 1 pass, 2 pass\nlink S9 1 2 contact closed\nwire W98 TB1:2 S9:1\nwire W99 S9:2 TB2:3",
			"rail-cross t[G1:+ G2:+] w[W99 W98] n[+12V +24V]"},
		{"a jumper inside a block", "device TB9 terminal-block : 1 pass, 2 pass\nlink TB9 1 2 solid\nwire W51 F1:2 TB9:1 colour=RD\nwire W52 F2:2 TB9:2 colour=OG\n" +
			"drop W2\ndrop W4\nwire W2 TB9:1 TB1:1\nwire W4 TB9:2 TB2:1",
			"rail-cross d[TB9] t[TB9:1 TB9:2 G1:+ G2:+] n[+12V +24V]"},
		{"a rail on its own return", "wire W99 TB1:3 TB3:3", "short t[G1:+ G1:-] w[W99] n[+24V 0V]"},
		{"a rail on earth", "wire W99 TB2:3 G1:PE", "short t[G1:PE G2:+] w[W99] n[+12V PE]"},
		{"a driver's output on a rail", "wire W99 K1:O1 TB1:2", "short t[G1:+ K1:O1] w[W99] n[+24V K1:O1]"},
		{"a driver's output on 0 V", "wire W99 K1:O1 TB3:2", "short t[G1:- K1:O1] w[W99] n[0V K1:O1]"},
		{"line on 0 V", "wire W99 G1:L TB3:2", "short t[G1:- G1:L] w[W99] n[0V L]"},
		{"returns joined with no bond", "drop TB3:7 TB4:5", "mixed-ground t[G1:- G2:-] w[W7] n[0V 0V G2]"},
		{"returns joined with no bond, twice", "drop TB3:7 TB4:5\nwire W99 E1:- E3:-", "mixed-ground t[G1:- G2:-] w[W99 W7] n[0V 0V G2]"},
		{"a bond whose ends both lie nearest to one supply speaks for two", "device TB5 terminal-block : 1 pass\ndrop TB3:7 TB4:5\ndrop W7\n" +
			"wire W51 TB3:7 TB5:1 colour=BU\nwire W52 TB5:1 TB4:5 colour=BU\nbond TB5:1 TB4:5\nwire W99 TB5:1 G2:- colour=BU",
			"ground-loop warning d[TB5 G2 TB4] t[TB5:1 G2:-] w[W99 W6 W52] n[0V]"},
		{"a diode the wrong way round in a feed", "device D1 other : A pass, K pass\nlink D1 A K diode\ndrop W15\nwire W15 TB2:2 D1:K\nwire W99 D1:A E3:+",
			"no-feed d[D1 E3] t[D1:A D1:K E3:+] n[E3:+]"},
		{"three rails, two wires", "wire W98 TB1:3 TB2:2\nwire W99 E3:+ A1:VCC",
			"rail-cross t[G1:+ G2:+] w[W98] n[+12V +24V]\nrail-cross t[G2:+ G3:+] w[W99] n[+5V +12V]"},
		{"loads behind one plug that is turned round", "device J1 connector : 1a pass, 1b pass, 2a pass, 2b pass\nlink J1 1a 1b solid\nlink J1 2a 2b solid\n" +
			"drop W11\ndrop W12\ndrop W13\ndrop W14\nwire W51 TB1:2 J1:2a\nwire W52 TB3:2 J1:1a\n" +
			"wire W53 J1:1b E1:+\nwire W54 J1:2b E1:-\nwire W55 E1:+ E2:+\nwire W56 E1:- E2:-",
			"reverse-polarity d[E1 E2] t[E1:+ E1:- E2:+ E2:-] w[W52 W51] n[+24V 0V]"},
		{"two wires side by side between the same devices", "wire W99 E1:- TB3:5", "ground-loop note d[E1 TB3] t[E1:- TB3:5] w[W99 W12] n[0V]"},
		{"0 V on earth in two places", "wire W98 G1:- G1:PE\nwire W99 TB3:3 X1:PE",
			"ground-loop warning d[TB3 X1 G1] t[TB3:3 X1:PE] w[W99 W5 W98 W103] n[0V]"},
		{"0 V on earth inside a device and at the star", "device C1 computer load=1 : + feed 24, - return, PE earth\nlink C1 - PE solid\n" +
			"wire W51 TB1:1 C1:+\nwire W52 C1:- TB3:1 colour=BU\nwire W53 C1:PE X1:PE\nwire W54 TB3:2 X1:PE colour=BK",
			"ground-loop warning d[TB3 X1 C1] t[TB3:2 X1:PE] w[W54 W53 W52] n[0V]"},
		{"two lost returns in one", "drop W12\ndrop W16\nwire W12 E1:- E3:-", "no-return d[E1 E3] t[E1:- E3:-] n[E1:-]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := briefs(found(t, cabinet, test.fault)); got != test.want {
				t.Errorf("with %q\n got %s\nwant %s", test.fault, got, test.want)
			}
		})
	}
}

// Where the map cannot tell two culprits apart it names both, and is less sure.
func TestRivalsLowerConfidence(t *testing.T) {
	const loadless = `
device G1 supply : + rail 24, - return
device G2 supply : + rail 12, - return
device TB1 terminal-block : 1 pass
wire W1 G1:+ TB1:1
wire W2 G2:+ TB1:1
`
	list := found(t, loadless)
	if len(list) != 1 || brief(list[0]) != "rail-cross t[G1:+ G2:+] w[W2 W1] n[+12V +24V]" || list[0].Confidence != 0.5 {
		t.Errorf("got %s, confidence of the first %v", briefs(list), list[0].Confidence)
	}
	const odd = `
device TB2 terminal-block : 1 pass
drop W1
wire W1 G1:+ TB2:1 colour=BU
wire W3 TB2:1 TB1:1 colour=RD
wire W2 G2:+ TB1:1 colour=RD
`
	list = found(t, loadless, odd)
	if len(list) != 1 || list[0].Wires[0] != "W1" || list[0].Confidence != 0.8 {
		t.Errorf("got %s, want W1, of another colour, with 0.8", briefs(list))
	}
	if list := found(t, cabinet, "wire W99 TB1:3 TB2:2"); list[0].Confidence != 1 {
		t.Errorf("confidence %v of a culprit without rivals", list[0].Confidence)
	}
}
