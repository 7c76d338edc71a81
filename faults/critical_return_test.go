package faults

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
	"bellout/model"
)

func TestCriticalReturnFindsThePublishedCases(t *testing.T) {
	for _, c := range lostReturns {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, lostReturn(c.heavyVolts, c.heavyOhms, c.lightVolts, c.lightOhms))
			f := one(t, m, "critical-return")
			if f.Severity != Warning {
				t.Errorf("severity %s, want warning", f.Severity)
			}
			// W9 alone: W3 and W4 carry one load each, and X0 is not the island's.
			starts(t, "wires", f.Wires, "W9")
			if len(f.Wires) != 1 {
				t.Errorf("wires %v, want W9 alone", f.Wires)
			}
			starts(t, "devices", f.Devices, "U1")
			says(t, f.Message, "W9", "opens", "U1:VCC", "K1")
			says(t, f.Advice, "USB", "Power off", "double")

			group := criticalOf(NewAnalysis(m))[0]
			if math.Abs(group.volts-c.island) > max(c.tolerance, 0.05) {
				t.Errorf("island at %v V, want %v", group.volts, c.island)
			}
			if len(group.hurts) != 1 || math.Abs(group.hurts[0].volts-c.sees) > max(c.tolerance, 0.06) {
				t.Errorf("hurt %+v, want %v V", group.hurts, c.sees)
			}
		})
	}
}

func TestCriticalReturn(t *testing.T) {
	island := lostReturn("24", "12", "5", "50")
	cases := []struct {
		name, change              string
		wires, devices, terminals []string
		count                     int // of findings
	}{
		{name: "a second way back is safe", change: "wire W12 X9:3 X0:2"},
		{name: "each load home on its own is safe", change: "wire W4 U1:GND X0:2"},
		{name: "loads of one rail do no harm", change: "device U1 controller : VCC feed 24, GND return\nwire W2 G1:+ U1:VCC"},
		{name: "a chain of pieces is one finding", change: `
			device J1 connector : 1 pass, 2 pass
			link J1 1 2 solid
			wire W9 X9:1 J1:1
			wire W12 J1:2 X0:1`, count: 1, wires: []string{"W9", "W12"}, devices: []string{"U1", "J1"}, terminals: []string{"U1:VCC"}},
		{name: "two wires under one screw hang by the joint", change: "wire W12 X9:1 X0:2", count: 1, terminals: []string{"X9:1"}, devices: []string{"X9", "U1"}},
		{name: "an island in an island is a loss of its own", change: `
			device X8 terminal-block : 1 pass, 2 pass, 3 pass
			link X8 1 2 solid
			link X8 2 3 solid
			device K2 solenoid : A feed 24, B return
			link K2 A B resistance 12
			device U2 controller : VCC feed 5, GND return
			link U2 VCC GND resistance 50
			wire W20 G1:+ K2:A
			wire W21 G2:+ U2:VCC
			wire W22 K2:B X8:2
			wire W23 U2:GND X8:3
			wire W24 X8:1 X9:1`, count: 2},
		{name: "a driver that sinks a coil hangs by its own return", change: `
			device A2 driver load=0.1 : VCC feed 5, GND return, O1 drive
			wire W2 G2:+ A2:VCC
			wire W3 K1:B A2:O1
			wire W4 A2:GND X0:2
			drop W9`, count: 1, wires: []string{"W4"}, devices: []string{"A2"}},
		{name: "a load behind an open contact counts: the whole machine on", change: `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			wire W1 G1:+ S1:1
			wire W30 S1:2 K1:A`, count: 1, wires: []string{"W9"}, devices: []string{"U1"}},
		{name: "the second throw of a changeover stays open", change: `
			device S1 switch : C pass, 1 pass, 2 pass
			link S1 C 1 contact closed
			link S1 C 2 contact open
			wire W1 G1:+ S1:C
			wire W30 S1:2 K1:A`},
		{name: "of two open throws the first closes", change: `
			device S1 switch : C pass, 1 pass, 2 pass
			link S1 C 1 contact open
			link S1 C 2 contact open
			wire W1 G1:+ S1:C
			wire W30 S1:2 K1:A`},
		{name: "a throw that would join rails is passed over for the next", change: `
			device S1 switch : C pass, 1 pass, 2 pass
			link S1 C 1 contact open
			link S1 C 2 contact open
			wire W1 G1:+ S1:C
			wire W31 G2:+ S1:1
			wire W30 S1:2 K1:A`, count: 1, wires: []string{"W9"}, devices: []string{"U1"}},
		{name: "a brake to 0 V gives way to the drive", change: `
			device S1 relay : 1 pass, 2 pass
			link S1 1 2 contact open
			device R1 relay : 1 pass, 2 pass
			link R1 1 2 contact open
			wire W1 G1:+ S1:1
			wire W30 S1:2 K1:A
			wire W31 K1:A R1:1
			wire W32 R1:2 G1:-`, count: 1, wires: []string{"W9"}, devices: []string{"U1"}},
		{name: "a load of unknown amperes is hurt all the same", change: "drop U1 VCC GND resistance", count: 1, wires: []string{"W9"}, devices: []string{"U1"}},
		{name: "a board with two feeds and one return", change: `
			device U1 controller load=2 : VCC feed 5, V24 feed 24, GND return
			wire W4 U1:GND X0:2
			wire W31 G1:+ U1:V24
			wire W12 X9:1 X0:2
			device U2 controller load=0.4 : VCC feed 5, GND return
			wire W32 G2:+ U2:VCC
			wire W33 U2:GND X0:2`, count: 1, wires: []string{"W4"}, devices: []string{"U1"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			found := ruleOf(t, build(t, island, c.change), "critical-return")
			if len(found) != c.count {
				t.Fatalf("got %d findings, want %d: %+v", len(found), c.count, found)
			}
			for _, f := range found {
				t.Log(f.Message)
			}
			if c.count > 0 {
				starts(t, "wires", found[0].Wires, c.wires...)
				starts(t, "devices", found[0].Devices, c.devices...)
				starts(t, "terminals", found[0].Terminals, c.terminals...)
			}
		})
	}
}

