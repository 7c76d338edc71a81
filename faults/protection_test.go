package faults

import (
	"strings"
	"testing"
)

func TestNoFuse(t *testing.T) {
	cases := []struct {
		name, change  string
		wires         []string // none: silent
		devices       []string
		message, hush string
	}{
		{name: "a branch past the fuse", change: "wire W30 G1:+ X24:4 gauge=AWG18 length=1\ndevice G1 supply limit=20 : + rail 24, - return",
			wires: []string{"W1", "W30", "W4", "W3", "W2"}, devices: []string{"G1"}, message: "G1:+ delivers up to 20 A"},
		{name: "the fuse is absent", change: "drop F1 1 2 fuse\nlink F1 1 2 solid\ndevice G1 supply limit=20 : + rail 24, - return",
			wires: []string{"W1", "W2", "W3", "W4"}, devices: []string{"G1"}, message: "W3 (AWG 20, 5 A)"},
		{name: "the supply's limit protects", change: "drop F1 1 2 fuse\nlink F1 1 2 solid\ndevice G1 supply limit=5 : + rail 24, - return"},
		{name: "a limit that is not known", change: "drop F1 1 2 fuse\nlink F1 1 2 solid\ndevice G1 supply : + rail 24, - return"},
		{name: "sizes that are not known", change: "drop F1 1 2 fuse\nlink F1 1 2 solid\nwire W1 G1:+ F1:1\nwire W2 F1:2 X24:1\nwire W3 X24:2 H1:+\nwire W4 X24:3 K1:A\ndevice G1 supply limit=20 : + rail 24, - return"},
		{name: "a fuse of unknown amperes", change: "link F1 1 2 fuse"},
		{name: "a blown fuse still protects", change: "link F1 1 2 fuse 3 open"},
		{name: "what lies behind an open switch", change: `
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			device H2 lamp load=0.1 : + feed 24, - return
			wire W30 G1:+ S1:1 gauge=AWG12
			wire W31 S1:2 H2:+ gauge=AWG22
			wire W32 H2:- X0:4 gauge=AWG22`, wires: []string{"W31"}, message: "W31 (AWG 22, 5 A)"},
		{name: "what a sourcing driver feeds", change: `
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12
			device A3 driver : V feed 24, GND return, O1 drive
			device H2 lamp load=0.1 : + feed 24, - return
			wire W30 G1:+ A3:V gauge=AWG12
			wire W31 A3:O1 H2:+ gauge=AWG22
			wire W32 H2:- X0:4 gauge=AWG22
			wire W33 A3:GND X0:4 gauge=AWG12`, wires: []string{"W31"}},
		{name: "the wire between a coil and the driver that sinks it is behind the load", change: `
			wire W5 K1:B A2:O1 gauge=AWG22
			device A2 driver : O1 drive, GND return, V feed 24
			wire W30 G1:+ A2:V gauge=AWG12
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12`},
		{name: "two ways, one of them fused", change: `
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12
			wire W30 G1:+ X24:4 gauge=AWG12`, wires: []string{"W4", "W3", "W2"}},
		{name: "the mains inlet counts with its limit", change: `
			device J1 mains-inlet limit=16 : L line, N neutral, PE earth
			device G3 supply limit=1 : L line, N neutral, + rail 12, - return
			wire W30 J1:L G3:L gauge=AWG18
			wire W31 J1:N G3:N gauge=AWG18`, wires: []string{"W30"}, devices: []string{"J1"}, message: "mains wiring"},
		{name: "a changeover contact to 0 V does not lead into the returns", change: `
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12
			device K9 relay : C pass, NC pass, NO pass
			link K9 C NC contact open
			link K9 C NO contact open
			device M1 motor load=0.1 : + feed 24, - return
			wire W30 G1:+ K9:NO gauge=AWG12
			wire W31 K9:C M1:+ gauge=AWG12
			wire W32 M1:- X0:4 gauge=AWG22
			wire W33 K9:NC X0:4 gauge=AWG22`},
		{name: "a signal wire", change: `
			device G1 supply limit=20 : + rail 24, - return
			wire W1 G1:+ F1:1 gauge=AWG12
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			device A1 controller load=0.4 : VCC feed 5, GND return, IN signal
			wire W30 G1:+ S1:1 gauge=AWG12
			wire W31 S1:2 A1:IN gauge=AWG22`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, voltsMachine, c.change)
			if len(c.wires) == 0 {
				silent(t, m, "no-fuse", "fuse-too-large")
				return
			}
			f := one(t, m, "no-fuse")
			starts(t, "wires", f.Wires, c.wires...)
			starts(t, "devices", f.Devices, c.devices...)
			if f.Severity != Fault || len(f.Wires) != len(c.wires) {
				t.Errorf("got %s with %v, want a fault with %v", f.Severity, f.Wires, c.wires)
			}
			says(t, f.Message, c.message)
		})
	}
}

