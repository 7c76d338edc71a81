package faults

import "testing"

// Things that look like faults and are none: nothing may be found.
func TestSoundArrangementsAreSilent(t *testing.T) {
	const two = `
device G1 supply limit=5 : + rail 24, - return
device G2 supply limit=5 : + rail 12, - return
`
	tests := []struct{ name, machine string }{
		{"two supplies on one star block, each bonded to the first", two + `
device G3 supply limit=5 : + rail 5, - return
device TB0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass
link TB0 1 2 solid
link TB0 2 3 solid
link TB0 3 4 solid
link TB0 4 5 solid
wire W1 G1:- TB0:1
wire W2 G2:- TB0:2
wire W3 G3:- TB0:3
bond G1:- G2:-
bond G2:- G3:-
device E1 lamp load=1 : + feed 24, - return
device E2 lamp load=1 : + feed 5, - return
wire W4 G1:+ E1:+
wire W5 E1:- TB0:4
wire W6 G3:+ E2:+
wire W7 E2:- TB0:5`},
		{"the bond names the block and the far supply", two + `
device TB0 terminal-block : 1 pass, 2 pass, 3 pass
link TB0 1 2 solid
link TB0 2 3 solid
wire W1 G1:- TB0:1
wire W2 G2:- TB0:2
bond TB0:2 G2:-
device E1 lamp load=1 : + feed 24, - return
wire W4 G1:+ E1:+
wire W5 E1:- TB0:3`},
		{"both returns bonded to earth", `
device X1 mains-inlet : L line, N neutral, PE earth
device G1 supply : L line, N neutral, PE earth, + rail 24, - return
device G2 supply : L line, N neutral, PE earth, + rail 12, - return
wire W1 X1:L G1:L
wire W2 X1:N G1:N
wire W3 X1:PE G1:PE
wire W4 X1:L G2:L
wire W5 X1:N G2:N
wire W6 X1:PE G2:PE
wire W7 G1:- X1:PE
wire W8 G2:- X1:PE
bond G1:- X1:PE
bond G2:- X1:PE`},
		{"a converter with one 0 V for input and output", `
device G1 supply : + rail 24, - return
device G3 converter load=1 : IN feed 24, OUT rail 5, - return
device A1 controller load=0.1 : VCC feed 5, GND return
wire W1 G1:+ G3:IN
wire W2 G3:- G1:-
wire W3 G3:OUT A1:VCC
wire W4 A1:GND G3:-`},
		{"an isolated converter whose sides do not meet", `
device G1 supply : + rail 24, - return
device G3 converter load=1 : I+ feed 24 @in, I- return @in, O+ rail 5 @out, O- return @out
device A1 controller load=0.1 : VCC feed 5, GND return
wire W1 G1:+ G3:I+
wire W2 G3:I- G1:-
wire W3 G3:O+ A1:VCC
wire W4 A1:GND G3:O-`},
		{"two supplies that share a load through diodes", `
device G1 supply : + rail 12, - return
device G2 supply : + rail 12, - return
device D1 other : A pass, K pass
link D1 A K diode
device D2 other : A pass, K pass
link D2 A K diode
device A1 controller load=1 : VCC feed 12, GND return
wire W1 G1:+ D1:A
wire W2 G2:+ D2:A
wire W3 D1:K A1:VCC
wire W4 D2:K A1:VCC
wire W5 A1:GND G1:-
wire W6 G1:- G2:-
bond G1:- G2:-`},
		{"a diode against reversal in the return, and one in the feed of a negative rail", `
device G1 supply : + rail 12, 0 return, -12 rail -12
device D1 other : A pass, K pass
link D1 A K diode
device D2 other : A pass, K pass
link D2 A K diode
device A1 controller load=1 : VCC feed 12, GND return
device A2 amplifier load=1 : V- feed -12, GND return
wire W1 G1:+ A1:VCC
wire W2 A1:GND D1:A
wire W3 D1:K G1:0
wire W4 A2:V- D2:A
wire W5 D2:K G1:-12
wire W6 A2:GND G1:0`},
		{"a changeover relay between two rails, and one that brakes a motor", `
device G1 supply : + rail 24, - return
device G2 supply : + rail 12, - return
device K1 relay : COM pass, NO pass, NC pass
link K1 COM NO contact open
link K1 COM NC contact closed
device K2 relay : COM pass, NO pass, NC pass
link K2 COM NO contact open
link K2 COM NC contact closed
device E1 motor load=1 : + feed 24 10..27, - return
device M1 motor load=1 : + feed 24, - return
wire W1 G1:+ K1:NO
wire W2 G2:+ K1:NC
wire W3 K1:COM E1:+
wire W4 E1:- G1:-
wire W5 G1:- G2:-
bond G1:- G2:-
wire W6 G1:+ K2:NO
wire W7 G1:- K2:NC
wire W8 K2:COM M1:+
wire W9 M1:- G1:-`},
		{"a plug pair with doubled pins, each a way of its own", `
device G1 supply : + rail 24, - return
device J1 connector : 1a pass, 1b pass, 2a pass, 2b pass
link J1 1a 1b solid
link J1 2a 2b solid
device E1 lamp load=1 : + feed 24, - return
wire W1 G1:+ J1:1a
wire W2 J1:1b E1:+
wire W3 G1:- J1:2a
wire W4 J1:2b E1:-`},
		{"a lamp behind an open switch, a dropper and an inrush part", `
device G1 supply : + rail 24, - return
device S1 switch : 1 pass, 2 pass
link S1 1 2 contact open
device R1 other : 1 pass, 2 pass
link R1 1 2 resistance 10
device E1 lamp load=1 : + feed 24, - return
wire W1 G1:+ S1:1
wire W2 S1:2 R1:1
wire W3 R1:2 E1:+
wire W4 E1:- G1:-`},
		{"a high-side driver and its coil", `
device G1 supply : + rail 24, - return
device K1 driver load=0.1 : VS feed 24, GND return, O1 drive
device Y1 solenoid load=1 : + feed 24, - return
wire W1 G1:+ K1:VS
wire W2 K1:GND G1:-
wire W3 K1:O1 Y1:+
wire W4 Y1:- G1:-`},
		{"a hub that passes its feed on", `
device G1 supply : + rail 5, - return
device H1 hub load=0.1 : VCC feed 5, P1 rail 5, P2 rail 5, GND return, G1 return
link H1 VCC P1 solid
link H1 VCC P2 fuse 1
device A1 controller load=0.1 : VCC feed 5, GND return
wire W1 G1:+ H1:VCC
wire W2 G1:- H1:GND
wire W3 H1:P1 A1:VCC
wire W4 A1:GND H1:G1`},
		{"rings of earth wires, and jumpers in a ring inside a block", `
device X1 mains-inlet : L line, N neutral, PE earth
device G1 supply : L line, N neutral, PE earth, + rail 24, - return
device B1 other : PE earth
wire W1 X1:L G1:L
wire W2 X1:N G1:N
wire W3 X1:PE G1:PE colour=GNYE
wire W4 X1:PE B1:PE colour=GNYE
wire W5 B1:PE G1:PE colour=GNYE
wire W6 G1:- B1:PE
device TB0 terminal-block : 1 pass, 2 pass, 3 pass
link TB0 1 2 solid
link TB0 2 3 solid
link TB0 1 3 solid
wire W7 TB0:1 G1:-`},
		{"an isolated signal input", `
device G1 supply : + rail 24, - return
device G2 supply : + rail 5, - return
device A1 controller load=0.1 : VCC feed 5, GND return, I1 signal @opto
device B1 sensor load=0.1 : + feed 24, - return, OUT signal
wire W1 G1:+ B1:+
wire W2 B1:- G1:-
wire W3 G2:+ A1:VCC
wire W4 A1:GND G2:-
wire W5 B1:OUT A1:I1`},
		{"a load between 0 V and a negative rail", `
device G1 supply : + rail 12, 0 return, -12 rail -12
device A1 amplifier load=0.1 : V+ feed 12, GND return
device A2 amplifier load=0.1 : + feed 12, - return
wire W1 G1:+ A1:V+
wire W2 A1:GND G1:0
wire W3 G1:0 A2:+
wire W4 A2:- G1:-12`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if list := found(t, test.machine); len(list) != 0 {
				t.Errorf("found\n%s", briefs(list))
			}
		})
	}
}