func criticalOf(b *Analysis) []critical {
	return newWiringOf(b, b.On()).criticalReturns(newLosses(b, b.ailingLoads()...))
}

// lostAnew is the machine worked out from nothing with one piece out of it and
// everything dark that starves by it.
func lostAnew(t testing.TB, m *model.Machine, piece model.Row) *graphs.OperatingPoint {
	before := graphs.NewCircuit(m, nil).Operate(graphs.LoadsAsResistances)
	lost := m.Clone()
	out := func(before, after model.Row) {
		if err := lost.Apply(model.Edit{Changes: []model.Change{{Before: before, After: after}}}); err != nil {
			t.Fatal(err)
		}
	}
	out(piece, nil)
	for {
		after := graphs.NewCircuit(lost, nil).Operate(graphs.LoadsAsResistances)
		dark := false
		for _, load := range graphs.FindParts(lost).Loads {
			for _, mark := range lost.Marks(load.Device) {
				rail := lost.Row(model.TableTerminal, model.TerminalRef{Device: load.Device, Mark: mark}.String()).(model.Terminal)
				if rail.Role == model.RoleRail && starves(load, before, after) {
					silent := rail
					silent.Role, silent.Volts = model.RolePass, model.Optional{}
					out(rail, silent)
					dark = true
				}
			}
		}
		if !dark {
			return after
		}
	}
}

// drawReturns draws trees and meshes of returns with loads of three rails, a
// converter, drivers and bars on them.
func drawReturns(t *rapid.T) string {
	volts := []int{24, 5, -12}
	text := ""
	blocks := rapid.IntRange(2, 6).Draw(t, "blocks")
	for i := range blocks {
		text += fmt.Sprintf("device X%d terminal-block : 1 pass, 2 pass, 3 pass\nlink X%d 1 2 solid\nlink X%d 2 3 solid\n", i, i, i)
	}
	block := func(label string) string {
		return fmt.Sprintf("X%d:%d", rapid.IntRange(0, blocks-1).Draw(t, label), rapid.IntRange(1, 3).Draw(t, label+"'s screw"))
	}
	wires := 0
	wire := func(from, to string) {
		if from == to {
			return
		}
		wires++
		text += fmt.Sprintf("wire W%d %s %s%s\n", wires, from, to, rapid.SampledFrom([]string{"", "", " gauge=0.5mm2 length=2", " gauge=0.14mm2 length=30"}).Draw(t, "wire"))
	}
	for i := 1; i < blocks; i++ {
		wire(fmt.Sprintf("X%d:%d", i, rapid.IntRange(1, 3).Draw(t, "screw")), fmt.Sprintf("X%d:%d", rapid.IntRange(0, i-1).Draw(t, "trunk"), rapid.IntRange(1, 3).Draw(t, "side")))
	}
	for range rapid.IntRange(0, 2).Draw(t, "second ways") {
		wire(block("from"), block("to"))
	}
	for g := range volts {
		text += fmt.Sprintf("device G%d supply : + rail %d, - return\n", g, volts[g])
		wire(fmt.Sprintf("G%d:-", g), block("supply"))
		if g > 0 {
			text += fmt.Sprintf("bond G%d:- G%d:-\n", g-1, g)
		}
	}
	rails := []string{"G0:+", "G1:+", "G2:+"}
	if rapid.Bool().Draw(t, "converter") {
		text += "device G3 converter load=0.5 : IN feed 24, GND return, OUT rail 12\nbond G0:- G3:GND\n"
		wire("G0:+", "G3:IN")
		wire("G3:GND", block("converter"))
		rails, volts = append(rails, "G3:OUT"), append(volts, 12)
	}
	for i := range rapid.IntRange(1, 7).Draw(t, "loads") {
		g := rapid.IntRange(0, len(rails)-1).Draw(t, "rail")
		amps := rapid.SampledFrom([]string{" load=0.05", " load=0.3", " load=2", ""}).Draw(t, "amps")
		text += fmt.Sprintf("device U%d other%s : V feed %d, 0 return\n", i, amps, volts[g])
		wire(rails[g], fmt.Sprintf("U%d:V", i))
		if volts[g] > 0 && rapid.IntRange(0, 3).Draw(t, "driver") == 0 {
			text += fmt.Sprintf("device A%d driver load=0.1 : V feed 5, 0 return, O drive\nlink U%d 0 V diode\n", i, i)
			wire("G1:+", fmt.Sprintf("A%d:V", i))
			wire(fmt.Sprintf("A%d:0", i), block("driver"))
			wire(fmt.Sprintf("U%d:0", i), fmt.Sprintf("A%d:O", i))
		} else {
			wire(fmt.Sprintf("U%d:0", i), block("load"))
		}
	}
	return text
}

