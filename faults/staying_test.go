package faults

import (
	"strings"
	"testing"

	"bellout/model"
)

const batteryMachine = `
	device BT1 battery : + rail 12, - return
	device F5 fuse : 1 pass, 2 pass
	link F5 1 2 fuse 10
	device H1 lamp load=1 : + feed 12, - return
	link H1 + - resistance 4
	device X1 mains-inlet : L line
	device G1 supply limit=1 : L line, + rail 24, - return
	device H2 lamp load=1 : + feed 24, - return
	wire W1 BT1:+ F5:1
	wire W2 F5:2 H1:+
	wire W3 H1:- BT1:-
	wire W4 X1:L G1:L
	wire W5 G1:+ H2:+
	wire W6 H2:- G1:-`

func TestWhatStaysLiveWithThePlugOut(t *testing.T) {
	for _, c := range []struct{ name, more, list string }{
		{"a battery behind a fuse", "", "battery BT1 (F5 out, battery lead off)"},
		{"a charger on the battery's side of the fuse", "wire W7 G1:+ F5:1\nwire W8 G1:- BT1:-", "battery BT1 (battery lead off)"},
		{"a fuse in the minus lead", "drop W1\ndrop W2\ndrop W3\nwire W1 BT1:+ H1:+\nwire W2 H1:- F5:1\nwire W3 F5:2 BT1:-", "battery BT1 (F5 out, battery lead off)"},
		{"two batteries in a row", "device BT2 battery : + rail 12, - return\ndrop W3\nwire W3 H1:- BT2:-\nwire W7 BT2:+ BT1:-", "battery BT1 (F5 out, battery lead off) and battery BT2 (F5 out, battery lead off)"},
		{"a computer", "device PC1 computer : V rail 5, - return", "battery BT1 (F5 out, battery lead off) and PC1 with power of its own (its lead unplugged)"},
		{"a converter that the machine feeds is none", "device G2 converter : in feed 24, V rail 5, - return\nwire W7 G1:+ G2:in", "battery BT1 (F5 out, battery lead off)"},
		{"a board with a feed is none", "device U1 controller : 5V feed 5, 3V3 rail 3.3, GND return", "battery BT1 (F5 out, battery lead off)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := NewAnalysis(build(t, batteryMachine, c.more)).Staying().List(); got != c.list {
				t.Errorf("got %q, want %q", got, c.list)
			}
		})
	}
	if got := NewAnalysis(build(t, strings.ReplaceAll(batteryMachine, "BT1 battery", "BT1 supply"))).Staying().Everything(); got != "Every plug out: X1 and that of BT1." {
		t.Errorf("a supply that no mains of the map feeds: %q", got)
	}
	if got := NewAnalysis(build(t, batteryMachine, "device X2 mains-inlet : L line\nwire W7 X2:L X1:L")).Staying().Everything(); strings.Contains(got, "plug out: X") {
		t.Errorf("an inlet fed by another is no second plug: %q", got)
	}
	if got := NewAnalysis(build(t, earthed)).Staying().Everything(); got != "" {
		t.Errorf("one plug: %q", got)
	}
}

func TestFindingsNameTheBatteryBeforeOhms(t *testing.T) {
	f := one(t, read(t, build(t, batteryMachine), "F5:2 H1:+ OL when \"open F5:1-2\""), nameOpen)
	says(t, f.Message, "W2", "open F5:1-2")
	says(t, f.Advice, "Battery BT1 stays live with the plug out")
	f = one(t, read(t, build(t, batteryMachine), "G1:+ H2:+ OL"), nameOpen)
	if strings.Contains(f.Advice, "BT1") {
		t.Errorf("the battery cannot feed that: %q", f.Advice)
	}
}

// A reading with a battery taken out is a reading of the machine at rest: it proves
// what it would prove, and a second one that says the opposite makes it doubtful.
func TestAReadingWithTheBatteryOutCountsAsOneAtRest(t *testing.T) {
	m := read(t, build(t, batteryMachine), `F5:2 H1:+ 0.2 when "open F5:1-2"`, `BT1:+ H1:+ 0.2 when "unplugged BT1"`)
	d := Diagnose(m)
	for _, wire := range []string{"W1", "W2"} {
		if row, _ := m.WireIndex(wire); !d.WireProven(row) {
			t.Errorf("%s is not proven", wire)
		}
	}
	times, _ := d.Touched(ref("F5:2"), ref("H1:+"), nil)
	with, _ := d.Touched(ref("F5:2"), ref("H1:+"), model.NewConditions(model.Condition{Kind: model.Unplugged, Device: "BT1"}))
	if times != 1 || with != 1 {
		t.Errorf("touched %d times at rest, %d with the battery off", times, with)
	}
	one(t, read(t, m, "F5:2 H1:+ OL"), "intermittent")
	if got := d.ProvenBy("W1"); len(got) != 1 {
		t.Errorf("the sheets say that W1 is proven by %v", got)
	}
}
