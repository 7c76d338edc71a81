package faults

import "testing"

func TestWrongVolts(t *testing.T) {
	cases := []struct {
		name, change, rule        string
		devices, terminals, wires []string
		message, advice           []string
	}{
		{
			name: "a controller for 5 V wired to the 24 V block", change: "wire W13 X24:4 A1:VCC gauge=AWG20 length=1", rule: "over-voltage",
			devices: []string{"A1"}, terminals: []string{"A1:VCC"}, wires: []string{"W13"},
			message: []string{"24 V of G1:+", "5 V, 4.5 to 5.5 V", "W13"}, advice: []string{"+5V"},
		},
		{
			name: "the whole 5 V block hangs on 24 V by one wire", change: "wire W12 X24:4 X5:1 gauge=AWG18 length=1", rule: "over-voltage",
			devices: []string{"A1", "B1"}, terminals: []string{"A1:VCC", "B1:VCC"}, wires: []string{"W12"},
			message: []string{"2 feeds", "All of them hang by W12"}, advice: []string{"move W12 to +5V"},
		},
		{
			name: "the 5 V supply is one of 12 V", change: "device G2 supply limit=8 : + rail 12, - return", rule: "over-voltage",
			devices: []string{"G2", "A1", "B1"}, terminals: []string{"G2:+"}, message: []string{"No load on +12V"}, advice: []string{"label"},
		},
		{
			name: "a lamp for 24 V on 5 V", change: "wire W3 X5:4 H1:+ gauge=AWG20 length=1", rule: "under-voltage",
			devices: []string{"H1"}, terminals: []string{"H1:+"}, wires: []string{"W3"}, advice: []string{"+24V"},
		},
		{
			name: "a lamp with limits of its own", change: "device H1 lamp load=0.5 : + feed 12 11..15, - return", rule: "over-voltage",
			devices: []string{"H1"}, message: []string{"11 to 15 V"},
		},
		{
			name: "only an open switch leads to the wrong rail", change: `
				device S1 switch : 1 pass, 2 pass
				link S1 1 2 contact open
				wire W13 S1:2 A1:VCC
				wire W30 X24:4 S1:1`, rule: "over-voltage",
			devices: []string{"A1"}, wires: []string{"W13"}, message: []string{"when that closes"},
		},
		{
			name: "a relay contact chooses between the right rail and the wrong one", change: `
				device K9 relay : C pass, NC pass, NO pass
				link K9 C NC contact open
				link K9 C NO contact open
				wire W13 K9:C A1:VCC
				wire W30 X24:4 K9:NO
				wire W31 X5:4 K9:NC`, rule: "over-voltage",
			devices: []string{"A1"}, message: []string{"24 V of G1:+"},
		},
		{
			name: "a driver switches 24 V onto a 12 V lamp", change: `
				device A3 driver : V feed 24, GND return, O1 drive
				device H2 lamp load=0.1 : + feed 12, - return
				wire W30 X24:4 A3:V
				wire W31 A3:GND X0:4
				wire W32 A3:O1 H2:+
				wire W33 H2:- X0:4`, rule: "over-voltage",
			devices: []string{"H2"}, wires: []string{"W32"}, message: []string{"12 V, 10.8 to 13.2 V"},
		},
		{
			name: "a driver and all it switches on the wrong rail are one cause", change: `
				device A3 driver : V feed 12, GND return, O1 drive, O2 drive
				device H2 lamp load=0.1 : + feed 12, - return
				device H3 lamp load=0.1 : + feed 12, - return
				wire W30 X24:4 A3:V
				wire W31 A3:GND X0:4
				wire W32 A3:O1 H2:+
				wire W33 H2:- X0:4
				wire W34 A3:O2 H3:+
				wire W35 H3:- X0:4`, rule: "over-voltage",
			devices: []string{"A3", "H2", "H3"}, wires: []string{"W30"},
		},
		{
			name: "a feed of -12 V on +24 V is reversed", change: `
				device U1 other load=0.1 : V- feed -12, GND return
				wire W30 X24:4 U1:V-
				wire W31 U1:GND X0:4`, rule: "over-voltage",
			devices: []string{"U1"}, message: []string{"wrong way round"},
		},
		{
			name: "a feed of -12 V on -24 V is too much", change: `
				device G3 supply : - rail -24, 0 return
				device U1 other load=0.1 : V- feed -12, GND return
				wire W30 G3:- U1:V-
				wire W31 U1:GND G3:0`, rule: "over-voltage",
			devices: []string{"U1"}, message: []string{"-24 V of G3:-"},
		},
		{
			name: "a feed of -12 V on -5 V is too little", change: `
				device G3 supply : - rail -5, 0 return
				device U1 other load=0.1 : V- feed -12, GND return
				wire W30 G3:- U1:V-
				wire W31 U1:GND G3:0`, rule: "under-voltage",
			devices: []string{"U1"},
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, build(t, voltsMachine, c.change), c.rule)
			if want := map[string]Severity{"over-voltage": Fault, "under-voltage": Warning}[c.rule]; f.Severity != want {
				t.Errorf("severity %s, want %s", f.Severity, want)
			}
			starts(t, "devices", f.Devices, c.devices...)
			starts(t, "terminals", f.Terminals, c.terminals...)
			starts(t, "wires", f.Wires, c.wires...)
			says(t, f.Message, c.message...)
			says(t, f.Advice, c.advice...)
		})
	}
}

