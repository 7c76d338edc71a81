package faults

import (
	"slices"
	"testing"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"

	"pgregory.net/rapid"
)

// A sound machine of the structures that look wrong has no fault, nor a warning
// but of returns that are critical; and with a wire that shorts one of its
// supplies it has a fault that names the wire.
func TestADrawnSoundMachineHasNoFault(outer *testing.T) {
	rapid.Check(outer, func(t *rapid.T) {
		m := sample.Sound(rapid.Uint64Range(0, 1<<40).Draw(t, "seed"))
		for _, f := range Check(m).Findings {
			if f.Severity != Note && f.Rule != "critical-return" {
				t.Errorf("%s\n%s", brief(f), f.Message)
			}
		}
		supplies := slices.DeleteFunc(graphs.FindParts(m).Supplies, func(s graphs.Supply) bool { return len(s.Returns) == 0 })
		if len(supplies) == 0 {
			return
		}
		supply := rapid.SampledFrom(supplies).Draw(t, "supply")
		wire := model.Wire{Name: "Short", From: m.Terminals[supply.Rail].Ref(), To: m.Terminals[supply.Returns[0]].Ref(), Basis: model.BasisSeen}
		shorted := m.Clone()
		if err := shorted.Apply(model.Edit{Changes: []model.Change{{After: wire}}}); err != nil {
			t.Fatal(err)
		}
		findings := Check(shorted).Findings
		if !slices.ContainsFunc(findings, func(f Finding) bool { return f.Severity == Fault && slices.Contains(f.Wires, wire.Name) }) {
			t.Errorf("a short from %s to %s is not found:\n%s", wire.From, wire.To, briefs(findings))
		}
	})
}
