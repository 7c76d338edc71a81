package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// pieces are the lumps of metal between fuses, contacts and drivers: wires and
// solid links join terminals to one piece, and what lies between two pieces is
// a gate. A fault current from a source spreads over pieces, and every wire of
// one piece is protected alike.
type pieces struct {
	b     *Analysis
	of    []int  // piece by terminal
	gates []gate // sorted by from
	first []int  // first[p] .. first[p+1] in gates: those that lead on from piece p
	holds []contents
}

// gate is a way on from one piece to another.
type gate struct {
	from, to int
	element  int // a fuse or contact; -1 for a driver or a diode
	fuse     bool
	blown    bool
	negative bool // a diode: it leads on only from sources of negative volts
	positive bool // a diode: it leads on only from sources of positive volts
}

// contents says what a piece holds.
type contents struct {
	rail, zero, earth, neutral, signal, power bool
}

// barred says whether the feed side ends before a piece: at another source's
// rail, at a return, at earth, and where only signals are.
func (h contents) barred() bool {
	return h.rail || h.zero || h.earth || h.neutral || h.signal && !h.power
}

// findPieces divides the circuit with the culprits out. Cost: linear but for
// sorting the gates.
func findPieces(b *Analysis) *pieces {
	c := b.AsIntended
	p := &pieces{b: b, of: make([]int, len(b.Machine.Terminals))}
	for t := range p.of {
		p.of[t] = -1
	}
	count := 0
	var stack []int
	for t := range p.of {
		if p.of[t] >= 0 {
			continue
		}
		p.of[t] = count
		for stack = append(stack[:0], t); len(stack) > 0; {
			u := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, id := range c.Incident(u) {
				e := c.Elements[id]
				if !e.Present || e.Kind != graphs.Wire && e.Kind != graphs.Solid && !b.isShunt(e) {
					continue
				}
				if far := c.Far(int(id), u); p.of[far] < 0 {
					p.of[far] = count
					stack = append(stack, far)
				}
			}
		}
		count++
	}
	p.fill(count)
	p.findGates(count)
	return p
}

func (p *pieces) fill(count int) {
	p.holds = make([]contents, count)
	for t, terminal := range p.b.Machine.Terminals {
		h := &p.holds[p.of[t]]
		switch terminal.Role {
		case model.RoleRail:
			h.rail = true
		case model.RoleEarth:
			h.earth = true
		case model.RoleNeutral:
			h.neutral = true
		case model.RoleSignal:
			h.signal = true
		case model.RoleFeed, model.RoleDrive, model.RoleLine:
			h.power = true
		}
	}
	for _, supply := range p.b.Parts.Supplies {
		for _, t := range supply.Returns {
			p.holds[p.of[t]].zero = true
		}
	}
}

func (p *pieces) findGates(count int) {
	c := p.b.AsIntended
	both := func(g gate, a, b int) {
		g.from, g.to = p.of[a], p.of[b]
		p.gates = append(p.gates, g)
		g.from, g.to = g.to, g.from
		p.gates = append(p.gates, g)
	}
	for id, e := range c.Elements {
		drawn := p.b.AsDrawn.Elements[id]
		switch e.Kind {
		case graphs.Fuse:
			if e.Present || !drawn.Present {
				both(gate{element: id, fuse: true, blown: !e.Present}, e.A, e.B)
			}
		case graphs.Contact:
			if e.Present || !drawn.Present {
				both(gate{element: id}, e.A, e.B)
			}
		case graphs.Diode:
			// One that stands in a feed, not one that is the load.
			if e.Present && p.through(e.A) && p.through(e.B) {
				p.gates = append(p.gates,
					gate{from: p.of[e.A], to: p.of[e.B], element: -1, positive: true},
					gate{from: p.of[e.B], to: p.of[e.A], element: -1, negative: true})
			}
		}
	}
	for _, driver := range p.b.Parts.Drivers {
		if !p.sources(driver) {
			continue
		}
		for _, feed := range driver.Feeds {
			p.gates = append(p.gates, gate{from: p.of[feed], to: p.of[driver.Drive], element: -1})
		}
	}
	slices.SortStableFunc(p.gates, func(a, b gate) int { return a.from - b.from })
	p.first = make([]int, count+1)
	for _, g := range p.gates {
		p.first[g.from+1]++
	}
	for at := range count {
		p.first[at+1] += p.first[at]
	}
}

func (p *pieces) through(terminal int) bool {
	role := p.b.Machine.Terminals[terminal].Role
	return role == model.RolePass || role == model.RoleUnknown
}

// sources says whether a driver's output feeds something: a load's feed hangs
// on it. An output that only loads' returns hang on sinks, and what lies
// between them is behind the load.
func (p *pieces) sources(driver graphs.Driver) bool {
	for _, t := range p.b.AsIntended.Nets().List[p.b.AsIntended.Nets().Of[driver.Drive]].Terminals {
		if p.b.Machine.Terminals[t].Role == model.RoleFeed && p.b.Machine.Terminals[t].Device != driver.Device {
			return true
		}
	}
	return false
}

// on returns the gates that lead on from a piece.
func (p *pieces) on(piece int) []gate { return p.gates[p.first[piece]:p.first[piece+1]] }

// downstream returns the pieces that a rail's current reaches through whole
// fuses, contacts in any position, diodes and sourcing drivers; false for one
// that it reaches only through a diode.
func (p *pieces) downstream(rail int, volts float64) map[int]bool {
	reached := map[int]bool{p.of[rail]: true}
	through := map[int]int{p.of[rail]: -1} // the contact by which a piece was reached, or -1
	for _, direct := range []bool{true, false} {
		for queue := sortedKeys(reached); len(queue) > 0; queue = queue[1:] {
			for _, g := range p.on(queue[0]) {
				_, seen := reached[g.to]
				if seen || g.blown || direct && g.diode() || !g.passes(volts) || p.holds[g.to].barred() || p.exclusive(through[queue[0]], g) {
					continue
				}
				reached[g.to], through[g.to] = direct, -1
				if g.element >= 0 && !g.fuse {
					through[g.to] = g.element
				}
				queue = append(queue, g.to)
			}
		}
	}
	return reached
}

// exclusive says whether a gate is the other contact of a changeover that the
// current has just come through: only one of the two is closed at a time.
func (p *pieces) exclusive(contact int, g gate) bool {
	if contact < 0 || g.element < 0 || g.fuse || g.element == contact {
		return false
	}
	one, other := p.b.AsIntended.Elements[contact], p.b.AsIntended.Elements[g.element]
	return one.A == other.A || one.A == other.B || one.B == other.A || one.B == other.B
}

func (g gate) diode() bool { return g.positive || g.negative }

func (g gate) passes(volts float64) bool {
	return !(g.positive && volts < 0 || g.negative && volts >= 0)
}
