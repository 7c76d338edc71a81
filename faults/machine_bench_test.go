package faults

import (
	"testing"
	"time"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkOwnRules lays out the bench and runs the ten rules on crossings,
// returns, earth and dead feeds over a generated machine, whole and with one
// rail crossed into another. The baseline is one plain look at every net.
func BenchmarkOwnRules(b *testing.B) {
	sound := sample.Machine(1, 100_000)
	crossed := sound.Clone()
	parts := graphs.FindParts(crossed)
	wire := model.Wire{
		Name: "W-cross", From: crossed.Terminals[parts.Supplies[0].Rail].Ref(), To: crossed.Terminals[parts.Supplies[3].Rail].Ref(), Basis: model.BasisPlanned,
	}
	if err := crossed.Apply(model.Edit{Changes: []model.Change{{After: wire}}}); err != nil {
		b.Fatal(err)
	}
	for name, m := range map[string]*model.Machine{"sound": sound, "crossed": crossed} {
		b.Run(name, func(b *testing.B) {
			var lay, rules, base time.Duration
			for b.Loop() {
				t0 := time.Now()
				bench := layOut(m)
				t1 := time.Now()
				list := ownFindings(bench)
				t2 := time.Now()
				nets := graphs.NewCircuit(m, nil).Nets()
				lay, rules, base = lay+t1.Sub(t0), rules+t2.Sub(t1), base+time.Since(t2)
				if faultsIn(list) != len(bench.NetBridges) || len(nets.List) == 0 {
					b.Fatalf("%d crossings, found\n%s", len(bench.NetBridges), briefs(list))
				}
			}
			b.ReportMetric(float64(lay.Milliseconds())/float64(b.N), "ms-layout")
			b.ReportMetric(float64(rules.Milliseconds())/float64(b.N), "ms-rules")
			b.ReportMetric(float64(lay+rules)/float64(base), "x-nets")
		})
	}
}

func faultsIn(list []Finding) int {
	count := 0
	for _, f := range list {
		if f.Severity == Fault {
			count++
		}
	}
	return count
}
