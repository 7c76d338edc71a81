package faults

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"bellout/graphs"
)

// runOf is one load at the end of a wire out and a wire back.
func runOf(volts, amps float64, gauge string, metres float64) string {
	return fmt.Sprintf(`
		device G1 supply : + rail %[1]v, - return
		device M1 other load=%[2]v : + feed %[1]v, - return
		wire W1 G1:+ M1:+ gauge=%[3]s length=%[4]v
		wire W2 M1:- G1:- gauge=%[3]s length=%[4]v`, volts, amps, gauge, metres)
}

// The rows of US Army TM 55-1930-209-14P-9-2 Table 2: the drop out and back
// that the rule reads off is the printed one, and the finding turns on it.
func TestVoltageDropOfThePublishedRuns(t *testing.T) {
	checked := 0
	for _, row := range published(t, os.DirFS("../graphs/testdata"), "voltage_drop_examples.csv") {
		if !strings.HasPrefix(row["id"], "tm") {
			continue
		}
		amps, _ := strconv.ParseFloat(row["amps"], 64)
		feet, _ := strconv.ParseFloat(row["run_ft"], 64)
		printed, _ := strconv.ParseFloat(row["drop_v_published"], 64)
		text := runOf(28, amps, "AWG"+row["awg"], feet*0.3048)
		w := newWiring(NewAnalysis(build(t, text)))
		sag, found := w.measure(w.b.AsIntended.Operate(graphs.LoadsAsCurrents), w.b.Parts.Loads[0])
		if !found || math.Abs(sag.plus+sag.minus-printed) > 0.07 || math.Abs(sag.plus-sag.minus) > 1e-9 {
			t.Errorf("%s: got %v and %v V, want %v together; %s", row["id"], sag.plus, sag.minus, printed, row["source"])
		}
		computed, _ := strconv.ParseFloat(row["drop_v_computed"], 64)
		below := build(t, text, fmt.Sprintf("set drop_limit_percent %v", computed/28*100*0.99))
		above := build(t, text, fmt.Sprintf("set drop_limit_percent %v", computed/28*100*1.01))
		if f := one(t, below, "voltage-drop"); f.Severity != Warning || f.Devices[0] != "M1" || f.Wires[0] != "W1" && f.Wires[0] != "W2" {
			t.Errorf("%s: got %+v", row["id"], f)
		}
		silent(t, above, "voltage-drop")
		checked++
	}
	if checked < 9 {
		t.Errorf("only %d rows checked", checked)
	}
}

func TestVoltageDrop(t *testing.T) {
	cases := []struct {
		name, change  string
		wires, device []string
		message       []string // none: silent
		advice        []string
	}{
		{name: "short and thick"},
		{name: "a long thin feed", change: "wire W3 X24:2 H1:+ gauge=AWG28 length=20", wires: []string{"W3"}, device: []string{"H1"},
			message: []string{"H1:+ gets", "of the 24 V at G1:+", "on the way out", "on the way back", "W3 (AWG 28, 20 m) eats the most"},
			advice:  []string{"G1:+ to H1:+", "H1:- to G1:-", "times the copper"}},
		{name: "a long thin return", change: "wire W7 H1:- X0:2 gauge=AWG28 length=20", wires: []string{"W7"}, device: []string{"H1"}, message: []string{"W7"}},
		{name: "a shared return names all behind it, the worst first", change: `
			wire W17 X05:1 G2:- gauge=AWG28 length=3
			drop W20`, wires: []string{"W17"}, device: []string{"A1", "B1"}, message: []string{"Behind it too: B1:VCC"}},
		{name: "through a driver that sinks", change: "wire W6 A2:GND X0:3 gauge=AWG28 length=20", wires: []string{"W6"}, device: []string{"K1"}, message: []string{"K1:A", "W6"}},
		{name: "a lamp whose loop is open draws nothing", change: "wire W3 X24:2 H1:+ gauge=AWG28 length=20\nwire W7 H1:- X0:2 removed"},
		{name: "behind a blown fuse nothing draws", change: "wire W3 X24:2 H1:+ gauge=AWG28 length=20\nlink F1 1 2 fuse 3 open"},
		{name: "behind an open switch nothing draws", change: `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			wire W3 X24:2 S1:1
			wire W30 S1:2 H1:+ gauge=AWG28 length=20`},
		{name: "size not known", change: "wire W3 X24:2 H1:+ length=2000"},
		{name: "length not known", change: "wire W3 X24:2 H1:+ gauge=AWG28"},
		{name: "amperes not known", change: "wire W3 X24:2 H1:+ gauge=AWG28 length=20\ndevice H1 lamp : + feed 24, - return"},
		{name: "a wider limit", change: "wire W3 X24:2 H1:+ gauge=AWG28 length=20\nset drop_limit_percent 30"},
		{name: "no probe above the low-voltage limit", change: `
			device G3 supply limit=9 : + rail 110, - return
			device M9 motor load=2 : + feed 110, - return
			wire W30 G3:+ M9:+ gauge=AWG28 length=30
			wire W31 M9:- G3:-`, wires: []string{"W30"}, device: []string{"M9"}, message: []string{"M9:+"}, advice: []string{"Do not probe this live"}},
		{name: "a negative rail", change: `
			device G3 supply limit=9 : - rail -12, 0 return
			device M9 motor load=1 : - feed -12, 0 return
			wire W30 G3:- M9:- gauge=AWG28 length=30
			wire W31 M9:0 G3:0`, wires: []string{"W30"}, device: []string{"M9"}, message: []string{"M9:-"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, voltsMachine, c.change)
			if len(c.message) == 0 {
				silent(t, m, "voltage-drop")
				return
			}
			f := one(t, m, "voltage-drop")
			starts(t, "wires", f.Wires, c.wires...)
			starts(t, "devices", f.Devices, c.device...)
			says(t, f.Message, c.message...)
			says(t, f.Advice, c.advice...)
			if f.Severity != Warning {
				t.Errorf("severity %s, want warning", f.Severity)
			}
		})
	}
}

// 3 A over 200 m of AWG 28 is a sum that no wire carries: no negative volts are
// said of it.
func TestAWireThatCannotCarryTheCurrentIsSaidSo(t *testing.T) {
	findings := checkVoltageDrop(NewAnalysis(build(t, runOf(12, 3, "AWG28", 200))))
	if len(findings) != 1 {
		t.Fatalf("%d findings, want 1", len(findings))
	}
	if message := findings[0].Message; strings.Contains(message, "gets -") || !strings.Contains(message, "cannot carry the current") {
		t.Errorf("message %q", message)
	}
}
