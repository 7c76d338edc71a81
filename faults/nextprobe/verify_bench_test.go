package nextprobe

import (
	"fmt"
	binary "math/bits"
	"slices"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// boundAsItIs is the least number of readings that prove the wires of a machine
// as it really is: those of its sound part, a broken wire taken out, so that what
// was one tree is two with more leaves in all; and for each net of the map with
// a flaw in its wires one reading that runs into it, which proves nothing. What a
// flaw splits off costs more than the map drawn whole, whoever measures.
func boundAsItIs(t testing.TB, m *model.Machine, w *truth) int {
	t.Helper()
	sound := w.Machine.Clone()
	var gone []model.Change
	nets := graphs.NewCircuit(m, nil).Nets()
	flawed := map[int]bool{}
	for _, f := range w.flaws {
		if f.kind == "short" {
			continue // isolation runs into it
		}
		if len(f.wires) > 0 {
			wire, _ := m.Wire(f.wires[0])
			flawed[nets.Of[mustIndex(m, wire.From)]] = true
		} else {
			ref, _ := model.ParseTerminalRef(f.at[0])
			flawed[nets.Of[mustIndex(m, ref)]] = true
		}
	}
	for _, wire := range sound.Wires {
		bad := wire.Name[0] == 'Z'
		for _, f := range w.flaws {
			bad = bad || slices.Contains(f.wires, wire.Name)
		}
		if bad {
			gone = append(gone, model.Change{Before: wire})
		}
	}
	apply(t, sound, gone...)
	return lowerBound(t, sound) + len(flawed)
}

// TestVerifyMeetsTheBoundOfTheMachineAsItIs: what is flawed costs no more than its own
// break, and that both sides of what is suspected are proven each by itself before it
// is looked for.
func TestVerifyMeetsTheBoundOfTheMachineAsItIs(t *testing.T) {
	const seeds, flaws = 3, 1
	spent, least := 0, 0
	for seed := range uint64(seeds) {
		m := machineOf(t, seed, 100)
		clean := m.Clone()
		r := try(t, m, seed, flaws, Options{Goal: Verify})
		spent, least = spent+r.continuity, least+boundAsItIs(t, clean, r.w)
	}
	if float64(spent) > 1.02*float64(least+seeds*flaws) {
		t.Errorf("%d readings within nets, the bound is %d", spent, least)
	}
}

// BenchmarkVerify proves machines with none, one and two flaws. Readings within
// nets stand beside the bound of the machine as it is (see boundAsItIs; what is
// read to locate a flaw proves some wires too, and is not counted, so that with
// flaws the ratio may be less than 1) and beside the plain way of one wire after
// another; readings that keep nets apart stand
// beside themselves, pair by pair, and with clip leads beside the least that
// gives each rail a number of its own, ceil(log2(1 + rails)).
func BenchmarkVerify(b *testing.B) {
	const seeds = 3
	for _, size := range []int{100, 500, 2000} {
		for flaws := range 3 {
			b.Run(fmt.Sprintf("terminals=%d/flaws=%d", size, flaws), func(b *testing.B) {
				for b.Loop() {
					var spent, least, wires, apart, bundles, leastBundles, pairs int
					for seed := range uint64(seeds) {
						m := machineOf(b, seed, size)
						clean, bundled := m.Clone(), m.Clone()
						r := try(b, m, seed, flaws, Options{Goal: Verify})
						spent, least, wires = spent+r.continuity, least+boundAsItIs(b, clean, r.w), wires+len(clean.Wires)
						apart += r.isolation
						if flaws == 0 {
							p, readings, _ := bundleSitting(b, bundled, quiet(newTruth(b, bundled, seed)))
							if got, want := p.known.Report().Proven, r.planner.known.Report().Proven; got.Separations < want.Separations {
								b.Errorf("seed %d: clip leads prove %d separations, pair by pair %d", seed, got.Separations, want.Separations)
							}
							rails, _, _ := r.planner.separable()
							bundles, leastBundles, pairs = bundles+readings, leastBundles+binary.Len(uint(len(rails))), pairs+p.known.Report().Proven.OfSeparations
						}
					}
					b.ReportMetric(float64(spent)/float64(least), "x-bound")
					b.ReportMetric(float64(spent)/seeds, "readings")
					b.ReportMetric(float64(wires)/seeds, "plain-wire-by-wire")
					b.ReportMetric(float64(apart)/seeds, "isolation")
					if flaws == 0 {
						b.ReportMetric(float64(bundles)/seeds, "isolation-clips")
						b.ReportMetric(float64(leastBundles)/seeds, "least-clips")
						b.ReportMetric(float64(pairs)/seeds, "plain-net-pairs")
					}
				}
			})
		}
	}
}
