package faults

import (
	"bellout/graphs"
	"bellout/model"
)

// Bench is everything that rules look at. It is made once for a machine and
// not changed while rules read it.
type Bench struct {
	Machine  *model.Machine
	Settings model.Settings
	Parts    *graphs.Parts
	// Drawn is the circuit at rest as the map draws it.
	Drawn *graphs.Circuit
	// Apart is Drawn without the culprits: the elements that join nets which
	// must not be joined. Every rule but those that name the culprits judges
	// this one.
	Apart *graphs.Circuit

	// explained holds, by rule, the findings that the readings call for.
	explained map[string][]Finding
}

// NewBench lays out a machine for the rules.
func NewBench(m *model.Machine) *Bench {
	drawn := graphs.NewCircuit(m, nil)
	b := &Bench{Machine: m, Settings: m.Settings(), Parts: graphs.FindParts(m), Drawn: drawn, Apart: drawn}
	return b
}
