package nextprobe

import (
	"bellout/faults/judge"
	"bellout/graphs"
)

// provenLinks are the links that lie on a way that a reading proves. The diagnosis
// counts wires; a mated contact or a fuse between two proven wires is proven with
// them. Cost: one look at every reading.
func (p *Planner) provenLinks() map[int]bool {
	if p.links != nil {
		return p.links
	}
	p.links = map[int]bool{}
	for _, r := range p.machine.Readings {
		if !p.known.Counts(r.Number) || p.known.OutcomeOf(r.Number) != judge.Agrees || len(p.known.ProvedBy(r.Number)) == 0 {
			continue
		}
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		for _, id := range p.judge.Metal().BridgesBetween(red, black) {
			if id >= len(p.machine.Wires) {
				p.links[id] = true
			}
		}
	}
	return p.links
}

// proven says whether a wire or link needs no more proof.
func (p *Planner) proven(element int) bool {
	switch {
	case !p.wanted(element):
		return true
	case p.circuit.Elements[element].Kind == graphs.Joined:
		return true // no wire that could be proven: nobody has seen it
	case element < len(p.machine.Wires):
		return p.wireProven(element)
	default:
		return p.provenLinks()[element]
	}
}

// wireProven says whether a reading proves a wire, be it one that is supposed.
func (p *Planner) wireProven(row int) bool {
	return p.known.WireProven(row) || p.supposed.wires[row]
}
