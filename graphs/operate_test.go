package graphs

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bellout/model"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, off float64) {
	t.Helper()
	if !(math.Abs(got-want) <= off) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// A network with a source printed beside it: a supply of source_v between its
// first and last node, node voltages against the last one. Source in the row.
func TestPrintedNodeVoltages(t *testing.T) {
	checked := 0
	for _, row := range readTable(t, "worked_circuits.csv") {
		if row["also"] == "" || !strings.HasPrefix(row["also"], "v(") || row["source_v"] == "" {
			continue
		}
		t.Run(row["id"], func(t *testing.T) {
			b := newBench(t)
			seen := map[string]bool{}
			node := func(name string) string {
				mark := "N:" + name
				if !seen[name] {
					seen[name] = true
					b.terminal(mark, model.RolePass)
				}
				return mark
			}
			for i, part := range strings.Split(row["network"], ";") {
				ends, ohms, _ := strings.Cut(part, ":")
				from, to, _ := strings.Cut(ends, "-")
				device := fmt.Sprintf("R%d", i)
				b.terminal(device+":1", model.RolePass)
				b.terminal(device+":2", model.RolePass)
				b.link(device, "1", "2", model.LinkResistance, number(t, ohms))
				b.wire(node(from), device+":1", 0)
				b.wire(device+":2", node(to), 0)
			}
			b.terminal("G1:+", model.RoleRail, number(t, row["source_v"]))
			b.terminal("G1:-", model.RoleReturn)
			b.wire("G1:+", node(row["from"]), 0)
			b.wire("G1:-", node(row["to"]), 0)
			point := b.circuit().Operate(LoadsAsResistances)
			for _, also := range strings.Split(row["also"], ";") {
				var name string
				name, want, _ := strings.Cut(strings.TrimPrefix(also, "v("), ")=")
				volts, known := point.Between(b.at("N:"+name), b.at("G1:-"))
				if !known {
					t.Fatalf("nothing fixes %s", name)
				}
				near(t, name, volts, number(t, want), 0.006)
				checked++
			}
		})
	}
	if checked < 8 {
		t.Errorf("only %d voltages checked", checked)
	}
}

// lostReturn is two loads on one return wire in a machine with a common
// negative.
func lostReturn(t failer, highVolts, highOhms, lowVolts, lowOhms float64) (*bench, *Circuit, string) {
	b := newBench(t)
	for i, volts := range []float64{highVolts, lowVolts} {
		supply := fmt.Sprintf("G%d", i+1)
		b.terminal(supply+":+", model.RoleRail, volts)
		b.terminal(supply+":-", model.RoleReturn)
		ohms := []float64{highOhms, lowOhms}[i]
		load := fmt.Sprintf("U%d", i+1)
		b.device(model.Device{Ref: load, LoadAmps: model.Known(volts / ohms)})
		b.terminal(load+":+", model.RoleFeed, volts)
		b.terminal(load+":-", model.RoleReturn)
		b.wire(supply+":+", load+":+", 0)
	}
	b.terminal("X1:1", model.RolePass)
	b.wire("G1:-", "G2:-", 0)
	b.wire("U1:-", "X1:1", 0)
	b.wire("U2:-", "X1:1", 0)
	wire := b.wire("X1:1", "G1:-", 0)
	return b, b.circuit(), wire
}

// Common practice, computed: when a shared return opens, the island settles at
// (V1/R1 + V2/R2) / (1/R1 + 1/R2) and the low-voltage load sees V2 less that.
func TestLostReturn(t *testing.T) {
	for _, row := range []struct {
		name                                  string
		highVolts, highOhms, lowVolts, lowOhm float64
		island, sees                          float64
	}{
		{"24 V solenoid of 12 ohm with a 5 V board of 50 ohm", 24, 12, 5, 50, 20.3, -15.3},
		{"48 V drive of 20 ohm with a 12 V board of 60 ohm", 48, 20, 12, 60, 39, -27},
		{"12 V lamp of 6 ohm with a 5 V board of 25 ohm", 12, 6, 5, 25, 10.6, -5.6},
	} {
		t.Run(row.name, func(t *testing.T) {
			b, c, wire := lostReturn(t, row.highVolts, row.highOhms, row.lowVolts, row.lowOhm)
			whole := c.Operate(LoadsAsResistances)
			volts, _ := whole.Between(b.at("U2:+"), b.at("U2:-"))
			near(t, "before", volts, row.lowVolts, 1e-9)
			at, _ := b.m.WireIndex(wire)
			point := c.Operate(LoadsAsResistances, ElementChange{Element: at, Ohms: math.Inf(1)})
			volts, _ = point.Between(b.at("X1:1"), b.at("G1:-"))
			near(t, "island", volts, row.island, 0.05)
			volts, _ = point.Between(b.at("U2:+"), b.at("U2:-"))
			near(t, "low-voltage device", volts, row.sees, 0.05)
		})
	}
}

