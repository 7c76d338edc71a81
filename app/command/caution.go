package command

import (
	"strings"

	"bellout/faults"
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

// beforeProbing is cautionProbing with what of the machine is live with the plug out.
func beforeProbing(machine *model.Machine) string {
	return strings.TrimSpace(cautionProbing + " " + faults.StayingIn(machine).Everything())
}

// mainsSide tells the terminals that metal joins to line or neutral, and those of
// earth.
func mainsSide(machine *model.Machine) func(model.TerminalRef) bool {
	circuit := graphs.NewCircuit(machine, nil)
	nets, kept := circuit.Nets(), circuit.LeftInPlace()
	return func(ref model.TerminalRef) bool {
		at, found := machine.TerminalIndex(ref)
		if !found {
			return false
		}
		return kept.Mains(at) || nets.Kind(at) == graphs.NetEarth
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
