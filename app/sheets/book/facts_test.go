package book

import (
	"slices"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/model"
)

func factsOf(t *testing.T, m *model.Machine) *facts {
	t.Helper()
	f, err := newFacts(t.Context(), Job{Title: "x", Machine: m, Now: noon}, func(string, int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestWhereToIsolateAndWhereZeroVoltsMeetsEarth(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsRepaired))
	iso := f.isolation()
	if len(iso.inlets) != 1 || iso.inlets[0].Ref != "X1" || !slices.Equal(iso.switches, []string{"Q1"}) || !slices.Equal(iso.live, []string{"X1", "Q1"}) {
		t.Errorf("isolation %v, switches %v, live %v; the plug is at X1, the switch Q1", iso.inlets, iso.switches, iso.live)
	}
	bonds, floating := f.bonds()
	if len(bonds) != 1 || bonds[0].wire != "W34" || bonds[0].from.String() != "X20:6" {
		t.Errorf("bonds %v; the one bond is W34 at X20:6", bonds)
	}
	if !slices.Equal(floating, []string{"G5"}) {
		t.Errorf("floating %v; G5 floats on purpose", floating)
	}
	charges := f.charges()
	if len(charges) != 1 || charges[0].device != "G3" || charges[0].joules().Value < 3.04 || charges[0].joules().Value > 3.05 { // 4700 uF at 36 V: half of 0.0047 x 1296
		t.Errorf("charges %v; G3 holds 3.05 J", charges)
	}
}

// A wire that joins +36 V to +24 V must not make 36 V the volts at which to stop
// on a plug that is meant for 24 V.
func TestStopValuesAreThoseThatAreMeant(t *testing.T) {
	for _, state := range assets.DemoStates {
		f := factsOf(t, demo(t, state))
		b := &bringUp{facts: f, outputs: f.outputs()}
		found := 0
		for _, d := range f.devicesOf(model.KindConnector) {
			table := &table{}
			b.plugRows(table, d)
			for _, r := range table.rows {
				terminal, rail, limits := r.cells[1].text, r.cells[3].text, r.cells[4].text
				if terminal == "J1:A1" || terminal == "J2:A1" || terminal == "J7:A14" {
					found++
					if rail != "+24 V" || limits != "21.6 to 26.4 V" {
						t.Errorf("%s: %s is to be measured as %s, %s; it carries +24 V", state, terminal, rail, limits)
					}
				}
				if black := r.cells[2].text; strings.Contains(black, "G3") && rail != "+36 V" {
					t.Errorf("%s: %s on %s is to be measured against %s", state, terminal, rail, black)
				}
			}
		}
		if found != 3 {
			t.Errorf("%s: %d of the three pins with +24 V are in the plan", state, found)
		}
	}
	if text := written(t, Job{Title: "x", Machine: demo(t, assets.AsFound), Now: noon}, "bringup"); !strings.Contains(text, "Not yet: 5 faults open") {
		t.Error("the plan of a machine with open faults does not say so first")
	}
}

func TestFusesAreHeldAgainstTheirOwnCurrent(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsRepaired))
	amps := map[string]float64{}
	for _, g := range f.guards() {
		amps[g.link.Device] = g.amps
		if v := g.verdict().text; strings.Contains(v, "smaller") || strings.Contains(v, "LARGE") {
			t.Errorf("%s: %s; the demo machine is fused well", g.link.Device, v)
		}
	}
	for fuse, want := range map[string]float64{"F1": 3, "F6": 1, "F9": 2, "F21": 1.5, "F12": 0.4} {
		if got := amps[fuse]; got < want-1e-6 || got > want+1e-6 {
			t.Errorf("%s carries %g A, its loads draw %g A", fuse, got, want)
		}
	}
}

func TestNoProbesAboveExtraLowVoltage(t *testing.T) {
	m := demo(t, assets.AsRepaired).Clone()
	for i := range m.Terminals {
		if m.Terminals[i].Device == "G3" && m.Terminals[i].Role == model.RoleRail {
			m.Terminals[i].Volts = model.Known(110)
		}
	}
	text := written(t, Job{Title: "x", Machine: m, Now: noon}, "loadtest")
	if !strings.Contains(text, "60 V or more") || strings.Contains(text, "red G3:+") {
		t.Error("probes are named on a rail of 110 V")
	}
	f := factsOf(t, m)
	if f.noProbe(outputOf(t, f, "G3")) == "" || f.noProbe(outputOf(t, f, "G1")) != "" {
		t.Error("110 V is probed live, or 24 V is not")
	}
}

func outputOf(t *testing.T, f *facts, device string) *output {
	t.Helper()
	for _, o := range f.outputs() {
		if o.device == device {
			return o
		}
	}
	t.Fatal(device)
	return nil
}

func TestHalvesOfAPlug(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsRepaired))
	first, second, mate := f.halves("J7")
	if first.name != "half A" || second.name != "half B" || len(first.pins) != 16 || len(second.pins) != 16 || first.pins[0] != "A1" || !slices.Equal(mate["A12"], []string{"B12"}) {
		t.Errorf("halves of J7: %v, %v, A12 mates with %v", first, second, mate["A12"])
	}
}

func TestSurenessPromisesNoMoreThanTheMap(t *testing.T) {
	for confidence, want := range map[float64]string{1: "by the map", 0.993: "99 %", 0.62: "62 %", 0.002: "under 1 %", 0: "0 %"} {
		if got := sureness(confidence); got != want {
			t.Errorf("%v: %q, want %q", confidence, got, want)
		}
	}
}
