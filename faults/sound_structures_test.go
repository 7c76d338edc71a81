package faults

import (
	"slices"
	"testing"
)

// structure is wiring that looks wrong to a rule of thumb and is sound, and
// changes of it that are not.
type structure struct {
	name   string
	note   string // the rule that has something to remark on it
	sound  string
	broken []brokenStructure
}

// brokenStructure is a change of a sound machine, the rule that must name it and
// what the finding must name.
type brokenStructure struct{ name, change, rule, culprit string }

var structures = []structure{
	{name: "batteries in series feed a step-down", note: "no-fuse", sound: `
		device G1 battery limit=200 : + rail 12, - return
		device G2 battery limit=200 : + rail 12, - return
		device F1 fuse : 1 pass, 2 pass
		link F1 1 2 fuse 5
		device U1 converter load=1 limit=2 : IN feed 24 18..32, GND return, OUT rail 5
		device A1 controller load=0.5 : VCC feed 5, GND return
		wire W1 G1:+ G2:- gauge=16mm2 length=0.15
		wire W2 G2:+ F1:1 gauge=6mm2 length=0.15
		wire W3 F1:2 U1:IN gauge=1.5mm2 length=1
		wire W4 U1:GND G1:- gauge=1.5mm2 length=1
		wire W5 U1:OUT A1:VCC gauge=0.75mm2 length=0.5
		wire W6 A1:GND U1:GND gauge=0.75mm2 length=0.5`,
		broken: []brokenStructure{
			{"the lower one is bridged", "wire W7 G2:- G1:- gauge=1.5mm2 length=0.2", "short", "W7"},
			{"the step-down hangs on the middle", "wire W3 F1:2 G2:- gauge=1.5mm2 length=1\nwire W7 G2:- U1:IN gauge=1.5mm2 length=1", "", "W3"},
			{"12 V where it wants 24", "wire W4 U1:GND G2:- gauge=1.5mm2 length=1", "under-voltage", "U1"},
		}},
	{name: "supplies in series feed a step-down that shares 0 V with its load's other supply", sound: `
		device G1 supply limit=5 : + rail 12, - return
		device G2 supply limit=5 : + rail 12, - return
		device U1 converter load=1 limit=2 : IN feed 24 18..32, GND return, OUT rail 5
		device A1 controller load=0.5 : VCC feed 5, GND return
		device E1 lamp load=1 : + feed 12, - return
		wire W1 G1:+ G2:- gauge=1.5mm2 length=0.2
		wire W2 G2:+ U1:IN gauge=1.5mm2 length=1
		wire W4 U1:GND G1:- gauge=1.5mm2 length=1
		wire W5 U1:OUT A1:VCC gauge=0.75mm2 length=0.5
		wire W6 A1:GND U1:GND gauge=0.75mm2 length=0.5
		wire W8 G1:+ E1:+ gauge=0.75mm2 length=1
		wire W9 E1:- G1:- gauge=0.75mm2 length=1`,
		broken: []brokenStructure{
			{"a bond says that both returns are one", "bond G1:- G2:-", "short", "W1"},
			{"the lamp lies across both", "wire W8 G2:+ E1:+ gauge=0.75mm2 length=1", "over-voltage", "E1"},
		}},
	{name: "isolated supplies in series without a load", sound: `
		device G1 supply limit=5 : + rail 12, - return
		device G2 supply limit=5 : + rail 12, - return
		wire W1 G1:+ G2:- gauge=1.5mm2 length=0.2`,
		broken: []brokenStructure{
			{"the ring is closed", "wire W2 G2:+ G1:- gauge=1.5mm2 length=0.2", "short", "W2"},
			{"one of them on itself", "drop W1\nwire W1 G1:+ G1:- gauge=1.5mm2 length=0.2", "short", "W1"},
		}},
	{name: "two isolated supplies make plus and minus 12 V", sound: `
		device G1 supply limit=2 : + rail 12, - return
		device G2 supply limit=2 : + rail 12, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
		link X0 1 2 solid
		link X0 2 3 solid
		link X0 3 4 solid
		device A1 amplifier load=0.5 : V+ feed 12, V- feed -12, 0 return
		wire W1 G1:- X0:1 gauge=1.5mm2 length=0.3
		wire W2 G2:+ X0:2 gauge=1.5mm2 length=0.3
		wire W3 G1:+ A1:V+ gauge=0.75mm2 length=1
		wire W4 G2:- A1:V- gauge=0.75mm2 length=1
		wire W5 A1:0 X0:3 gauge=0.75mm2 length=1`,
		broken: []brokenStructure{
			{"plus and minus changed over", "wire W3 G2:- A1:V+ gauge=0.75mm2 length=1\nwire W4 G1:+ A1:V- gauge=0.75mm2 length=1", "", "A1"},
			{"the minus on 0 V", "wire W8 G2:- X0:4 gauge=0.75mm2 length=1", "short", ""},
		}},
	{name: "a supply of plus and minus 12 V", sound: `
		device G1 supply limit=2 : + rail 12, - rail -12, 0 return
		device A1 amplifier load=0.5 : V+ feed 12, V- feed -12, 0 return
		device E1 lamp load=0.2 : + feed 24, - return
		wire W3 G1:+ A1:V+ gauge=0.75mm2 length=1
		wire W4 G1:- A1:V- gauge=0.75mm2 length=1
		wire W5 A1:0 G1:0 gauge=0.75mm2 length=1
		wire W6 G1:+ E1:+ gauge=0.75mm2 length=1
		wire W7 E1:- G1:- gauge=0.75mm2 length=1`,
		broken: []brokenStructure{
			{"plus and minus changed over", "wire W3 G1:- A1:V+ gauge=0.75mm2 length=1\nwire W4 G1:+ A1:V- gauge=0.75mm2 length=1", "", "A1"},
			{"the minus on 0 V", "wire W8 G1:- G1:0 gauge=0.75mm2 length=1", "short", "W8"},
		}},
	{name: "a diode OR of two supplies", sound: `
		device G1 supply limit=5 : + rail 24, - return
		device G2 supply limit=5 : + rail 24, - return
		device V1 other : A1 pass, A2 pass, K pass
		link V1 A1 K diode
		link V1 A2 K diode
		device E1 lamp load=2 : + feed 24, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass
		link X0 1 2 solid
		link X0 2 3 solid
		bond G1:- G2:-
		wire W1 G1:+ V1:A1 gauge=1.5mm2 length=0.3
		wire W2 G2:+ V1:A2 gauge=1.5mm2 length=0.3
		wire W3 V1:K E1:+ gauge=1.5mm2 length=1
		wire W4 E1:- X0:1 gauge=1.5mm2 length=1
		wire W5 G1:- X0:2 gauge=1.5mm2 length=0.3
		wire W6 G2:- X0:3 gauge=1.5mm2 length=0.3`,
		broken: []brokenStructure{
			{"a wire round the diodes", "wire W7 G1:+ G2:+ gauge=1.5mm2 length=0.3", "rail-cross", "W7"},
			{"one gives 48 V", "device G2 supply limit=5 : + rail 48, - return", "over-voltage", "E1"},
			{"a diode the wrong way round", "drop V1 A1 K diode\nlink V1 K A1 diode\ndrop V1 A2 K diode\nlink V1 K A2 diode", "no-feed", "V1"},
		}},
	{name: "a diode OR with a rail behind it", sound: `
		device G1 supply limit=5 : + rail 24, - return
		device G2 supply limit=5 : + rail 24, - return
		device V1 other load=0.1 limit=10 : IN1 feed 24, IN2 feed 24, GND return, OUT rail 24
		link V1 IN1 OUT diode
		link V1 IN2 OUT diode
		device F1 fuse : 1 pass, 2 pass
		link F1 1 2 fuse 4
		device E1 lamp load=2 : + feed 24, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
		link X0 1 2 solid
		link X0 2 3 solid
		link X0 3 4 solid
		bond G1:- G2:-
		wire W1 G1:+ V1:IN1 gauge=1.5mm2 length=0.3
		wire W2 G2:+ V1:IN2 gauge=1.5mm2 length=0.3
		wire W3 V1:OUT F1:1 gauge=1.5mm2 length=0.3
		wire W8 F1:2 E1:+ gauge=1mm2 length=1
		wire W4 E1:- X0:1 gauge=1mm2 length=1
		wire W5 G1:- X0:2 gauge=1.5mm2 length=0.3
		wire W6 G2:- X0:3 gauge=1.5mm2 length=0.3
		wire W7 V1:GND X0:4 gauge=1.5mm2 length=0.3`,
		broken: []brokenStructure{
			{"a wire round a diode", "wire W9 G1:+ F1:1 gauge=1.5mm2 length=0.3", "rail-cross", "W9"},
			{"both on one input", "wire W2 G2:+ V1:IN1 gauge=1.5mm2 length=0.3", "rail-cross", ""},
			{"a lamp of 12 V", "device E1 lamp load=2 : + feed 12, - return", "over-voltage", "E1"},
		}},
	{name: "a diode from a supply onto a bus that a battery holds", sound: `
		device G1 supply limit=5 : + rail 24, - return
		device G2 battery limit=5 : + rail 24, - return
		device V1 other : A pass, K pass
		link V1 A K diode
		device E1 lamp load=2 : + feed 24, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass
		link X0 1 2 solid
		link X0 2 3 solid
		device X1 terminal-block : 1 pass, 2 pass, 3 pass
		link X1 1 2 solid
		link X1 2 3 solid
		bond G1:- G2:-
		wire W1 G1:+ V1:A gauge=1.5mm2 length=0.3
		wire W2 G2:+ X1:1 gauge=1.5mm2 length=0.3
		wire W7 V1:K X1:2 gauge=1.5mm2 length=0.3
		wire W3 X1:3 E1:+ gauge=1.5mm2 length=1
		wire W4 E1:- X0:1 gauge=1.5mm2 length=1
		wire W5 G1:- X0:2 gauge=1.5mm2 length=0.3
		wire W6 G2:- X0:3 gauge=1.5mm2 length=0.3`,
		broken: []brokenStructure{
			{"a wire round the diode", "wire W9 G1:+ X1:3 gauge=1.5mm2 length=0.3", "rail-cross", "W9"},
			{"48 V behind the diode", "device G1 supply limit=5 : + rail 48, - return", "over-voltage", "E1"},
		}},
	{name: "a bridge on a transformer, its AC side a rail", sound: `
		device G1 supply limit=2 : S1 rail 18, S2 return
		device V1 other : ~1 pass, ~2 pass, + pass, - pass
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24 15..30, - return
		wire W1 G1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 G1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"plus on the other AC wire", "wire W3 V1:+ V1:~2 gauge=1mm2 length=1\nwire W5 V1:+ E1:+ gauge=1mm2 length=1", "no-feed", "E1"},
			{"both AC wires on one pole", "wire W2 G1:S2 V1:~1 gauge=1mm2 length=0.3", "short", ""},
		}},
	{name: "a bridge that is a supply of its own", sound: `
		device T1 supply limit=2 : S1 rail 18 @ac, S2 return @ac
		device V1 converter load=1 limit=2 : ~1 feed 18 @ac, ~2 return @ac, + rail 24, - return
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24, - return
		wire W1 T1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"0 V on an AC wire", "wire W5 V1:- T1:S2 gauge=1mm2 length=1", "", "W5"},
			{"the lamp on AC", "wire W3 T1:S1 E1:+ gauge=1mm2 length=1", "", "E1"},
		}},
	{name: "a bridge drawn in one section with what feeds it", sound: `
		device T1 supply limit=2 : S1 rail 18, S2 return
		device V1 converter load=1 limit=2 : ~1 feed 18, ~2 feed 18, + rail 24, - return
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24, - return
		wire W1 T1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"an AC wire is missing", "drop W2", "", "V1"},
			{"both AC wires are missing", "drop W1\ndrop W2", "", ""},
		}},
	{name: "a bridge drawn in one section, its AC side a feed and a return", sound: `
		device T1 supply limit=2 : S1 rail 18, S2 return
		device V1 converter load=1 limit=2 : ~1 feed 18, ~2 return, + rail 24, - return
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24, - return
		wire W1 T1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`},
	{name: "a bridge on a winding of which both ends are rails", sound: `
		device T1 supply limit=2 : S1 rail 18, S2 rail 18
		device V1 other : ~1 pass, ~2 pass, + pass, - pass
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24 15..30, - return
		wire W1 T1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"the lamp's way back is missing", "drop W4", "no-return", "E1"},
			{"the lamp returns past the bridge's minus, to its plus", "wire W4 E1:- V1:+ gauge=1mm2 length=1", "no-return", ""},
		}},
	{name: "a bridge whose DC side is the supply, the winding none", sound: `
		device X1 mains-inlet limit=10 : L line, N neutral
		device T1 other : P1 line, P2 neutral, S1 pass, S2 pass
		link T1 P1 P2 resistance 40
		link T1 S1 S2 resistance 0.8
		device V1 supply limit=2 : ~1 pass, ~2 pass, + rail 24, - return
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device E1 lamp load=1 : + feed 24, - return
		wire W8 X1:L T1:P1 gauge=1.5mm2 length=1
		wire W9 X1:N T1:P2 gauge=1.5mm2 length=1
		wire W1 T1:S1 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W3 V1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- V1:- gauge=1mm2 length=1`},
	{name: "a bridge on a winding with its fuse, DC side with 0 V on earth", sound: `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device T1 supply limit=2 : P1 line, P2 neutral, PE earth, S1 rail 18 @s, S2 return @s
		link T1 S1 S2 resistance 0.8
		device F1 fuse : 1 pass, 2 pass
		link F1 1 2 fuse 2
		device V1 other : ~1 pass, ~2 pass, + pass, - pass
		link V1 ~1 + diode
		link V1 ~2 + diode
		link V1 - ~1 diode
		link V1 - ~2 diode
		device C1 other : + pass, - pass
		link C1 + - capacitance 0.01
		device E1 lamp load=1 : + feed 24 15..30, - return
		device A1 controller load=0.2 : V feed 24 15..30, 0 return, O1 signal
		device A2 controller load=0.2 : V feed 24 15..30, 0 return, I1 signal
		wire W8 X1:L T1:P1 gauge=1.5mm2 length=1
		wire W9 X1:N T1:P2 gauge=1.5mm2 length=1
		wire W10 X1:PE T1:PE gauge=1.5mm2 length=1 colour=GNYE
		wire W1 T1:S1 F1:1 gauge=1mm2 length=0.3
		wire W5 F1:2 V1:~1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:~2 gauge=1mm2 length=0.3
		wire W6 V1:+ C1:+ gauge=1mm2 length=0.1
		wire W7 V1:- C1:- gauge=1mm2 length=0.1
		wire W3 C1:+ E1:+ gauge=1mm2 length=1
		wire W4 E1:- C1:- gauge=1mm2 length=1
		wire W11 C1:+ A1:V gauge=1mm2 length=1
		wire W12 A1:0 C1:- gauge=1mm2 length=1
		wire W13 C1:+ A2:V gauge=1mm2 length=1
		wire W14 A2:0 C1:- gauge=1mm2 length=1
		wire W15 A1:O1 A2:I1 gauge=0.25mm2 length=1
		wire W16 C1:- T1:PE gauge=1mm2 length=0.3`,
		broken: []brokenStructure{
			{"plus on minus", "wire W17 C1:+ C1:- gauge=1mm2 length=0.1", "", ""},
			{"a lamp's 0 V open", "drop W4", "no-return", ""},
		}},
	{name: "a centre-tapped winding with two diodes", sound: `
		device T1 supply limit=2 : S1 rail 12, S2 rail 12, 0 return
		device V1 other : A1 pass, A2 pass, K pass
		link V1 A1 K diode
		link V1 A2 K diode
		device E1 lamp load=1 : + feed 12 10..18, - return
		wire W1 T1:S1 V1:A1 gauge=1mm2 length=0.3
		wire W2 T1:S2 V1:A2 gauge=1mm2 length=0.3
		wire W3 V1:K E1:+ gauge=1mm2 length=1
		wire W4 E1:- T1:0 gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"an end on the tap", "wire W5 T1:S2 T1:0 gauge=1mm2 length=0.3", "short", "W5"},
		}},
	{name: "a battery's short lead to its fuse", note: "no-fuse", sound: `
		device G1 battery limit=200 : + rail 12, - return
		device F1 fuse : 1 pass, 2 pass
		link F1 1 2 fuse 10
		device E1 lamp load=2 : + feed 12, - return
		wire W1 G1:+ F1:1 gauge=2.5mm2 length=0.15
		wire W2 F1:2 E1:+ gauge=2.5mm2 length=1
		wire W3 E1:- G1:- gauge=2.5mm2 length=1`,
		broken: []brokenStructure{
			{"a long lead", "wire W1 G1:+ F1:1 gauge=2.5mm2 length=1", "no-fuse", "W1"},
			{"a short lead that leads past the fuse", "wire W4 G1:+ E1:+ gauge=2.5mm2 length=0.15", "no-fuse", "W4"},
			{"two short leads after one another", "device X1 terminal-block : 1 pass, 2 pass\nlink X1 1 2 solid\nwire W1 G1:+ X1:1 gauge=2.5mm2 length=0.15\nwire W5 X1:2 F1:1 gauge=2.5mm2 length=0.15", "no-fuse", "W1"},
		}},
	{name: "a strip fed at both ends from one fuse and one star", sound: `
		device G1 supply limit=20 : + rail 24, - return
		device F1 fuse : 1 pass, 2 pass, 3 pass
		link F1 1 2 fuse 6
		link F1 2 3 solid
		device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
		link X0 1 2 solid
		link X0 2 3 solid
		link X0 3 4 solid
		device E1 led-strip load=3 : A+ feed 24, A- return, B+ feed 24, B- return
		link E1 A+ B+ solid
		link E1 A- B- solid
		device E2 lamp load=1 : + feed 24, - return
		wire W1 G1:+ F1:1 gauge=4mm2 length=0.3
		wire W2 F1:2 E1:A+ gauge=1mm2 length=1
		wire W3 F1:3 E1:B+ gauge=1mm2 length=3
		wire W4 E1:A- X0:2 gauge=1mm2 length=1
		wire W5 E1:B- X0:3 gauge=1mm2 length=3
		wire W6 X0:1 G1:- gauge=4mm2 length=0.3
		wire W7 F1:3 E2:+ gauge=1mm2 length=1
		wire W8 E2:- X0:4 gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"the far end's return on another block", `
				device X1 terminal-block : 1 pass, 2 pass, 3 pass
				link X1 1 2 solid
				link X1 2 3 solid
				wire W9 X1:1 X0:1 gauge=1mm2 length=2
				wire W8 E2:- X1:2 gauge=1mm2 length=1
				wire W5 E1:B- X1:3 gauge=1mm2 length=3`, "ground-loop", ""},
		}},
	{name: "a strip fed at both ends over a plug at each", sound: `
		device G1 supply limit=5 : + rail 24, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass
		link X0 1 2 solid
		link X0 2 3 solid
		device X1 terminal-block : 1 pass, 2 pass, 3 pass
		link X1 1 2 solid
		link X1 2 3 solid
		device J1 connector : 1a pass, 2a pass, 1b pass, 2b pass
		link J1 1a 1b solid
		link J1 2a 2b solid
		device J2 connector : 1a pass, 2a pass, 1b pass, 2b pass
		link J2 1a 1b solid
		link J2 2a 2b solid
		device E1 led-strip load=3 : A+ feed 24, A- return, B+ feed 24, B- return
		link E1 A+ B+ solid
		link E1 A- B- solid
		wire W1 G1:+ X1:1 gauge=1.5mm2 length=0.3
		wire W2 X1:2 J1:1a gauge=1.5mm2 length=1
		wire W3 J1:1b E1:A+ gauge=1.5mm2 length=1
		wire W4 X1:3 J2:1a gauge=1.5mm2 length=3
		wire W5 J2:1b E1:B+ gauge=1.5mm2 length=1
		wire W6 X0:1 G1:- gauge=1.5mm2 length=0.3
		wire W7 X0:2 J1:2a gauge=1.5mm2 length=1
		wire W8 J1:2b E1:A- gauge=1.5mm2 length=1
		wire W9 X0:3 J2:2a gauge=1.5mm2 length=3
		wire W10 J2:2b E1:B- gauge=1.5mm2 length=1`,
		broken: []brokenStructure{
			{"a sensor on the ring", "device B1 sensor load=0.1 : + feed 24, - return, S signal\nwire W11 X1:3 B1:+ gauge=1.5mm2 length=1\nwire W12 B1:- E1:B- gauge=1.5mm2 length=1", "ground-loop", ""},
		}},
	{name: "a charger on its battery", sound: `
		device G1 supply limit=5 : + rail 13.8, - return
		device G2 battery limit=15 : + rail 12, - return
		device X1 terminal-block : 1 pass, 2 pass, 3 pass
		link X1 1 2 solid
		link X1 2 3 solid
		device X0 terminal-block : 1 pass, 2 pass, 3 pass
		link X0 1 2 solid
		link X0 2 3 solid
		device E1 lamp load=8 : + feed 12 10..15, - return
		bond G1:+ G2:+
		wire W1 G1:+ X1:1 gauge=2.5mm2 length=0.3
		wire W2 G2:+ X1:2 gauge=2.5mm2 length=0.3
		wire W3 X1:3 E1:+ gauge=2.5mm2 length=1
		wire W4 G1:- X0:1 gauge=2.5mm2 length=0.3
		wire W5 G2:- X0:2 gauge=2.5mm2 length=0.3
		wire W6 E1:- X0:3 gauge=2.5mm2 length=1`,
		broken: []brokenStructure{
			{"no bond says that it is meant", "drop G1:+ G2:+", "rail-cross", ""},
			{"the battery the wrong way round", "wire W2 G2:- X1:2 gauge=2.5mm2 length=0.3\nwire W5 G2:+ X0:2 gauge=2.5mm2 length=0.3", "", ""},
			{"a third rail on it", "device G3 supply limit=5 : + rail 24, - return\nbond G1:- G3:-\nwire W7 G3:+ X1:3 gauge=1.5mm2 length=0.3\nwire W8 G3:- X0:3 gauge=1.5mm2 length=0.3", "rail-cross", "W7"},
			{"a lamp that bears no charging volts", "device E1 lamp load=8 : + feed 12, - return", "over-voltage", "E1"},
			{"more than both give", "device E1 lamp load=25 : + feed 12 10..15, - return", "overload", ""},
		}},
	{name: "opto-isolated islands", sound: `
		device G1 supply limit=2 : + rail 5, - return
		device G2 supply limit=2 : + rail 24, - return
		device A1 controller load=0.2 : VCC feed 5, GND return, O1 signal
		device U1 other load=0.01 : A signal @in, K return @in, V feed 24 @out, C signal @out, E return @out
		link U1 A K electronic
		link U1 C E electronic
		device A2 controller load=0.2 : VCC feed 24, GND return, I1 signal
		wire W1 G1:+ A1:VCC gauge=0.75mm2 length=1
		wire W2 A1:GND G1:- gauge=0.75mm2 length=1
		wire W3 A1:O1 U1:A gauge=0.25mm2 length=1
		wire W4 U1:K A1:GND gauge=0.25mm2 length=1
		wire W5 U1:C A2:I1 gauge=0.25mm2 length=1
		wire W6 U1:E A2:GND gauge=0.25mm2 length=1
		wire W9 G2:+ U1:V gauge=0.75mm2 length=1
		wire W7 G2:+ A2:VCC gauge=0.75mm2 length=1
		wire W8 A2:GND G2:- gauge=0.75mm2 length=1`,
		broken: []brokenStructure{
			{"the signal goes past the isolator", "wire W10 A1:O1 A2:I1 gauge=0.25mm2 length=1", "floating-ground", "W10"},
			{"the islands are joined", "wire W10 A1:GND A2:GND gauge=0.75mm2 length=1", "mixed-ground", "W10"},
		}},
	{name: "an H-bridge and its motor", sound: `
		device G1 supply limit=4 : + rail 24, - return
		device K1 driver : VM feed 24, GND return, O1 drive, O2 drive
		device M1 motor load=1 : 1 pass, 2 pass
		link M1 1 2 resistance 12
		device M2 motor load=1 : + feed 24, - return
		link M2 + - resistance 12
		device K2 driver : VM feed 24, GND return, O1 drive, O2 drive
		wire W1 G1:+ K1:VM gauge=1mm2 length=0.5
		wire W2 K1:GND G1:- gauge=1mm2 length=0.5
		wire W3 K1:O1 M1:1 gauge=1mm2 length=1
		wire W4 K1:O2 M1:2 gauge=1mm2 length=1
		wire W5 G1:+ K2:VM gauge=1mm2 length=0.5
		wire W6 K2:GND G1:- gauge=1mm2 length=0.5
		wire W7 K2:O1 M2:+ gauge=1mm2 length=1
		wire W8 K2:O2 M2:- gauge=1mm2 length=1`,
		broken: []brokenStructure{
			{"an output on 0 V", "wire W9 K1:O1 K1:GND gauge=1mm2 length=1", "short", "W9"},
			{"the outputs joined", "wire W9 K1:O1 K1:O2 gauge=1mm2 length=1", "short", "W9"},
		}},
	{name: "a shunt in the return of a battery, with sense leads", sound: `
		device G1 battery limit=8 : + rail 12, - return
		device R1 other : 1 pass, 2 pass, S1 signal, S2 signal
		link R1 1 2 resistance 0.005
		link R1 1 S1 solid
		link R1 2 S2 solid
		device A1 controller load=0.2 : VCC feed 12, GND return, I+ signal, I- signal
		device A2 controller load=0.2 : VCC feed 12, GND return, D1 signal
		device E1 lamp load=2 : + feed 12, - return
		device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
		link X0 1 2 solid
		link X0 2 3 solid
		link X0 3 4 solid
		wire W1 G1:- R1:1 gauge=2.5mm2 length=0.2
		wire W2 R1:2 X0:1 gauge=2.5mm2 length=0.3
		wire W3 E1:- X0:2 gauge=1.5mm2 length=1
		wire W4 A1:GND X0:3 gauge=1mm2 length=1
		wire W5 G1:+ E1:+ gauge=1.5mm2 length=1
		wire W6 G1:+ A1:VCC gauge=1.5mm2 length=1
		wire W7 R1:S1 A1:I- gauge=0.25mm2 length=1
		wire W8 R1:S2 A1:I+ gauge=0.25mm2 length=1
		wire W9 G1:+ A2:VCC gauge=1.5mm2 length=1
		wire W10 A2:GND G1:- gauge=1mm2 length=1
		wire W11 A2:D1 A1:I+ gauge=0.25mm2 length=1`,
		broken: []brokenStructure{
			{"plus on the bar behind the shunt", "wire W12 G1:+ X0:4 gauge=2.5mm2 length=0.5", "short", "W12"},
			{"a resistor in place of the shunt", "drop R1 1 2 resistance\nlink R1 1 2 resistance 100", "floating-ground", "A1"},
		}},
	{name: "a shunt in the feed", sound: `
		device G1 supply limit=8 : + rail 12, - return
		device R1 other : 1 pass, 2 pass
		link R1 1 2 resistance 0.01
		device E1 lamp load=2 : + feed 12, - return
		device E2 lamp load=2 : + feed 12, - return
		wire W1 G1:+ R1:1 gauge=2.5mm2 length=0.2
		wire W2 R1:2 E1:+ gauge=2.5mm2 length=0.3
		wire W3 E1:- G1:- gauge=1.5mm2 length=1
		wire W4 R1:2 E2:+ gauge=2.5mm2 length=1
		wire W5 E2:- G1:- gauge=1.5mm2 length=1`,
		broken: []brokenStructure{
			{"0 V behind the shunt", "wire W6 R1:2 G1:- gauge=1.5mm2 length=1", "short", "W6"},
			{"a thin wire behind it", "device G1 supply limit=30 : + rail 12, - return", "no-fuse", "G1"},
			{"too much behind it", "device E2 lamp load=7 : + feed 12, - return", "overload", "G1"},
			{"a lamp of 5 V", "device E2 lamp load=2 : + feed 5, - return", "over-voltage", "E2"},
		}},
	{name: "a screen joined at one end, and 0 V tied to earth by a resistor", sound: `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device G1 supply limit=2 : L line, N neutral, PE earth, + rail 12, - return
		device J1 connector : 1 pass, 2 pass, 3 pass, SH pass
		device B1 sensor load=0.05 : + feed 12, - return, S signal, SH pass
		device A1 controller load=0.2 : VCC feed 12, GND return, I1 signal
		device R1 other : 1 pass, 2 pass
		link R1 1 2 resistance 1000000
		device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass
		link X0 1 2 solid
		link X0 2 3 solid
		link X0 3 4 solid
		link X0 4 5 solid
		wire W1 X1:L G1:L gauge=1.5mm2 length=1
		wire W2 X1:N G1:N gauge=1.5mm2 length=1
		wire W3 X1:PE G1:PE gauge=1.5mm2 length=1 colour=GNYE
		wire W4 G1:- X0:1 gauge=1mm2 length=0.3
		wire W5 R1:1 X0:2 gauge=0.5mm2 length=0.3
		wire W6 R1:2 G1:PE gauge=0.5mm2 length=0.3
		wire W7 G1:+ A1:VCC gauge=1mm2 length=1
		wire W8 A1:GND X0:3 gauge=1mm2 length=1
		wire W9 G1:+ B1:+ gauge=1mm2 length=2
		wire W10 B1:- X0:4 gauge=1mm2 length=2
		wire W11 B1:S A1:I1 gauge=0.25mm2 length=2 cable=C1
		wire W12 B1:SH X0:5 gauge=0.25mm2 length=2 cable=C1`,
		broken: []brokenStructure{
			{"the screen at both ends", "wire W13 B1:SH B1:- gauge=0.25mm2 length=0.1", "ground-loop", ""},
			{"a wire across the resistor to earth and one more", "wire W13 X0:2 G1:PE gauge=0.5mm2 length=0.3\nwire W14 A1:GND X1:PE gauge=0.5mm2 length=1", "ground-loop", ""},
		}},
}

func TestSoundStructuresAreSilent(t *testing.T) {
	for _, s := range structures {
		t.Run(s.name, func(t *testing.T) {
			for _, f := range Check(build(t, s.sound)).Findings {
				if f.Severity == Note && f.Rule == s.note {
					continue
				}
				t.Errorf("sound: %s %s: %s", f.Rule, f.Severity, f.Message)
			}
			for _, broken := range s.broken {
				t.Run(broken.name, func(t *testing.T) {
					findings := Check(build(t, s.sound, broken.change)).Findings
					found := slices.ContainsFunc(findings, func(f Finding) bool {
						named := slices.Concat(firstOf(f.Wires), firstOf(f.Devices), firstOf(f.Terminals))
						return (broken.rule == "" || f.Rule == broken.rule) && (broken.culprit == "" || slices.Contains(named, broken.culprit))
					})
					if !found {
						t.Errorf("want %s with %s, got\n%s", broken.rule, broken.culprit, briefs(findings))
					} else if len(findings) > 1 {
						t.Logf("besides:\n%s", briefs(findings))
					}
				})
			}
		})
	}
}