// What check says of a piece of a return, what whatif says of it, and what the
// machine without it shows when it is worked out from nothing are one.
func TestCriticalReturnEqualsOpeningEveryPiece(outer *testing.T) {
	critical, bars, opened := 0, 0, 0
	rapid.Check(outer, func(t *rapid.T) {
		text := drawReturns(t)
		m := build(outer, text)
		b := layOut(m)
		if len(b.NetBridges) > 0 {
			t.Fatalf("%+v\n%s", b.NetBridges, text)
		}
		w := newWiringOf(b, b.On())
		named := map[int]bool{}
		for _, group := range criticalOf(b) {
			for _, id := range group.pieces {
				named[id] = true
			}
		}
		before := b.On().Operate(graphs.LoadsAsResistances)
		for _, id := range w.returnPieces() {
			e := b.AsDrawn.Elements[id]
			var row model.Row
			what := ""
			if e.Kind == graphs.Wire {
				row, what = m.Wires[e.Row], m.Wires[e.Row].Name
			} else {
				row, what = m.Links[e.Row], m.Links[e.Row].Place()
			}
			result, err := WhatIf(m, what)
			if err != nil {
				t.Fatal(err)
			}
			after := lostAnew(outer, m, row)
			want, seen := false, false
			for i, load := range b.Parts.Loads {
				was, is := feedVolts(before, load), feedVolts(after, load)
				if is.Known && !b.Reported(i) && severityOf(load, is) == Fault && math.Abs(is.Value-was.Value) > noticeable(load) {
					want = true
				}
				said := slices.IndexFunc(result.Sees, func(s Seen) bool { return s.Terminal == b.name(load.Feed) })
				if said >= 0 && result.Sees[said].Severity == Fault && !b.Reported(i) && math.Abs(result.Sees[said].Volt.Value-was.Value) > noticeable(load) {
					seen = true
				}
				if off := math.Abs(is.Value - was.Value); is.Known && off > noticeable(load)+0.01 && said < 0 {
					t.Errorf("without %s: whatif leaves out %s, which sees %v V\n%s", what, b.name(load.Feed), is.Value, text)
				}
				if said >= 0 && (result.Sees[said].Volt.Known != is.Known || math.Abs(result.Sees[said].Volt.Value-is.Value) > 0.01) {
					t.Errorf("without %s: whatif has %s at %v V, anew it is %v\n%s", what, b.name(load.Feed), result.Sees[said].Volt, is, text)
				}
			}
			if want != named[id] || seen != named[id] {
				t.Errorf("%s: check says %v, whatif %v, the machine without it %v: %+v\n%s", what, named[id], seen, want, result.Sees, text)
			}
			opened++
			if want {
				critical++
				if e.Kind == graphs.Solid {
					bars++
				}
			}
		}
	})
	outer.Logf("%d pieces opened, %d critical, %d of them of a bar", opened, critical, bars)
	if critical*20 < opened || bars*100 < opened {
		outer.Errorf("of %d pieces only %d are critical, %d of them of a bar", opened, critical, bars)
	}
}
