package faults

import (
	"testing"
	"time"

	"bellout/model/sample"
)

// BenchmarkVoltRules times the rules on volts, amperes and protection over a
// sound machine of 100,000 terminals, the bench already laid out.
func BenchmarkVoltRules(b *testing.B) {
	m := sample.Machine(1, 100_000)
	m.Readings = nil // these rules look at the map alone
	bench := NewAnalysis(m)
	bench.AsIntended.Nets()
	spent := map[string]time.Duration{}
	for b.Loop() {
		for _, rule := range Rules {
			for _, name := range voltRules {
				if rule.Name != name {
					continue
				}
				start := time.Now()
				if found := rule.Check(bench); len(found) > 0 {
					b.Fatalf("%s on a sound machine: %s", name, found[0].Message)
				}
				spent[name] += time.Since(start)
			}
		}
	}
	for name, all := range spent {
		b.ReportMetric(float64(all.Milliseconds())/float64(b.N), "ms-"+name)
	}
}

func TestVoltRulesLeaveSampleMachinesAlone(t *testing.T) {
	for seed := range uint64(3) {
		silent(t, sample.Machine(seed, 1500), voltRules...)
	}
}

// BenchmarkWhatIf opens one wire of a machine of 100,000 terminals.
func BenchmarkWhatIf(b *testing.B) {
	m := sample.Machine(1, 100_000)
	for b.Loop() {
		if _, err := WhatIf(m, m.Wires[len(m.Wires)/2].Name); err != nil {
			b.Fatal(err)
		}
	}
}
