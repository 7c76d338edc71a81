package changes

import (
	"math"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Of every device of the demo machine: what has a meter in it is offered to the
// bench, each with a caution; no probe is live on the mains side, none live above
// extra-low voltage, and what is live says so.
func TestTheBenchIsOfferedTheMeasurementsOfAReplacement(t *testing.T) {
	live, dead := 0, 0
	for _, state := range []string{assets.AsFound, assets.AsRepaired} {
		m := demo(t, state)
		known := faults.Diagnose(m)
		nets := known.Analysis().AsDrawn.Nets()
		for _, d := range m.Devices {
			sheet, err := Replace(known, d.Ref)
			if err != nil {
				t.Fatal(err)
			}
			measured := 0
			for _, s := range sheet.Steps {
				if s.Probe != nil {
					measured++
				}
			}
			list := sheet.Proposals()
			if len(list) != measured {
				t.Errorf("%s: %d of %d measurements are offered", d.Ref, len(list), measured)
			}
			for _, p := range list {
				if p.Caution == "" || p.Why == "" || len(p.Prepare) == 0 {
					t.Errorf("%s: a probe without a caution: %+v", d.Ref, p)
				}
				if !p.Probe.Mode.Volts() {
					dead++
					continue
				}
				live++
				if !strings.Contains(p.Why, "live test") {
					t.Errorf("%s: a live probe does not say so: %s", d.Ref, p.Why)
				}
				for _, tip := range []model.TerminalRef{p.Probe.Red, p.Probe.Black} {
					at, _ := m.TerminalIndex(tip)
					if net := nets.Net(at); net.Kind.Mains() || net.Kind == graphs.NetEarth {
						t.Errorf("%s: a live probe at %s, on %s", d.Ref, tip, net.Name)
					}
				}
				x, err := faults.Expect(m, p.Probe.Red, p.Probe.Black, model.ModeVoltsDC, p.Probe.Conditions)
				if err != nil || x.Known && math.Abs(x.Volts.Value) >= judge.LiveProbeDC {
					t.Errorf("%s: a live probe at %v V, %v", d.Ref, x.Volts, err)
				}
			}
		}
	}
	if live < 20 || dead < 200 {
		t.Errorf("only %d live and %d dead probes were looked at", live, dead)
	}
}
