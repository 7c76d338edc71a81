package faults

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
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

			w := newWiring(NewBench(m))
			trees := w.returnTrees()
			if len(trees) != 1 {
				t.Fatalf("%d trees", len(trees))
			}
			group := w.criticalPieces(trees[0])[0]
			if math.Abs(group.volts-c.island) > max(c.tolerance, 0.05) {
				t.Errorf("island at %v V, want %v", group.volts, c.island)
			}
			hurt := w.hurtBy(group)
			if len(hurt) != 1 || math.Abs(hurt[0].volts-c.sees) > max(c.tolerance, 0.06) {
				t.Errorf("hurt %+v, want %v V", hurt, c.sees)
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
			wire W12 J1:2 X0:1`, count: 1, wires: []string{"W12", "W9"}, devices: []string{"U1", "J1"}, terminals: []string{"U1:VCC"}},
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

// The sum over the tree must say what a plain walk says: open each element,
// look which loads are cut from their supplies' returns, and sum those.
func TestIslandSumsEqualThePlainWay(t *testing.T) {
	text := "device G1 supply : + rail 24, - return\ndevice G2 supply : + rail 5, - return\ndevice G3 supply : + rail -12, - return\nbond G1:- G2:-\nbond G2:- G3:-\n"
	// A chain of blocks with loads of three rails, the supplies at different blocks.
	for i := range 12 {
		text += fmt.Sprintf("device X%d terminal-block : 1 pass, 2 pass\nlink X%d 1 2 solid\n", i, i)
		if i > 0 {
			text += fmt.Sprintf("wire C%d X%d:2 X%d:1\n", i, i-1, i)
		}
		g := 1 + i%3
		text += fmt.Sprintf("device U%d other load=%v : V feed %d, 0 return\nwire P%d G%d:+ U%d:V\nwire N%d U%d:0 X%d:1\n",
			i, 0.1+float64(i)/10, []int{24, 5, -12}[i%3], i, g, i, i, i, i)
	}
	text += "wire R1 G1:- X0:1\nwire R2 G2:- X5:2\nwire R3 G3:- X11:2\n"
	w := newWiring(NewBench(build(t, text)))
	rt := w.returnTrees()[0]
	checked := 0
	for node := 1; node < len(rt.at); node++ {
		if !rt.bridge(node) {
			t.Fatalf("the net is a tree, but node %d is no bridge", node)
		}
		count, siemens, push := 0, 0.0, 0.0
		floor, ceiling := math.Inf(-1), math.Inf(1)
		for _, c := range rt.across(node) {
			least, most := bearable(w.b.Parts.Loads[c.load], c.volts)
			count++
			siemens += c.siemens
			if rt.holds(node, c.at) {
				push += c.siemens * c.volts
				floor, ceiling = max(floor, c.volts-most), min(ceiling, c.volts-least)
			} else {
				push -= c.siemens * c.volts
				floor, ceiling = max(floor, least-c.volts), min(ceiling, most-c.volts)
			}
		}
		if count != rt.count[node] || math.Abs(siemens-rt.conductance[node]) > 1e-12 || math.Abs(push-rt.push[node]) > 1e-12 ||
			floor != rt.floor[node] || ceiling != rt.ceiling[node] {
			t.Errorf("%s: got %d, %v S, %v A, %v to %v V; want %d, %v, %v, %v to %v", w.ref(rt.at[node]),
				rt.count[node], rt.conductance[node], rt.push[node], rt.floor[node], rt.ceiling[node], count, siemens, push, floor, ceiling)
		}
		checked += count
	}
	if checked < 50 {
		t.Errorf("only %d crossings checked", checked)
	}
}

// The sum must name the wires that the whole network names, opened one by one.
func TestCriticalReturnEqualsOpeningEveryWire(outer *testing.T) {
	critical := 0
	rapid.Check(outer, func(t *rapid.T) {
		volts := []int{24, 5, -12}
		text := ""
		blocks := rapid.IntRange(2, 6).Draw(t, "blocks")
		for i := range blocks {
			text += fmt.Sprintf("device X%d terminal-block : 1 pass, 2 pass\nlink X%d 1 2 solid\n", i, i)
		}
		block := func(label string) string {
			return fmt.Sprintf("X%d:%d", rapid.IntRange(0, blocks-1).Draw(t, label), rapid.IntRange(1, 2).Draw(t, label+"'s side"))
		}
		for i := 1; i < blocks; i++ {
			text += fmt.Sprintf("wire C%d X%d:1 X%d:%d\n", i, i, rapid.IntRange(0, i-1).Draw(t, "trunk"), rapid.IntRange(1, 2).Draw(t, "side"))
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "second ways") {
			a, b := block("from"), block("to")
			if a != b {
				text += fmt.Sprintf("wire L%d %s %s\n", i, a, b)
			}
		}
		for g := range volts {
			text += fmt.Sprintf("device G%d supply : + rail %d, - return\nwire R%d G%d:- %s\n", g, volts[g], g, g, block("supply"))
			if g > 0 {
				text += fmt.Sprintf("bond G%d:- G%d:-\n", g-1, g)
			}
		}
		for i := range rapid.IntRange(1, 7).Draw(t, "loads") {
			g := rapid.IntRange(0, 2).Draw(t, "rail")
			amps := rapid.SampledFrom([]float64{0.05, 0.3, 2}).Draw(t, "amps")
			text += fmt.Sprintf("device U%d other load=%v : V feed %d, 0 return\nwire P%d G%d:+ U%d:V\nwire N%d U%d:0 %s\n", i, amps, volts[g], i, g, i, i, i, block("load"))
		}
		m := build(outer, text)
		w := newWiring(layOut(m))
		got := map[string]bool{}
		for _, rt := range w.returnTrees() {
			for _, group := range w.criticalPieces(rt) {
				if len(w.hurtBy(group)) == 0 {
					t.Fatalf("a group of %v hurts nobody", group.chain)
				}
				for _, id := range group.chain {
					if w.c.Elements[id].Kind == graphs.Wire {
						got[w.wireName(id)] = true
					}
				}
			}
		}
		for _, wire := range m.Wires {
			result, err := WhatIf(m, wire.Name)
			if err != nil {
				t.Fatal(err)
			}
			want := slices.ContainsFunc(result.Sees, func(s Seen) bool { return s.Severity == Fault })
			if want != got[wire.Name] {
				t.Errorf("%s: the sum says %v, the network %v: %+v\n%s", wire.Name, got[wire.Name], want, result.Sees, text)
			}
			if want {
				critical++
			}
		}
	})
	if critical < 20 {
		outer.Errorf("only %d critical wires drawn", critical)
	}
}