// loop is a supply, a wire out, a load and a wire back.
func loop(t failer, volts, amps, outOhms, backOhms float64) (*bench, *Circuit) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, volts)
	b.terminal("G1:-", model.RoleReturn)
	b.device(model.Device{Ref: "E1", LoadAmps: model.Known(amps)})
	b.terminal("E1:+", model.RoleFeed, volts)
	b.terminal("E1:-", model.RoleReturn)
	b.wire("G1:+", "E1:+", outOhms)
	b.wire("E1:-", "G1:-", backOhms)
	return b, b.circuit()
}

func dropOf(b *bench, c *Circuit, volts float64) float64 {
	sees, _ := c.Operate(LoadsAsCurrents).Between(b.at("E1:+"), b.at("E1:-"))
	return volts - sees
}

const metresPerFoot = 0.3048

// Gauge and sum together: the rows of the army table, out and back. Its two
// rows of 1.2 V are truncated from 1.26.
func TestVoltageDropOfAGauge(t *testing.T) {
	for _, row := range readTable(t, "voltage_drop_examples.csv") {
		if !strings.HasPrefix(row["id"], "tm") {
			continue
		}
		t.Run(row["id"], func(t *testing.T) {
			gauge := model.Gauge{System: model.GaugeAWG, AWG: int(number(t, row["awg"]))}
			each := CopperOhmsPerMetre(gauge, 20) * number(t, row["run_ft"]) * metresPerFoot
			b, c := loop(t, 28, number(t, row["amps"]), each, each)
			near(t, row["source"], dropOf(b, c, 28), number(t, row["drop_v_published"]), 0.07)
		})
	}
}

// The sum alone, with the ohms per foot that the table prints for one conductor
// of the whole length. The third row of 11-7 and the second of 11-8 print a
// check value that is not the product of what stands beside it; there the
// product counts.
func TestVoltageDropSum(t *testing.T) {
	for i, row := range readTable(t, "faa_table_11_7_11_8.csv") {
		t.Run(fmt.Sprintf("%s row %d", row["table"], i), func(t *testing.T) {
			ohms := number(t, row["ohm_per_ft_printed"]) * number(t, row["run_ft"])
			b, c := loop(t, 28, number(t, row["amps"]), ohms, 0)
			want := row["drop_v_printed"]
			if strings.Contains(row["note"], "misprint") {
				want = row["drop_v_from_printed_r"]
			}
			near(t, row["source"], dropOf(b, c, 28), number(t, want), 0.01)
		})
	}
}

// FAA AC 43.13-1B chg 1 example 1, page 11-26: 28 V, 20 A continuous, 50 ft;
// Table 11-6 allows 1 V. 8 AWG passes, 10 AWG does not, by the ohms that
// Table 11-9 prints for tin-plated wire; plain copper of 10 AWG would pass by a
// hair, so the gauge table is not for this test.
func TestAllowedDrop(t *testing.T) {
	allowed := 0.0
	for _, row := range readTable(t, "faa_table_11_6.csv") {
		if row["nominal_v"] == "28" && row["duty"] == "continuous" {
			allowed = number(t, row["allowed_drop_v"])
		}
	}
	for _, row := range []struct {
		awg              string
		ohmsPer1000ft    float64
		passes           bool
		printedDropVolts float64
	}{{"8", 0.70, true, 0.70}, {"10", 1.26, false, 1.26}} {
		b, c := loop(t, 28, 20, row.ohmsPer1000ft*50/1000, 0)
		drop := dropOf(b, c, 28)
		near(t, "AWG "+row.awg, drop, row.printedDropVolts, 0.005)
		if got := drop <= allowed; got != row.passes {
			t.Errorf("AWG %s drops %v V of %v", row.awg, drop, allowed)
		}
	}
}

