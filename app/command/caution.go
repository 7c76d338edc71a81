package command

import (
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// The cautions are printed for people, at the moment at which they apply; they
// are no part of the JSON.
const (
	// cautionProbing closes a check: the next thing the reader does is probe.
	cautionProbing = "Before you probe: plug out and in sight, capacitors discharged, 0 V measured and the meter proven; only then ohms. " +
		"Bellout never says that a circuit is safe; the mains side is for licensed people, and local codes come first."
	// cautionMains goes before anything that names a terminal of the mains side.
	cautionMains = judge.MainsCaution
)

// mainsSide tells the terminals that lie in a line, neutral or earth net.
func mainsSide(machine *model.Machine) func(model.TerminalRef) bool {
	nets := graphs.NewCircuit(machine, nil).Nets()
	return func(ref model.TerminalRef) bool {
		at, found := machine.TerminalIndex(ref)
		if !found {
			return false
		}
		switch nets.List[nets.Of[at]].Kind {
		case graphs.NetLine, graphs.NetNeutral, graphs.NetEarth:
			return true
		}
		return false
	}
}

// mainsName is mainsSide for a terminal as it is typed.
func mainsName(machine *model.Machine) func(string) bool {
	isMains := mainsSide(machine)
	return func(name string) bool {
		ref, err := model.ParseTerminalRef(name)
		return err == nil && isMains(ref)
	}
}