func TestWrongVoltsStaySilent(t *testing.T) {
	cases := []struct{ name, change string }{
		{"the rail's volts are not known", "device G2 supply limit=8 : + rail, - return"},
		{"the load's volts are not known", "device A1 controller load=0.4 : VCC feed, GND return\nwire W13 X24:4 A1:VCC"},
		{"a blown fuse stands before it", "link F1 1 2 fuse 3 open\nwire W13 X24:4 A1:VCC"},
		{"wide limits", "device A1 controller load=0.4 : VCC feed 5 4..30, GND return\nwire W13 X24:4 A1:VCC"},
		{"exactly at the limit", "device H1 lamp load=0.5 : + feed 24 20..24, - return"},
		{"1.1 times is within", "device G2 supply limit=8 : + rail 5.5, - return"},
		{"two diodes choose between two supplies", `
			device D1 other : A pass, B pass, K pass
			link D1 A K diode
			link D1 B K diode
			device U9 controller load=0.1 : V feed 24, GND return
			wire W30 X24:4 D1:A
			wire W31 X5:4 D1:B
			wire W32 D1:K U9:V
			wire W33 U9:GND X0:4`},
		{"the way through two brake contacts leads over 0 V", `
			device K8 relay : C pass, NC pass, NO pass
			link K8 C NC contact open
			link K8 C NO contact open
			device K9 relay : C pass, NC pass, NO pass
			link K9 C NC contact open
			link K9 C NO contact open
			wire W13 K9:C A1:VCC
			wire W30 X5:4 K9:NO
			wire W31 X0:4 K9:NC
			device M1 motor load=0.1 : + feed 24, - return
			wire W32 K8:C M1:+
			wire W33 M1:- X0:4
			wire W34 X24:4 K8:NO
			wire W35 X0:4 K8:NC`},
		{"a converter stands between", `
			device T1 converter load=0.2 limit=1 : VIN feed 24, GND return, OUT rail 12
			device U9 controller load=0.1 : V feed 12, GND return
			wire W30 X24:4 T1:VIN
			wire W31 T1:GND X0:4
			wire W32 T1:OUT U9:V
			wire W33 U9:GND X0:4`},
		{"between +12 V and -12 V a load for 24 V is right", `
			device G3 supply : + rail 12, 0 return, - rail -12
			device U9 amplifier load=0.1 : V feed 24, GND return
			wire W30 G3:+ U9:V
			wire W31 U9:GND G3:-`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			silent(t, build(t, voltsMachine, c.change), "over-voltage", "under-voltage")
		})
	}
}

func TestTwoMistakesAreTwoFindings(t *testing.T) {
	m := build(t, voltsMachine, "wire W13 X24:4 A1:VCC", "wire W14 X24:1 B1:VCC")
	if found := ruleOf(t, m, "over-voltage"); len(found) != 2 || found[0].Wires[0] != "W13" || found[1].Wires[0] != "W14" {
		t.Errorf("got %+v, want W13 and W14 apart", found)
	}
}
