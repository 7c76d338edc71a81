package graphs

import (
	"math"
	"testing"

	"bellout/model"
	"bellout/model/sample"

	"pgregory.net/rapid"
)

// twoLamps is a supply with a fuse, a block that two lamps of 2 A and 1 A hang
// on, and a return that passes by both. Only wires that are named have ohms.
func twoLamps(t *testing.T, ohms map[string]float64) (*Circuit, []model.Optional) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, 12)
	b.terminal("G1:-", model.RoleReturn)
	for _, mark := range []string{"F1:1", "F1:2", "X1:1"} {
		b.terminal(mark, model.RolePass)
	}
	b.link("F1", "1", "2", model.LinkFuse, 5)
	for lamp, amps := range map[string]float64{"E1": 2, "E2": 1} {
		b.device(model.Device{Ref: lamp, Kind: model.KindLamp, LoadAmps: model.Known(amps), Health: model.HealthUnknown})
		b.terminal(lamp+":+", model.RoleFeed, 12)
		b.terminal(lamp+":-", model.RoleReturn)
	}
	for _, ends := range [][2]string{{"G1:+", "F1:1"}, {"F1:2", "X1:1"}, {"X1:1", "E1:+"}, {"X1:1", "E2:+"}, {"E1:-", "E2:-"}, {"E2:-", "G1:-"}} {
		b.wire(ends[0], ends[1], ohms[ends[0]+" "+ends[1]])
	}
	c := b.circuit()
	return c, c.Currents(LoadsAsCurrents)
}

func TestCurrentsOfTwoLamps(t *testing.T) {
	want := []float64{3, 3, 2, 1, 2, 3} // in the direction in which the wires are written
	for name, ohms := range map[string]map[string]float64{
		"no wire has ohms": nil,
		"some have ohms":   {"G1:+ F1:1": 0.1, "X1:1 E2:+": 0.2},
		"all have ohms":    {"G1:+ F1:1": 0.1, "F1:2 X1:1": 0.1, "X1:1 E1:+": 0.1, "X1:1 E2:+": 0.1, "E1:- E2:-": 0.3, "E2:- G1:-": 0.1},
	} {
		c, amps := twoLamps(t, ohms)
		for row, wire := range c.Machine.Wires {
			if got := amps[row]; !got.Known || math.Abs(got.Value-want[row]) > 1e-9 {
				t.Errorf("%s: %s %s to %s carries %v, want %v A", name, wire.Name, wire.From, wire.To, got, want[row])
			}
		}
	}
}

// Two wires without ohms side by side: nothing says how the current divides.
func TestCurrentsOfARingAreNotKnown(t *testing.T) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, 12)
	b.terminal("G1:-", model.RoleReturn)
	b.device(model.Device{Ref: "E1", Kind: model.KindLamp, LoadAmps: model.Known(2), Health: model.HealthUnknown})
	b.terminal("E1:+", model.RoleFeed, 12)
	b.terminal("E1:-", model.RoleReturn)
	b.wire("G1:+", "E1:+", 0)
	b.wire("G1:+", "E1:+", 0)
	b.wire("E1:-", "G1:-", 0)
	amps := b.circuit().Currents(LoadsAsCurrents)
	if amps[0].Known || amps[1].Known || !amps[2].Known || amps[2].Value != 2 {
		t.Errorf("a double feed and a return carry %v, want not known, not known, 2 A", amps[:3])
	}
}

// What flows into a terminal flows out of it, wherever all of it is known and
// nothing but metal hangs there.
func TestCurrentsAddUpAtEveryTerminal(t *testing.T) {
	looked := 0
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Machine(rapid.Uint64Range(1, 5).Draw(t, "seed"), 600)
		for i := range m.Wires {
			if rapid.Bool().Draw(t, "without size") {
				m.Wires[i].Gauge = model.Gauge{}
			}
		}
		c := NewCircuit(m, nil)
		parts := FindParts(m)
		special := map[int]bool{}
		note := func(list ...int) {
			for _, t := range list {
				special[t] = true
			}
		}
		for _, s := range parts.Supplies {
			note(append(s.Returns, s.Rail)...)
		}
		for _, l := range parts.Loads {
			note(append(l.Returns, l.Feed)...)
		}
		for _, d := range parts.Drivers {
			note(append(append(d.Returns, d.Feeds...), d.Drive)...)
		}
		amps := c.Currents(LoadsAsCurrents)
	terminals:
		for at := range m.Terminals {
			if special[at] {
				continue
			}
			sum, size := 0.0, 0.0
			for _, id := range c.Incident(at) {
				e := c.Elements[id]
				switch {
				case !e.Present:
				case !e.Kind.Metal():
					continue terminals
				case !amps[id].Known:
					continue terminals
				case e.A == at:
					sum -= amps[id].Value
				default:
					sum += amps[id].Value
				}
				size = max(size, math.Abs(amps[id].Value))
			}
			if size > 0 {
				looked++
			}
			if math.Abs(sum) > 1e-6*(1+size) {
				t.Fatalf("%g A of %g are left over at %s", sum, size, c.Ref(at))
			}
		}
	})
	if looked < 100 {
		t.Error("currents were seen at few terminals: hardly anything was tested")
	}
}
