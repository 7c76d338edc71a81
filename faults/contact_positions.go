package faults

import (
	"slices"

	"bellout/graphs"
)

// positions says which supplies give a feed its volts in some position of the
// machine's contacts. It works on the pieces of reach: what hangs together
// without a contact. Rails spread through contacts, closed or open at rest, and
// from a driver's feed to the outputs that it switches; a piece with a rail, a
// return or earth ends the way. No way takes two contacts that share a terminal,
// because a changeover has one throw at a time.
type positions struct {
	b        *Analysis
	r        *reach
	switched map[int32][]int // by piece: drivers, by place in Parts.Drivers, that have a feed in it
	found    [][]int         // by piece: supplies, sorted
	behind   [][]int         // by piece: supplies that reach it through diodes
}

// findPositions spreads every rail. Cost: for each supply, linear in what it can
// reach through contacts.
func (b *Analysis) findPositions() *positions {
	p := &positions{b: b, r: b.reach, switched: map[int32][]int{}, found: make([][]int, len(b.reach.ends)), behind: make([][]int, len(b.reach.ends))}
	for at, driver := range b.Parts.Drivers {
		for _, feed := range driver.Feeds {
			piece := p.r.piece[feed]
			p.switched[piece] = append(p.switched[piece], at)
		}
	}
	for at, supply := range b.Parts.Supplies {
		p.spread(at, p.r.piece[supply.Rail], p.found)
	}
	p.findBehind()
	return p
}

// findBehind spreads the supplies through diodes that stand in a feed, one after
// another. A rail behind a diode is lifted by it; a return is not. Cost: linear
// in the diodes and, for each supply, in what it reaches through them.
func (p *positions) findBehind() {
	for more := true; more; {
		more = false
		for _, e := range p.r.c.Elements {
			if e.Kind != graphs.Diode || !e.Present || p.b.ofLoad(e) {
				continue
			}
			for _, ends := range [2]struct {
				from, to int32
				negative bool
			}{{p.r.piece[e.A], p.r.piece[e.B], false}, {p.r.piece[e.B], p.r.piece[e.A], true}} {
				if len(p.r.zeros[ends.to]) > 0 || p.r.ends[ends.to] && len(p.r.rails[ends.to]) == 0 {
					continue
				}
				for _, supply := range mergeSorted(p.found[ends.from], p.behind[ends.from]) {
					volts := p.b.Parts.Supplies[supply].Volts
					if !volts.Known || volts.Value < 0 != ends.negative || slices.Contains(p.found[ends.to], supply) || slices.Contains(p.behind[ends.to], supply) {
						continue
					}
					p.spread(supply, ends.to, p.behind)
					more = true
				}
			}
		}
	}
}

// arrival is a way into a piece: through a contact at a terminal, or -1.
type arrival struct {
	piece    int32
	terminal int
}

// spread notes a supply in every piece that it reaches from one.
func (p *positions) spread(supply int, start int32, found [][]int) {
	first := map[int32]int{start: -1} // by piece: the terminal of the first arrival
	all := map[int32]bool{}           // every way out of the piece has been taken
	found[start] = append(found[start], supply)
	queue := []arrival{{start, -1}}
	arrive := func(a arrival) {
		if p.r.ends[a.piece] {
			return
		}
		earlier, known := first[a.piece]
		switch {
		case !known:
			first[a.piece] = a.terminal
			found[a.piece] = append(found[a.piece], supply)
		case all[a.piece] || earlier == a.terminal || earlier < 0:
			return
		}
		queue = append(queue, a)
	}
	for len(queue) > 0 {
		a := queue[0]
		queue = queue[1:]
		earlier := first[a.piece]
		again := earlier != a.terminal // what the first arrival could not take is left
		if again && all[a.piece] {
			continue
		}
		all[a.piece] = again || a.terminal < 0
		for _, id := range p.r.hops[a.piece] {
			e := p.r.c.Elements[id]
			if e.Kind != graphs.Contact {
				continue // a series resistor
			}
			for _, ends := range [2][2]int{{e.A, e.B}, {e.B, e.A}} {
				near, far := ends[0], ends[1]
				if p.r.piece[near] == a.piece && near != a.terminal && (!again || near == earlier) {
					arrive(arrival{p.r.piece[far], far})
				}
			}
		}
		if again {
			continue
		}
		for _, driver := range p.switched[a.piece] {
			arrive(arrival{p.r.piece[p.b.Parts.Drivers[driver].Drive], -1})
		}
	}
}