func TestDriversAndFlyback(t *testing.T) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, 24)
	b.terminal("G1:-", model.RoleReturn)
	b.device(model.Device{Ref: "Q1"})
	b.terminal("Q1:GND", model.RoleReturn)
	b.terminal("Q1:OUT1", model.RoleDrive)
	b.terminal("Q1:OUT2", model.RoleDrive)
	b.device(model.Device{Ref: "Y1", LoadAmps: model.Known(2.0)})
	b.terminal("Y1:1", model.RoleFeed, 24)
	b.terminal("Y1:2", model.RoleReturn)
	b.link("Y1", "1", "2", model.LinkResistance, 12)
	b.link("Y1", "2", "1", model.LinkDiode, 0)
	b.terminal("X1:1", model.RolePass)
	b.wire("G1:+", "Y1:1", 0.1)
	b.wire("Y1:2", "Q1:OUT1", 0.2)
	b.wire("Q1:GND", "G1:-", 0.3)
	c := b.circuit()
	point := c.Operate(LoadsAsCurrents)
	volts, _ := point.Between(b.at("Y1:1"), b.at("Y1:2"))
	near(t, "coil", volts, 24-2*(0.1+0.2+0.3), 1e-9)
	volts, _ = point.Between(b.at("Q1:OUT1"), b.at("G1:-"))
	near(t, "output", volts, 2*0.3, 1e-9)
	if _, known := point.Between(b.at("X1:1"), b.at("G1:-")); known {
		t.Error("a terminal that nothing joins has volts")
	}
	if point.Island[b.at("X1:1")] != -1 || !math.IsNaN(point.Volts[b.at("X1:1")]) {
		t.Error("a lone terminal has an island")
	}
	volts, _ = c.Operate(LoadsAsResistances).Between(b.at("Y1:1"), b.at("Y1:2"))
	near(t, "coil as a resistance", volts, 24*12/12.6, 1e-9)
}

// An output that sits on a rail, or on a supply's return, is left alone: joined
// to its driver's return it would be a dead short.
func TestDriverOnARailIsLeftAlone(t *testing.T) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail, 24)
	b.terminal("G1:-", model.RoleReturn)
	b.terminal("Q1:GND", model.RoleReturn)
	b.terminal("Q1:OUT", model.RoleDrive)
	b.wire("Q1:GND", "G1:-", 0.1)
	b.wire("Q1:OUT", "G1:+", 0.1)
	point := b.circuit().Operate(LoadsAsCurrents)
	volts, _ := point.Between(b.at("Q1:OUT"), b.at("Q1:GND"))
	near(t, "output", volts, 24, 1e-12)
	if len(point.Fighting) != 0 {
		t.Errorf("fighting: %v", point.Fighting)
	}
}

func TestDiodesChooseTheHigherSupply(t *testing.T) {
	b := newBench(t)
	for i, volts := range []float64{12, 14} {
		supply := fmt.Sprintf("G%d", i+1)
		b.terminal(supply+":+", model.RoleRail, volts)
		b.terminal(supply+":-", model.RoleReturn)
		b.terminal(fmt.Sprintf("D%d:A", i+1), model.RolePass)
		b.terminal(fmt.Sprintf("D%d:K", i+1), model.RolePass)
		b.link(fmt.Sprintf("D%d", i+1), "A", "K", model.LinkDiode, 0)
		b.wire(supply+":+", fmt.Sprintf("D%d:A", i+1), 0)
	}
	b.device(model.Device{Ref: "E1", LoadAmps: model.Known(1.0)})
	b.terminal("E1:+", model.RoleFeed, 12)
	b.terminal("E1:-", model.RoleReturn)
	b.wire("D1:K", "E1:+", 0)
	b.wire("D2:K", "E1:+", 0)
	b.wire("G1:-", "E1:-", 0)
	b.wire("G2:-", "E1:-", 0)
	point := b.circuit().Operate(LoadsAsCurrents)
	volts, _ := point.Between(b.at("E1:+"), b.at("E1:-"))
	near(t, "load", volts, 14, 1e-5)
	if len(point.Fighting) != 0 || !point.Drawing[0] {
		t.Errorf("fighting %v, drawing %v", point.Fighting, point.Drawing)
	}
}

