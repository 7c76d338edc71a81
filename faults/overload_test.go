package faults

import (
	"fmt"
	"testing"
)

func TestOverload(t *testing.T) {
	cases := []struct {
		name, change string
		severity     Severity // empty: no finding
		message      []string
		source       string
	}{
		{name: "80.0 % of the output", change: "device H1 lamp load=4 : + feed 24, - return\ndevice G1 supply limit=6.25 : + rail 24, - return",
			source: "FAA AC 43.13-1B chg 1 par. 11-35a: 80 % of output rating"},
		{name: "just above 80 %", change: "device H1 lamp load=4.01 : + feed 24, - return\ndevice G1 supply limit=6.25 : + rail 24, - return", severity: Warning,
			message: []string{"G1:+ draw 5.01 A", "80 % of it is 5 A", "H1 4.01 A and K1 1 A"}, source: "FAA AC 43.13-1B chg 1 par. 11-35a"},
		{name: "just above the limit", change: "device H1 lamp load=5.26 : + feed 24, - return\ndevice G1 supply limit=6.25 : + rail 24, - return", severity: Fault},
		{name: "a use limit of 90 %", change: "set supply_use_limit_percent 90\ndevice H1 lamp load=4.5 : + feed 24, - return\ndevice G1 supply limit=6.25 : + rail 24, - return"},
		{name: "a limit that is not known", change: "device G1 supply : + rail 24, - return\ndevice H1 lamp load=400 : + feed 24, - return"},
		{name: "a load of unknown amperes is named", change: "device A1 controller : VCC feed 5, GND return\ndevice B1 sensor load=9 : VCC feed 5, GND return", severity: Fault,
			message: []string{"Not counted, load_a unknown: A1:VCC"}},
		{name: "loads behind an open switch count", severity: Fault, change: `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			device H1 lamp load=9 : + feed 24, - return
			wire W3 S1:2 H1:+
			wire W30 X24:4 S1:1`},
		{name: "loads behind a blown fuse do not", change: `
			link F1 1 2 fuse 3 open
			device H1 lamp load=9 : + feed 24, - return`},
		{name: "loads behind a sourcing driver count", severity: Fault, change: `
			device A3 driver load=0.1 : V feed 24, GND return, O1 drive
			device H2 lamp load=9 : + feed 24, - return
			wire W30 X24:4 A3:V
			wire W31 A3:GND X0:4
			wire W32 A3:O1 H2:+
			wire W33 H2:- X0:4`},
		{name: "a converter counts by its own load, not by what hangs on it", change: `
			device T1 converter load=0.2 limit=100 : VIN feed 24, GND return, OUT rail 12
			device U9 controller load=50 : V feed 12, GND return
			wire W30 X24:4 T1:VIN
			wire W31 T1:GND X0:4
			wire W32 T1:OUT U9:V
			wire W33 U9:GND X0:4`},
		{name: "two rail terminals of one output share the limit", severity: Fault, change: `
			device G1 supply limit=8 : + rail 24, +2 rail 24, - return
			device H2 lamp load=7 : + feed 24, - return
			wire W30 G1:+2 H2:+
			wire W31 H2:- X0:4`},
		{name: "rails of different volts are budgets of their own", change: `
			device G1 supply limit=8 : + rail 24, +2 rail 12, - return
			device H2 lamp load=6 : + feed 12, - return
			wire W30 G1:+2 H2:+
			wire W31 H2:- X0:4`},
		{name: "two supplies behind diodes share a load", change: `
			device G3 supply limit=4 : + rail 12, - return
			device G4 supply limit=4 : + rail 12, - return
			bond G3:- G1:-
			bond G4:- G1:-
			device D1 other : A pass, B pass, K pass
			link D1 A K diode
			link D1 B K diode
			device U9 controller load=6 : V feed 12, GND return
			wire W30 G3:+ D1:A
			wire W31 G4:+ D1:B
			wire W32 D1:K U9:V
			wire W33 U9:GND X0:4
			wire W34 G3:- X0:4
			wire W35 G4:- X0:4`},
		{name: "a switch that chooses between two supplies loads each", severity: Fault, change: `
			device G3 supply limit=0.2 : + rail 5, - return
			bond G3:- G1:-
			device S1 switch : C pass, 1 pass, 2 pass
			link S1 C 1 contact closed
			link S1 C 2 contact open
			wire W13 S1:C A1:VCC
			wire W30 X5:4 S1:1
			wire W31 G3:+ S1:2
			wire W34 G3:- X0:4`, message: []string{"G3:+ draw 0.4 A"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, voltsMachine, c.change)
			if c.severity == "" {
				silent(t, m, "overload")
				return
			}
			f := ruleOf(t, m, "overload")
			if len(f) != 1 || f[0].Severity != c.severity {
				t.Fatalf("got %+v, want one %s; %s", f, c.severity, c.source)
			}
			says(t, f[0].Message, c.message...)
		})
	}
}

// OpenStax University Physics vol. 2 ch. 10 additional problems, as in
// testdata/fuse_examples.csv row breaker_trip_1: 120 V, 441 W, 4 times 100 W and
// 1500 W on a 15 A breaker: 19.5 A, it trips.
func TestOverloadOfAPublishedBranch(t *testing.T) {
	text := "device G1 supply limit=15 : + rail 120, - return\n"
	for i, watts := range []float64{441, 100, 100, 100, 100, 1500} {
		text += fmt.Sprintf("device H%d lamp load=%v : + feed 120, - return\nwire W%d G1:+ H%d:+\nwire W%d0 H%d:- G1:-\n", i+1, watts/120, i+1, i+1, i+1, i+1)
	}
	f := one(t, build(t, text), "overload")
	if f.Severity != Fault {
		t.Errorf("severity %s, want fault", f.Severity)
	}
	says(t, f.Message, "19.5 A together", "G1 gives 15 A")
	starts(t, "devices", f.Devices, "G1")
	starts(t, "nets", f.Nets, "+120V")
}
