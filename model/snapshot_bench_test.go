package model_test

import (
	"fmt"
	"testing"
	"time"

	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkSnapshot logs a reading, or changes a wire, and takes a snapshot each
// time, as a window does, on a machine of 100,000 terminals. The plain way is a
// clone after the same edit.
func BenchmarkSnapshot(b *testing.B) {
	for _, size := range []int{5000, 100000} {
		start := sample.Machine(1, size)
		number := int64(len(start.Readings))
		for name, edit := range map[string]func(m *model.Machine, i int64) model.Change{
			"reading": func(m *model.Machine, i int64) model.Change {
				return model.Change{After: model.Reading{Number: number + i, Red: m.Terminals[0].Ref(), Black: m.Terminals[1].Ref(), Mode: model.ModeVoltsDC}}
			},
			"wire": func(m *model.Machine, i int64) model.Change {
				before := m.Wires[i%int64(len(m.Wires))]
				after := before
				after.LengthMetres = model.Known(float64(i))
				return model.Change{Before: before, After: after}
			},
		} {
			b.Run(fmt.Sprintf("%s/%d", name, size), func(b *testing.B) {
				shared, plain := start.Clone(), start.Clone()
				var mine, base time.Duration
				for i := int64(1); b.Loop(); i++ {
					change := edit(plain, i)
					t0 := time.Now()
					took := shared.Apply(model.Edit{Changes: []model.Change{change}})
					s := shared.Snapshot()
					t1 := time.Now()
					same := plain.Apply(model.Edit{Changes: []model.Change{change}})
					c := plain.Clone()
					mine += t1.Sub(t0)
					base += time.Since(t1)
					if took != nil || same != nil || !model.SameRow(s.Row(change.Table(), change.After.ID()), c.Row(change.Table(), change.After.ID())) {
						b.Fatal("they differ", took, same)
					}
				}
				b.ReportMetric(float64(mine.Microseconds())/1000/float64(b.N), "ms/snapshot")
				b.ReportMetric(float64(base.Microseconds())/1000/float64(b.N), "ms/clone")
				b.ReportMetric(float64(base)/float64(mine), "x-clone")
			})
		}
	}
}
