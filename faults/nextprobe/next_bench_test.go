package nextprobe

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkNext times the proposals while faults are located one after another
// on a machine whose readings are stored already, answers coming in: the
// median, the 95th of a hundred and the slowest of all Next, and what it takes
// to take an answer in. The first proposal of all stands apart: it lays out what
// the others use.
func BenchmarkNext(b *testing.B) {
	for _, terminals := range []int{5000, 100000} {
		b.Run(fmt.Sprint("terminals=", terminals), func(b *testing.B) {
			for b.Loop() {
				m := sample.Machine(1, terminals)
				w := newTruth(b, withoutReadings(b, m), 1)
				for _, kind := range []string{"open", "joint", "short", "swapped", "high", "open"} {
					w.plant(b, kind)
				}
				p := New(faults.Diagnose(m.Clone()), Options{})
				start := time.Now()
				p.Next()
				first := time.Since(start)
				var asked, taken []time.Duration
				answer := func(probe Probe) {
					reading := probe.Reading(w.shows(probe))
					start := time.Now()
					take(b, m, p, reading)
					taken = append(taken, time.Since(start))
					p.Took(probe)
				}
				for _, f := range w.flaws {
					answer(symptomOf(b, m, f))
					for range 40 {
						start := time.Now()
						next := p.Next()
						asked = append(asked, time.Since(start))
						if next.Done || next.Goal != Locate {
							break
						}
						answer(*next.Probe)
					}
				}
				b.ReportMetric(milliseconds(first), "ms-first")
				b.ReportMetric(milliseconds(rank(asked, 0.5)), "ms-next-p50")
				b.ReportMetric(milliseconds(rank(asked, 0.95)), "ms-next-p95")
				b.ReportMetric(milliseconds(slices.Max(asked)), "ms-next-max")
				b.ReportMetric(milliseconds(rank(taken, 0.5)), "ms-taken-in-p50")
				b.ReportMetric(milliseconds(slices.Max(taken)), "ms-taken-in-max")
				b.ReportMetric(float64(len(asked)), "nexts")
			}
		})
	}
}

// symptomOf is the touch that first shows a flaw: from end to end of a chain that
// a wire lies in, or rail to return where two nets touch.
func symptomOf(b *testing.B, m *model.Machine, f flaw) Probe {
	b.Helper()
	if len(f.wires) > 0 {
		wire, found := m.Wire(f.wires[0])
		if !found {
			b.Fatal("no wire ", f.wires[0])
		}
		return chainOver(m, wire)
	}
	red, err := model.ParseTerminalRef(f.at[0])
	if err != nil {
		b.Fatal(err)
	}
	if len(f.at) > 1 {
		black, err := model.ParseTerminalRef(f.at[1])
		if err != nil {
			b.Fatal(err)
		}
		return Probe{Red: red, Black: black, Mode: model.ModeOhms}
	}
	for _, wire := range m.Wires {
		if wire.From == red && !wire.Removed {
			return chainOver(m, wire)
		}
	}
	b.Fatal("no wire at ", red)
	return Probe{}
}

// chainOver goes on from both ends of a wire, over some metal.
func chainOver(m *model.Machine, wire model.Wire) Probe {
	c := graphs.NewCircuit(m, nil)
	row, _ := m.WireIndex(wire.Name)
	seen := map[int]bool{mustIndex(m, wire.From): true, mustIndex(m, wire.To): true}
	last := func(t int) model.TerminalRef {
		for range 12 {
			next := -1
			for _, id := range c.Incident(t) {
				if far := c.Far(int(id), t); int(id) != row && c.Elements[id].Joins() && !seen[far] {
					next = far
				}
			}
			if next < 0 {
				break
			}
			seen[next], t = true, next
		}
		return c.Ref(t)
	}
	return Probe{Red: last(mustIndex(m, wire.From)), Black: last(mustIndex(m, wire.To)), Mode: model.ModeOhms}
}

func milliseconds(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// rank is the part-th smallest of some durations.
func rank(list []time.Duration, part float64) time.Duration {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[min(int(part*float64(len(sorted))), len(sorted)-1)]
}
