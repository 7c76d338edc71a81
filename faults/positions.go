package faults

import (
	"bellout/graphs"
)

// positions says which supplies give a feed its volts in some position of the
// machine's contacts. It works on the pieces of reach: what hangs together
// without a contact. Rails spread through contacts, closed or open at rest, and
// from a driver's feed to the outputs that it switches; a piece with a rail, a
// return or earth ends the way. No way takes two contacts that share a terminal,
// because a changeover has one throw at a time.
type positions struct {
	b        *Bench
	r        *reach
	switched map[int32][]int // by piece: drivers, by place in Parts.Drivers, that have a feed in it
	found    [][]int         // by piece: supplies, sorted
}

// findPositions spreads every rail. Cost: for each supply, linear in what it can
// reach through contacts.
func (b *Bench) findPositions() *positions {
	p := &positions{b: b, r: b.reach, switched: map[int32][]int{}, found: make([][]int, len(b.reach.ends))}
	for at, driver := range b.Parts.Drivers {
		for _, feed := range driver.Feeds {
			piece := p.r.piece[feed]
			p.switched[piece] = append(p.switched[piece], at)
		}
	}
	for at := range b.Parts.Supplies {
		p.spread(at)
	}
	return p
}

// arrival is a way into a piece: through a contact at a terminal, or -1.
type arrival struct {
	piece    int32
	terminal int
}

func (p *positions) spread(supply int) {
	start := p.r.piece[p.b.Parts.Supplies[supply].Rail]
	first := map[int32]int{start: -1} // by piece: the terminal of the first arrival
	all := map[int32]bool{}           // every way out of the piece has been taken
	p.found[start] = append(p.found[start], supply)
	queue := []arrival{{start, -1}}
	arrive := func(a arrival) {
		if p.r.ends[a.piece] {
			return
		}
		earlier, known := first[a.piece]
		switch {
		case !known:
			first[a.piece] = a.terminal
			p.found[a.piece] = append(p.found[a.piece], supply)
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
