package graphs

import (
	"math"
	"testing"

	"bellout/model"
)

// behindOpenSwitch is a lamp of 12 V and 2 A behind a switch that is open, alone on its
// supply.
func behindOpenSwitch(t *testing.T) *bench {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, 12)
	b.terminal("G1:-", model.RoleReturn)
	b.terminal("S1:1", model.RolePass)
	b.terminal("S1:2", model.RolePass)
	b.link("S1", "1", "2", model.LinkContact, 0)
	b.device(model.Device{Ref: "E1", LoadAmps: model.Known(2)})
	b.terminal("E1:+", model.RoleFeed, 12)
	b.terminal("E1:-", model.RoleReturn)
	b.link("E1", "+", "-", model.LinkResistance, 1)
	b.wire("G1:+", "S1:1", 0.1)
	b.wire("S1:2", "E1:+", 0.1)
	b.wire("E1:-", "G1:-", 0.1)
	return b
}

func TestALampBehindAnOpenSwitchHangsOnItsOtherEnd(t *testing.T) {
	b := behindOpenSwitch(t)
	point := b.circuit().Operate(LoadsAsCurrents)
	for _, c := range []struct {
		red, black string
		want       float64
	}{{"E1:+", "E1:-", 0}, {"S1:1", "S1:2", 12}, {"G1:+", "E1:+", 12}, {"G1:+", "G1:-", 12}} {
		volts, known := point.Between(b.at(c.red), b.at(c.black))
		if !known {
			t.Errorf("%s to %s: nothing fixes it, want %v V", c.red, c.black, c.want)
			continue
		}
		near(t, c.red+" to "+c.black, volts, c.want, 1e-9)
	}
	for load, draws := range point.Drawing {
		if draws {
			t.Errorf("load %d draws behind an open switch", load)
		}
	}
}

// A lamp that two open contacts cut off at both ends floats: nothing is known.
func TestALampCutOffAtBothEndsFloats(t *testing.T) {
	b := behindOpenSwitch(t)
	point := b.circuit().Under(model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "W3"})).Operate(LoadsAsCurrents)
	if volts, known := point.Between(b.at("E1:+"), b.at("G1:-")); known {
		t.Errorf("E1:+ has %v V, want nothing that fixes it", volts)
	}
	if volts, known := point.Between(b.at("E1:+"), b.at("E1:-")); known && volts != 0 {
		t.Errorf("across the lamp: %v V", volts)
	}
}

// A lamp on a rail of unknown volts: no number, though the lamp joins the rail
// to 0 V. What another supply fixes on the same 0 V keeps its volts.
func TestARailOfUnknownVoltsLeavesItsLampUnknown(t *testing.T) {
	for _, loads := range []LoadModel{LoadsAsCurrents, LoadsAsResistances} {
		b := newBench(t)
		b.terminal("G1:+", model.RoleRail)
		b.terminal("G1:-", model.RoleReturn)
		b.terminal("G2:+", model.RoleRail, 5)
		b.terminal("G2:-", model.RoleReturn)
		b.device(model.Device{Ref: "E1", LoadAmps: model.Known(2)})
		b.terminal("E1:+", model.RoleFeed, 12)
		b.terminal("E1:-", model.RoleReturn)
		b.wire("G1:+", "E1:+", 0.1)
		b.wire("E1:-", "G2:-", 0.1)
		b.wire("G2:-", "G1:-", 0.1)
		point := b.circuit().Operate(loads)
		for _, pair := range [][2]string{{"G1:+", "G1:-"}, {"E1:+", "E1:-"}, {"G2:+", "G1:+"}} {
			if volts, known := point.Between(b.at(pair[0]), b.at(pair[1])); known {
				t.Errorf("%s to %s: %v V, want nothing known", pair[0], pair[1], volts)
			}
		}
		if volts, known := point.Between(b.at("G2:+"), b.at("E1:-")); !known || math.Abs(volts-5) > 1e-6 {
			t.Errorf("G2:+ to E1:-: %v, %v; want 5 V", volts, known)
		}
		b.wire("G1:+", "G2:+", 0)
		if volts, known := b.circuit().Operate(loads).Between(b.at("G1:+"), b.at("G2:-")); !known || math.Abs(volts-5) > 1e-6 {
			t.Errorf("a rail that another source fixes: %v, %v; want 5 V", volts, known)
		}
	}
}
