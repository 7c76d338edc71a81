package faults

import (
	"slices"
	"testing"

	"bellout/model"
)

// One wire more, between any two terminals of the sound machine, gives at most
// one finding of these rules, and that names it first.
func TestAnyExtraWireIsNamed(t *testing.T) {
	if testing.Short() {
		t.Skip("1,711 machines")
	}
	sound := model.NewMachine()
	machineFile(t, sound, "sound.txt")
	terminals := sound.Sorted().Terminals
	findings := 0
	for i := range terminals {
		for j := range i {
			m := sound.Clone()
			wire := model.Wire{Name: "W99", From: terminals[i].Ref(), To: terminals[j].Ref(), Basis: model.BasisPlanned}
			if err := m.Apply(model.Edit{Changes: []model.Change{{After: wire}}}); err != nil {
				t.Fatal(err)
			}
			list := ownFindings(layOut(m))
			findings += len(list)
			if len(list) > 1 || len(list) == 1 && !slices.Contains(firstOf(list[0].Wires), "W99") {
				t.Errorf("W99 from %s to %s:\n%s", wire.From, wire.To, briefs(list))
			}
		}
	}
	if findings < 800 {
		t.Errorf("only %d findings in all: the test shows little", findings)
	}
}

// One end of any wire moved to any other terminal is one cause: at most one
// fault.
func TestAnyMovedWireIsOneCause(t *testing.T) {
	if testing.Short() {
		t.Skip("3,420 machines")
	}
	sound := model.NewMachine()
	machineFile(t, sound, "sound.txt")
	sorted := sound.Sorted()
	for _, wire := range sorted.Wires {
		for _, to := range sorted.Terminals {
			for _, moved := range []model.Wire{withEnds(wire, to.Ref(), wire.To), withEnds(wire, wire.From, to.Ref())} {
				if moved == wire || moved.From == moved.To {
					continue
				}
				m := sound.Clone()
				if err := m.Apply(model.Edit{Changes: []model.Change{{Before: wire, After: moved}}}); err != nil {
					t.Fatal(err)
				}
				if list := ownFindings(layOut(m)); faultsIn(list) > 1 {
					t.Errorf("%s from %s to %s instead of %s to %s:\n%s", wire.Name, moved.From, moved.To, wire.From, wire.To, briefs(list))
				}
			}
		}
	}
}

func withEnds(wire model.Wire, from, to model.TerminalRef) model.Wire {
	wire.From, wire.To = from, to
	return wire
}