func TestCrossedRailsDoNotBlowUp(t *testing.T) {
	b := newBench(t)
	for i, volts := range []float64{12, 24} {
		supply := fmt.Sprintf("G%d", i+1)
		b.terminal(supply+":+", model.RoleRail, volts)
		b.terminal(supply+":-", model.RoleReturn)
	}
	b.wire("G1:-", "G2:-", 0)
	b.wire("G1:+", "G2:+", 0)
	point := b.circuit().Operate(LoadsAsCurrents)
	if len(point.Fighting) != 1 || b.m.Terminals[FindParts(b.m).Supplies[point.Fighting[0]].Rail].Device != "G2" {
		t.Errorf("fighting: %v", point.Fighting)
	}
	volts, _ := point.Between(b.at("G2:+"), b.at("G2:-"))
	near(t, "both rails", volts, 12, 1e-12)

	b = newBench(t)
	for i, volts := range []float64{12, 24} {
		supply := fmt.Sprintf("G%d", i+1)
		b.terminal(supply+":+", model.RoleRail, volts)
		b.terminal(supply+":-", model.RoleReturn)
	}
	b.wire("G1:-", "G2:-", 0)
	b.terminal("X1:1", model.RolePass)
	b.wire("G1:+", "X1:1", 0.1)
	b.wire("X1:1", "G2:+", 0.3)
	point = b.circuit().Operate(LoadsAsCurrents)
	volts, _ = point.Between(b.at("X1:1"), b.at("G1:-"))
	near(t, "between two rails through copper", volts, 15, 1e-9)
}

// A loop that is not closed draws nothing, and a reversed load neither.
func TestOnlyAClosedLoopDraws(t *testing.T) {
	b, c := loop(t, 24, 3, 0.5, 0.5)
	open := c.Operate(LoadsAsCurrents, ElementChange{Element: 1, Ohms: math.Inf(1)})
	if open.Drawing[0] {
		t.Error("draws without a return")
	}
	volts, _ := open.Between(b.at("E1:+"), b.at("G1:-"))
	near(t, "feed", volts, 24, 1e-12)
	closed := c.Operate(LoadsAsCurrents)
	volts, _ = closed.Between(b.at("E1:+"), b.at("E1:-"))
	near(t, "load", volts, 21, 1e-9)
}

// Against a dense nodal analysis: supplies that share one return, resistances
// between rails, and between them and inner nodes.
func TestOperateEqualsDenseNodalAnalysis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench(t)
		rails := rapid.IntRange(1, 4).Draw(t, "rails")
		inner := rapid.IntRange(1, 12).Draw(t, "inner")
		b.terminal("X:0", model.RolePass)
		var fixed []float64
		for i := range rails {
			volts := rapid.Float64Range(-48, 48).Draw(t, "volts")
			b.terminal(fmt.Sprintf("G%d:+", i), model.RoleRail, volts)
			b.terminal(fmt.Sprintf("G%d:-", i), model.RoleReturn)
			b.wire(fmt.Sprintf("G%d:-", i), "X:0", 0)
			fixed = append(fixed, volts)
		}
		name := func(i int) string { // 0: ground; then rails; then inner nodes
			switch {
			case i == 0:
				return "X:0"
			case i <= rails:
				return fmt.Sprintf("G%d:+", i-1)
			default:
				return fmt.Sprintf("X:%d", i)
			}
		}
		for i := range inner {
			b.terminal(name(1+rails+i), model.RolePass)
		}
		conductance := mat.NewSymDense(inner, nil)
		in := mat.NewVecDense(inner, nil)
		first := 1 + rails
		join := func(x, y int) {
			ohms := rapid.Float64Range(0.01, 100).Draw(t, "ohms")
			b.wire(name(x), name(y), ohms)
			for _, pair := range [2][2]int{{x, y}, {y, x}} {
				at, other := pair[0]-first, pair[1]
				if at < 0 {
					continue
				}
				conductance.SetSym(at, at, conductance.At(at, at)+1/ohms)
				switch {
				case other >= first:
					if at < other-first {
						conductance.SetSym(at, other-first, conductance.At(at, other-first)-1/ohms)
					}
				case other > 0:
					in.SetVec(at, in.AtVec(at)+fixed[other-1]/ohms)
				}
			}
		}
		for x := first; x < first+inner; x++ {
			join(x, rapid.IntRange(0, x-1).Draw(t, "to"))
		}
		for range rapid.IntRange(0, 2*inner).Draw(t, "loops") {
			x, y := rapid.IntRange(0, first+inner-1).Draw(t, "x"), rapid.IntRange(0, first+inner-1).Draw(t, "y")
			if x != y {
				join(x, y)
			}
		}
		point := b.circuit().Operate(LoadsAsCurrents)
		var cholesky mat.Cholesky
		if !cholesky.Factorize(conductance) {
			t.Fatal("the oracle fails")
		}
		var want mat.VecDense
		if err := cholesky.SolveVecTo(&want, in); err != nil {
			t.Fatal(err)
		}
		for i := range inner {
			got, known := point.Between(b.at(name(first+i)), b.at("X:0"))
			if !known || math.Abs(got-want.AtVec(i)) > 1e-9*48 {
				t.Fatalf("%s: %v V, dense %v", name(first+i), got, want.AtVec(i))
			}
		}
	})
}
