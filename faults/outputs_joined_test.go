package faults

import "testing"

// twoOutputs has a driver with two outputs and a coil on each.
const twoOutputs = `
	device G1 supply : + rail 24, - return
	device A1 driver load=0.1 : V feed 24, 0V return, O1 drive, O2 drive
	device Y1 solenoid load=1 : + feed 24, - return
	link Y1 + - resistance 24
	link Y1 - + diode
	device Y2 solenoid load=1 : + feed 24, - return
	link Y2 + - resistance 24
	link Y2 - + diode
	wire W1 G1:+ A1:V
	wire W2 A1:V Y1:+
	wire W3 Y1:+ Y2:+
	wire W4 Y1:- A1:O1
	wire W5 Y2:- A1:O2
	wire W6 A1:0V G1:-`

func TestOutputsThatMeetAreAShort(t *testing.T) {
	f := one(t, build(t, twoOutputs, "wire WX A1:O1 A1:O2"), "short")
	starts(t, "wires", f.Wires, "WX")
	says(t, f.Message, "A1:O1 and A1:O2 are joined by wire WX", "If both only sink")

	f = one(t, build(t, twoOutputs, `
		device A2 driver load=0.1 : V feed 24, 0V return, O1 drive
		wire W7 Y1:+ A2:V
		wire W8 A2:0V A1:0V
		wire WX A2:O1 A1:O2`), "short")
	starts(t, "wires", f.Wires, "WX")
}

func TestOutputsThatMayMeetAreSilent(t *testing.T) {
	for name, more := range map[string]string{
		"paralleled inside the driver": "link A1 O1 O2 solid\nwire WX A1:O1 A1:O2",
		"a load between two outputs": `
			device M1 motor load=1 : A pass, B pass
			link M1 A B resistance 12
			device A2 driver load=0.1 : V feed 24, 0V return, P drive, Q drive
			wire W7 Y1:+ A2:V
			wire W8 A2:0V A1:0V
			wire W10 A2:P M1:A
			wire W11 A2:Q M1:B`,
		"one coil for two outputs through diodes": `
			device V1 other : A pass, K pass
			link V1 A K diode
			device V2 other : A pass, K pass
			link V2 A K diode
			drop W4
			drop W5
			drop W3
			wire W3 A1:V Y2:+
			wire W10 Y1:- V1:A
			wire W11 V1:K A1:O1
			wire W12 Y1:- V2:A
			wire W13 V2:K A1:O2
			wire W14 Y2:- A1:0V`,
	} {
		t.Run(name, func(t *testing.T) { silent(t, build(t, twoOutputs, more), "short", "rail-cross", "mixed-ground") })
	}
}
