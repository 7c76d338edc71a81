package faults

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

var cabinetMachine *model.Machine

// backwards returns the machine with the rows of every table the other way
// round: their order means nothing.
func backwards(t *rapid.T, m *model.Machine) *model.Machine {
	turned := model.NewMachine()
	var edit model.Edit
	for _, row := range slices.Backward(m.Rows()) {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := turned.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return turned
}

// strewn returns a machine of any shape, or the cabinet with wires strewn in.
func strewn(t *rapid.T) *model.Machine {
	if rapid.IntRange(0, 3).Draw(t, "shape") == 0 {
		return sample.Draw(t)
	}
	m := cabinetMachine.Clone()
	ends := rapid.IntRange(0, len(m.Terminals)-1)
	for range rapid.IntRange(0, 4).Draw(t, "wires") {
		from, to := ends.Draw(t, "from"), ends.Draw(t, "to")
		wire := model.Wire{
			Name: fmt.Sprintf("W9%02d", len(m.Wires)), From: m.Terminals[from].Ref(), To: m.Terminals[to].Ref(),
			Colour: rapid.SampledFrom([]model.Colour{"", "RD", "BU"}).Draw(t, "colour"),
			Basis:  rapid.SampledFrom(model.Bases).Draw(t, "basis"),
		}
		if from != to {
			if err := m.Apply(model.Edit{Changes: []model.Change{{After: wire}}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if rapid.Bool().Draw(t, "bond dropped") {
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: m.Bonds[0]}}}); err != nil {
			t.Fatal(err)
		}
	}
	return m
}

// What is cut leaves no net that joins too much, every cut is needed, and
// neither that nor what the rules say depends on the order of the rows.
func TestCutsAreEnoughAndNeeded(t *testing.T) {
	cabinetMachine = build(t, cabinet)
	crossed := 0
	rapid.Check(t, func(t *rapid.T) {
		m := strewn(t)
		b := NewAnalysis(m)
		b.explained = nil // readings have laws of their own
		a := newNetSeparation(b)
		for _, net := range b.AsIntended.Nets().List {
			if a.joinsTooMuch(net.Terminals) {
				t.Fatalf("net %s still joins too much", net.Name)
			}
		}
		out := a.b.culprits()
		if len(out) > 0 {
			crossed++
		}
		for id := range out {
			var rest []int
			for other := range out {
				if other != id {
					rest = append(rest, other)
				}
			}
			back := b.AsDrawn.Without(rest...)
			joined := slices.ContainsFunc(back.Nets().List, func(net graphs.Net) bool { return a.joinsTooMuch(net.Terminals) })
			if !joined {
				t.Fatalf("%s was cut for nothing", b.elementName(id))
			}
		}
		want := briefs(ownFindings(b))
		turned := NewAnalysis(backwards(t, m))
		turned.explained = nil
		if got := briefs(ownFindings(turned)); got != want {
			t.Fatalf("rows the other way round:\n%s\nwant\n%s", got, want)
		}
	})
	if crossed == 0 {
		t.Error("no drawn machine had a crossing: the test shows nothing")
	}
}
