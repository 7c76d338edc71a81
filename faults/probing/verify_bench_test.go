package probing

import (
	"slices"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// boundAsItIs is the least number of readings that prove the wires of a machine
// as it really is: those of its sound part, a broken wire taken out, so that what
// was one tree is two with more leaves in all; and for each net of the map with
// a flaw in its wires one reading that runs into it, which proves nothing. What a
// flaw splits off costs more than the map drawn whole, whoever measures.
func boundAsItIs(t testing.TB, m *model.Machine, w *truth) int {
	t.Helper()
	sound := w.Machine.Clone()
	var gone []model.Change
	nets := graphs.NewCircuit(m, nil).Nets()
	flawed := map[int]bool{}
	for _, f := range w.flaws {
		if f.kind == "short" {
			continue // isolation runs into it
		}
		if len(f.wires) > 0 {
			wire, _ := m.Wire(f.wires[0])
			flawed[nets.Of[mustIndex(m, wire.From)]] = true
		} else {
			ref, _ := model.ParseTerminalRef(f.at[0])
			flawed[nets.Of[mustIndex(m, ref)]] = true
		}
	}
	for _, wire := range sound.Wires {
		bad := wire.Name[0] == 'Z'
		for _, f := range w.flaws {
			bad = bad || slices.Contains(f.wires, wire.Name)
		}
		if bad {
			gone = append(gone, model.Change{Before: wire})
		}
	}
	apply(t, sound, gone...)
	return lowerBound(t, sound) + len(flawed)
}

// TestVerifyMeetsTheBoundOfTheMachineAsItIs: what is flawed costs no more than
// its own break.
func TestVerifyMeetsTheBoundOfTheMachineAsItIs(t *testing.T) {
	spent, least := 0, 0
	for seed := range uint64(3) {
		m := machineOf(t, seed, 100)
		clean := m.Clone()
		r := try(t, m, seed, 1, Options{Goal: Verify})
		spent, least = spent+r.continuity, least+boundAsItIs(t, clean, r.w)
	}
	if float64(spent) > 1.02*float64(least) {
		t.Errorf("%d readings within nets, the bound is %d", spent, least)
	}
}
