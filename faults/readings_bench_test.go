package faults

import (
	"fmt"
	"testing"
	"time"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model/sample"
)

// BenchmarkReadings judges, explains and proves 10,000 readings of a sound
// machine of 100,000 terminals, the bench laid out already.
func BenchmarkReadings(b *testing.B) {
	m := sample.Machine(1, 100_000)
	readings := m.Readings
	m.Readings = nil
	bench := NewAnalysis(m)
	bench.AsDrawn.Ohms(0, 1) // the elimination belongs to the circuit
	m.Readings = readings
	for b.Loop() {
		bench.explainReadings()
		if n := len(bench.explained); n > 0 {
			b.Fatalf("%d rules fire on a sound machine", n)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/10k-readings")
}

// BenchmarkJudge compares judging under conditions by changes to the circuit at
// rest with the plain way, a circuit for each reading.
func BenchmarkJudge(b *testing.B) {
	m := sample.Machine(1, 3_000)
	rest := graphs.NewCircuit(m, nil)
	j := judge.New(rest)
	var ours, plain time.Duration
	for b.Loop() {
		for _, r := range m.Readings {
			red, _ := m.TerminalIndex(r.Red)
			black, _ := m.TerminalIndex(r.Black)
			t0 := time.Now()
			got := j.Judge(r)
			t1 := time.Now()
			want := graphs.NewCircuit(m, r.Conditions).Ohms(red, black)
			ours += t1.Sub(t0)
			plain += time.Since(t1)
			if diff := got.Sight.Ohms - want; diff > 1e-6 || diff < -1e-6 {
				b.Fatalf("reading %d: %g ohm, a circuit of its own says %g", r.Number, got.Sight.Ohms, want)
			}
		}
	}
	b.ReportMetric(float64(plain)/float64(ours), "x-plain")
}

// BenchmarkDiagnose makes everything anew, as after each edit and each reading.
// The ratio is to the circuit and its nets alone.
func BenchmarkDiagnose(b *testing.B) {
	for _, terminals := range []int{600, 5_000, 20_000, 100_000} {
		m := sample.Machine(1, terminals)
		b.Run(fmt.Sprint(terminals), func(b *testing.B) {
			var all, nets time.Duration
			for b.Loop() {
				t0 := time.Now()
				d := Diagnose(m)
				t1 := time.Now()
				graphs.NewCircuit(m, nil).Nets()
				all, nets = all+t1.Sub(t0), nets+time.Since(t1)
				if faultsIn(d.Report().Findings) > 0 {
					b.Fatalf("a sound machine has\n%s", briefs(d.Report().Findings))
				}
			}
			b.ReportMetric(float64(all.Microseconds())/1000/float64(b.N), "ms/diagnosis")
			b.ReportMetric(float64(all)/float64(nets), "x-nets")
		})
	}
}
