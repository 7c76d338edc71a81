package probing

import (
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/graphs"
)

// coverage says which links lie on a way that a reading proves. The session
// counts wires; a mated contact or a fuse between two proven wires is proven
// with them.
type coverage struct {
	of    map[int64][]int // by reading: its links
	count map[int]int     // by element
}

func newCoverage() coverage { return coverage{of: map[int64][]int{}, count: map[int]int{}} }

// update takes in the readings that came and lets go of those that no longer
// count. Cost: one look at every reading, and the way of each new one.
func (c *coverage) update(session *faults.Session, v *view) {
	for _, r := range v.machine.Readings {
		known, taken := c.of[r.Number]
		counts := session.Counts(r.Number) && session.OutcomeOf(r.Number) == judge.Agrees && len(session.ProvedBy(r.Number)) > 0
		switch {
		case taken && !counts:
			for _, id := range known {
				c.count[id]--
			}
			delete(c.of, r.Number)
		case !taken && counts:
			red, _ := v.machine.TerminalIndex(r.Red)
			black, _ := v.machine.TerminalIndex(r.Black)
			var links []int
			for _, id := range v.judge.Metal().BridgesBetween(red, black) {
				if id >= len(v.machine.Wires) {
					links = append(links, id)
					c.count[id]++
				}
			}
			c.of[r.Number] = links
		}
	}
}

// proven says whether a wire or link needs no more proof.
func (p *Planner) proven(element int) bool {
	if !p.wanted(element) {
		return true
	}
	if p.circuit.Elements[element].Kind == graphs.Joined {
		return true // no wire that could be proven: nobody has seen it
	}
	if element < len(p.machine.Wires) {
		return p.session.WireProven(element)
	}
	return p.links.count[element] > 0
}