func TestMainsAdviceNeverProposesALiveProbe(t *testing.T) {
	f := one(t, build(t, voltsMachine, `
		device J1 mains-inlet limit=16 : L line, N neutral
		device G3 supply limit=1 : L line, N neutral, + rail 12, - return
		wire W30 J1:L G3:L gauge=AWG18`), "no-fuse")
	says(t, f.Advice, "Plug out", "licensed person")
	if strings.Contains(f.Advice, "volts") {
		t.Errorf("the advice speaks of volts: %s", f.Advice)
	}
}

func TestThinnerThanTheTableIsANote(t *testing.T) {
	m := build(t, voltsMachine, "wire W14 X5:3 B1:VCC gauge=AWG28 length=1", "wire W16 B1:GND X05:3 gauge=AWG28 length=1", "wire W13 X5:2 A1:VCC gauge=AWG30")
	f := one(t, m, "no-fuse")
	if f.Severity != Note || len(f.Wires) != 2 {
		t.Errorf("got %s with %v, want one note with W13 and W14 (the return is the feed's business)", f.Severity, f.Wires)
	}
	starts(t, "wires", f.Wires, "W13", "W14")
}

func TestFuseTooLarge(t *testing.T) {
	cases := []struct {
		name, change string
		wires        []string // none: silent
		terminals    []string
		message      string
	}{
		{name: "a fuse of 6 A before wires for 5 A", change: "link F1 1 2 fuse 6", wires: []string{"W3", "W4"}, terminals: []string{"F1:1", "F1:2"},
			message: "The fuse F1:1-2 is rated 6 A"},
		{name: "a smaller fuse further up protects", change: `
			link F1 1 2 fuse 6
			device F9 fuse : 1 pass, 2 pass
			link F9 1 2 fuse 4
			wire W1 F9:2 F1:1 gauge=AWG16
			wire W30 G1:+ F9:1 gauge=AWG16`},
		{name: "a smaller supply protects", change: "link F1 1 2 fuse 6\ndevice G1 supply limit=5 : + rail 24, - return"},
		{name: "a supply of unknown limit does not", change: "link F1 1 2 fuse 6\ndevice G1 supply : + rail 24, - return", wires: []string{"W3", "W4"}},
		{name: "a breaker of 7.5 A suits AWG 20, a fuse of it would not", change: "device F1 breaker : 1 pass, 2 pass\nlink F1 1 2 fuse 7.5"},
		{name: "a fuse of 7.5 A does not suit AWG 20", change: "link F1 1 2 fuse 7.5", wires: []string{"W3", "W4"}},
		{name: "the nearest of two is named", change: `
			device G1 supply limit=40 : + rail 24, - return
			link F1 1 2 fuse 6
			device F9 fuse : 1 pass, 2 pass
			link F9 1 2 fuse 10
			wire W1 F9:2 F1:1 gauge=AWG16
			wire W30 G1:+ F9:1 gauge=AWG10`, wires: []string{"W3", "W4"}, terminals: []string{"F1:1", "F1:2"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, voltsMachine, c.change)
			if len(c.wires) == 0 {
				silent(t, m, "no-fuse", "fuse-too-large")
				return
			}
			if strings.Contains(c.change, "limit=40") { // W30 itself may carry 30 A only
				m = change(t, m, "wire W30 G1:+ F9:1 gauge=AWG8")
				m = change(t, m, "device G1 supply limit=50 : + rail 24, - return")
			}
			f := one(t, m, "fuse-too-large")
			starts(t, "devices", f.Devices, "F1")
			starts(t, "terminals", f.Terminals, c.terminals...)
			starts(t, "wires", f.Wires, c.wires...)
			if len(f.Wires) != len(c.wires) {
				t.Errorf("wires %v, want %v", f.Wires, c.wires)
			}
			says(t, f.Message, c.message)
		})
	}
}
