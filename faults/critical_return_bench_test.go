package faults

import (
	"fmt"
	"testing"
	"time"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkCriticalReturn opens every piece of the returns of a machine. The
// baseline is what one opening costs when the machine is worked out from nothing.
func BenchmarkCriticalReturn(b *testing.B) {
	for _, size := range []int{5_000, 100_000} {
		sound := sample.Machine(1, size)
		for name, m := range map[string]*model.Machine{"apart": sound, "shared": shared(b, sound)} {
			b.Run(fmt.Sprintf("%d/%s", size, name), func(b *testing.B) {
				bench := layOut(m)
				bench.On()
				bench.ailingLoads()
				w := newWiringOf(bench, bench.On())
				pieces := w.returnPieces()
				var spent, anew time.Duration
				critical := 0
				for b.Loop() {
					t0 := time.Now()
					critical = len(criticalOf(bench))
					t1 := time.Now()
					bench.On().Operate(graphs.LoadsAsResistances, graphs.ElementChange{Element: pieces[len(pieces)/2], Ohms: 1e9})
					spent, anew = spent+t1.Sub(t0), anew+time.Since(t1)
				}
				b.ReportMetric(float64(spent.Milliseconds())/float64(b.N), "ms")
				b.ReportMetric(float64(len(pieces)), "pieces")
				b.ReportMetric(float64(critical), "findings")
				b.ReportMetric(float64(anew)*float64(len(pieces))/float64(spent), "x-anew")
			})
		}
	}
}

// shared lays the 5 V returns of every other group onto the block of the group's
// other supply, so that one way home serves two rails.
func shared(b *testing.B, sound *model.Machine) *model.Machine {
	m := sound.Clone()
	parts := graphs.FindParts(m)
	var edit model.Edit
	for i := 0; i+1 < len(parts.Supplies); i += 4 {
		power, logic := parts.Supplies[i], parts.Supplies[i+1]
		var trunk model.Wire // from the power supply's return to its block
		for _, wire := range m.Wires {
			if wire.From == m.Terminals[power.Returns[0]].Ref() && wire.Gauge.AreaMM2 == 4 && wire.To.Device != trunk.To.Device {
				trunk = wire
			}
		}
		for _, wire := range m.Wires {
			if wire.From == m.Terminals[logic.Returns[0]].Ref() && wire.Gauge.AreaMM2 == 2.5 {
				moved := wire
				moved.From = trunk.To
				edit.Changes = append(edit.Changes, model.Change{Before: wire, After: moved})
			}
		}
	}
	if err := m.Apply(edit); err != nil {
		b.Fatal(err)
	}
	return m
}
