package layout

import (
	"context"
	"fmt"
	"testing"
	"time"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
)

// plain is the plain way: boxes in rows in the order of the file, each wire in
// three straight runs from port to port.
func plain(m *model.Machine) *Plan {
	s := newSheet(context.Background(), m, Options{})
	b := newBuilder(s)
	votes := make([]int, len(s.terminals))
	x, y, tall, area := 0.0, 0.0, 0.0, 0.0
	forms := make([]*form, len(s.devices))
	for d := range s.devices {
		forms[d] = s.shape(d, votes)
		area += (forms[d].width + 64) * (forms[d].height + 64)
	}
	for d, f := range forms {
		if x > 0 && x*x > area*1.5 {
			x, y, tall = 0, y+tall+64, 0
		}
		b.box(d, f, Point{x, y}, 0)
		x += f.width + 64
		tall = max(tall, f.height)
	}
	for i, w := range s.wires {
		from, to := b.port[w.from], b.port[w.to]
		a, z := b.plan.Boxes[from.Box].Ports[from.Port].At, b.plan.Boxes[to.Box].Ports[to.Port].At
		mid := (a.X + z.X) / 2
		b.route(i, straighten([]Point{a, {mid, a.Y}, {mid, z.Y}, z}))
	}
	return b.finish()
}

func BenchmarkCompute(b *testing.B) {
	machines := []struct {
		name string
		m    *model.Machine
	}{{"demo", demo(b, assets.AsFound)}}
	for _, size := range []int{1500, 5000, 14500} {
		m := sample.Machine(1, size)
		machines = append(machines, struct {
			name string
			m    *model.Machine
		}{fmt.Sprintf("%d-devices", len(m.Devices)), m})
	}
	for _, machine := range machines {
		b.Run(machine.name, func(b *testing.B) {
			var mine, base time.Duration
			var ours, theirs *Plan
			for b.Loop() {
				t0 := time.Now()
				ours = compute(b, machine.m, Options{})
				t1 := time.Now()
				theirs = plain(machine.m)
				mine += t1.Sub(t0)
				base += time.Since(t1)
				if len(ours.Wires) != len(theirs.Wires) || len(ours.Boxes) != len(theirs.Boxes) {
					b.Fatalf("%d wires, plain %d", len(ours.Wires), len(theirs.Wires))
				}
			}
			q, p := Measured(ours), Measured(theirs)
			b.ReportMetric(float64(q.Crossings), "crossings")
			b.ReportMetric(float64(p.Crossings)/float64(max(1, q.Crossings)), "x-plain-crossings")
			b.ReportMetric(float64(q.Bends)/float64(max(1, len(ours.Wires))), "bends/wire")
			b.ReportMetric(q.Length/float64(max(1, len(ours.Wires))), "units/wire")
			b.ReportMetric(p.Length/max(1, q.Length), "x-plain-length")
			b.ReportMetric(float64(p.OverlapRuns+p.Touches+p.ThroughBoxes+p.OverlapLabels), "plain-overlaps")
			b.ReportMetric(float64(mine)/float64(base), "x-plain-time")
		})
	}
}

// BenchmarkKeep measures one change against placing everything again.
func BenchmarkKeep(b *testing.B) {
	for _, name := range []string{"demo", "2000-devices"} {
		m := demo(b, assets.AsFound)
		drag := "F1"
		if name != "demo" {
			m, drag = sample.Machine(1, 14500), "A5"
		}
		before := compute(b, m, Options{})
		at := before.Positions()[drag]
		b.Run(name, func(b *testing.B) {
			var mine, base time.Duration
			for b.Loop() {
				t0 := time.Now()
				compute(b, m, Options{Previous: before, Pinned: map[string]Point{drag: {at.X, at.Y + 24}}})
				t1 := time.Now()
				compute(b, m, Options{})
				mine += t1.Sub(t0)
				base += time.Since(t1)
			}
			b.ReportMetric(float64(mine.Milliseconds())/float64(b.N), "ms/drag")
			b.ReportMetric(float64(base)/float64(mine), "x-afresh")
		})
	}
}
