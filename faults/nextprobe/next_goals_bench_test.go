package nextprobe

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bellout/faults"
	"bellout/model/sample"
)

// BenchmarkNextOf times the proposals of verifying and of mapping while answers
// come in: the first, which lays out what the others use, apart from the rest.
// The machines stand without readings, those to be mapped without wires. apart is
// verifying where all that conducts is proven: what is left is to keep nets apart.
func BenchmarkNextOf(b *testing.B) {
	for _, terminals := range []int{5000, 100000} {
		for _, goal := range []string{"verify", "apart", "bundles", "map"} {
			b.Run(fmt.Sprintf("terminals=%d/goal=%s", terminals, goal), func(b *testing.B) {
				for b.Loop() {
					timeNext(b, terminals, goal)
				}
			})
		}
	}
}

func timeNext(b *testing.B, terminals int, goal string) {
	b.StopTimer()
	m := withoutReadings(b, sample.Machine(1, terminals))
	w := quiet(newTruth(b, m, 1))
	options := Options{Goal: Verify, Clips: goal == "bundles"}
	if goal == "map" {
		m, options.Goal = withoutWires(b, m), Map
	}
	p := New(faults.Diagnose(m.Clone()), options)
	ask := p.Next
	if goal == "apart" || goal == "bundles" {
		ask = func() Proposal { return apartOnly(p) }
	}
	b.StartTimer()
	const most = 60
	var first time.Duration
	var asked, taken []time.Duration
	for number := range most {
		start := time.Now()
		next := ask()
		took := time.Since(start)
		if number == 0 {
			first = took
		} else {
			asked = append(asked, took)
		}
		if next.Done {
			break
		}
		reading := next.Probe.Reading(w.shows(*next.Probe))
		start = time.Now()
		take(b, m, p, reading)
		taken = append(taken, time.Since(start))
		p.Took(*next.Probe)
	}
	if len(asked) == 0 {
		b.Fatal("nothing is asked")
	}
	b.ReportMetric(milliseconds(first), "ms-first")
	b.ReportMetric(milliseconds(rank(asked, 0.5)), "ms-next-p50")
	b.ReportMetric(milliseconds(rank(asked, 0.95)), "ms-next-p95")
	b.ReportMetric(milliseconds(slices.Max(asked)), "ms-next-max")
	b.ReportMetric(milliseconds(rank(taken, 0.5)), "ms-taken-in-p50")
	b.ReportMetric(float64(len(asked)), "nexts")
}

// apartOnly proposes as if all that conducts were proven.
func apartOnly(p *Planner) Proposal {
	if proposal, found := p.verifyApart(); found {
		return proposal.worded()
	}
	return Proposal{Done: true}
}
