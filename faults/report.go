package faults

import "bellout/model"

// Proven says how much of the map readings prove.
type Proven struct {
	Wires         int `json:"wires"`
	OfWires       int `json:"of"`
	Separations   int `json:"separations"`
	OfSeparations int `json:"of_separations"`
}

// Report is what Bellout says of a machine.
type Report struct {
	Findings []Finding `json:"findings"`
	Proven   Proven    `json:"proven"`
}

// Check runs every rule over the machine and its readings.
func Check(m *model.Machine) *Report {
	b := NewBench(m)
	report := &Report{Findings: []Finding{}}
	for _, rule := range Rules {
		report.Findings = append(report.Findings, rule.Check(b)...)
	}
	return report
}
