package faults_test

import (
	"maps"
	"testing"

	"bellout/faults"
)

func TestOnlyFaultsBlameAndRivalsAreSpared(t *testing.T) {
	report := faults.Report{Findings: []faults.Finding{
		{Severity: faults.Warning, Wires: []string{"W9"}},
		{Severity: faults.Fault, Wires: []string{"W1", "W2"}, Terminals: []string{"A1:1"}, Culprit: faults.Culprit{Wires: []string{"W1"}}},
		{Severity: faults.Fault, Wires: []string{"W1", "W3"}, Terminals: []string{"A2:1"}},
	}}
	want := map[string]int{"W1": 1, "W3": 2, "A2:1": 2}
	if got := report.Blamed(); !maps.Equal(got, want) {
		t.Errorf("blamed are %v, want %v", got, want)
	}
}
