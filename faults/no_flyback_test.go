package faults

import (
	"testing"

	"bellout/model"
)

func TestNoFlyback(t *testing.T) {
	cases := []struct {
		name, change string
		message      []string // none: silent
	}{
		{name: "no diode", change: "drop K1 B A diode", message: []string{"No diode lies across the coil K1:A-B, which A2:O1 switches"}},
		{name: "the diode is fitted backwards", change: "drop K1 B A diode\nlink K1 A B diode", message: []string{"backwards", "shorts A2:O1"}},
		{name: "the diode sits in the driver, towards the coil's rail", change: `
			drop K1 B A diode
			device A2 driver : O1 drive, GND return, COM pass
			link A2 O1 COM diode
			wire W30 A2:COM X24:4`},
		{name: "the driver's diode leads to nothing", change: `
			drop K1 B A diode
			device A2 driver : O1 drive, GND return, COM pass
			link A2 O1 COM diode`, message: []string{"No diode"}},
		{name: "a body diode from the return is no flyback", change: "drop K1 B A diode\nlink A2 GND O1 diode", message: []string{"No diode"}},
		{name: "the diode sits on a block across the same two nets", change: `
			drop K1 B A diode
			device D7 other : A pass, K pass
			link D7 A K diode
			wire W30 D7:K X24:4
			wire W31 D7:A A2:O1`},
		{name: "a relay's coil counts", change: "device K1 relay load=1 : A feed 24, B return\ndrop K1 B A diode", message: []string{"K1:A-B"}},
		{name: "a lamp's filament does not", change: "device K1 lamp load=1 : A feed 24, B return\ndrop K1 B A diode"},
		{name: "a coil that no driver switches", change: "drop K1 B A diode\nwire W5 K1:B X0:4"},
		{name: "a coil that a high-side driver feeds, with its diode", change: `
			device A3 driver : V feed 24, O1 drive
			device K2 solenoid load=0.1 : A feed 24, B return
			link K2 A B resistance 24
			link K2 B A diode
			wire W30 X24:4 A3:V
			wire W32 A3:O1 K2:A
			wire W33 K2:B X0:4`},
		{name: "the same without", change: `
			device A3 driver : V feed 24, O1 drive
			device K2 solenoid load=0.1 : A feed 24, B return
			link K2 A B resistance 24
			wire W30 X24:4 A3:V
			wire W32 A3:O1 K2:A
			wire W33 K2:B X0:4`, message: []string{"K2:A-B", "A3:O1"}},
		{name: "a coil on a negative rail turns its diode round", change: `
			device G3 supply : - rail -24, 0 return
			bond G3:0 G1:-
			device A3 driver : GND return, O1 drive
			device K2 solenoid load=0.1 : A feed -24, B return
			link K2 A B resistance 24
			link K2 A B diode
			wire W30 G3:- K2:A
			wire W31 K2:B A3:O1
			wire W32 A3:GND X0:4
			wire W33 G3:0 X0:4`},
		{name: "an open switch in the coil's feed does not hide the rail", change: `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			wire W4 S1:2 K1:A
			wire W30 X24:4 S1:1`},
		{name: "a motor between the outputs of a bridge", change: `
			device A3 driver : V feed 24, GND return, O1 drive, O2 drive
			device M1 motor load=0.1 : A feed 24, B return
			link M1 A B resistance 5
			wire W30 X24:4 A3:V
			wire W31 A3:GND X0:4
			wire W32 A3:O1 M1:A
			wire W33 A3:O2 M1:B`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, voltsMachine, c.change)
			if len(c.message) == 0 {
				silent(t, m, "no-flyback")
				return
			}
			f := one(t, m, "no-flyback")
			if f.Severity != Warning {
				t.Errorf("severity %s, want warning", f.Severity)
			}
			says(t, f.Message, c.message...)
			says(t, f.Advice, "9 V battery")
			starts(t, "devices", f.Devices, f.Devices[0])
		})
	}
}

func TestNoFlybackNamesTheOutputsThatDied(t *testing.T) {
	m := build(t, voltsMachine, "drop K1 B A diode", `
		device A2 driver : O1 drive, O2 drive, GND return
		device K2 solenoid load=0.1 : A feed 24, B return
		link K2 A B resistance 24
		wire W30 X24:4 K2:A
		wire W31 K2:B A2:O2`)
	driver, _ := m.Device("A2")
	failed := driver
	failed.Health = model.HealthFailed
	if err := m.Apply(model.Edit{Changes: []model.Change{{Before: driver, After: failed}}}); err != nil {
		t.Fatal(err)
	}
	found := ruleOf(t, m, "no-flyback")
	if len(found) != 2 {
		t.Fatalf("got %d findings, want one a coil", len(found))
	}
	for i, coil := range []string{"K1", "K2"} {
		says(t, found[i].Message, "A2 has failed", "K1 and K2")
		starts(t, "devices", found[i].Devices, coil)
	}
}
