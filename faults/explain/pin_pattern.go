package explain

import (
	"maps"
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// A pattern is one mistake over many pins: a connector numbered from the wrong
// face, or plugged or pinned one place off. It is one cause, however many
// conductors land elsewhere.

// Pattern says whether a fault moves all wires of a row of pins.
func (f Fault) Pattern() bool { return f == Mirrored || f == Shifted }

// Landing is one end of a wire that is not where the map has it.
type Landing struct {
	Wire int // element
	At   int // the terminal where the map has it
	On   int // where it is; -1: it hangs free
}

// Landings returns the wire ends that a hypothesis has elsewhere than the map:
// for a mirrored row pins 1 and n first, then inwards; for a shifted one in
// order; of each pin its wires by number. None for faults that move no end.
func (h Hypothesis) Landings(c *graphs.Circuit) []Landing {
	switch h.Fault {
	case Moved:
		return []Landing{{h.Element, h.A, h.B}}
	case Swap:
		return []Landing{{h.Element, h.A, h.B}, {h.Other, h.B, h.A}}
	case Mirrored, Shifted:
	default:
		return nil
	}
	r, _, found := rowOf(c, h.A)
	if !found {
		return nil
	}
	numbers := slices.Clone(r.numbers)
	if h.Fault == Mirrored {
		middle := r.first() + r.last()
		slices.SortStableFunc(numbers, func(a, b int) int { return abs(2*b-middle) - abs(2*a-middle) })
	}
	var list []Landing
	for _, number := range numbers {
		on := r.lands(h.Place, number)
		if on == r.pins[number] {
			continue
		}
		for _, id := range WiresAt(c, r.pins[number]) {
			list = append(list, Landing{id, r.pins[number], on})
		}
	}
	return list
}

func abs(n int) int { return max(n, -n) }

// lands returns the terminal on which what belongs on a number of the row sits;
// -1: on none.
func (r row) lands(p Place, number int) int {
	to := number + p.Step
	if p.Fault == Mirrored {
		to = r.first() + r.last() - number
	} else if p.Round && to > r.last() {
		to = r.first()
	} else if p.Round && to < r.first() {
		to = r.last()
	}
	if pin, there := r.pins[to]; there {
		return pin
	}
	return -1
}

// landed returns, by wire that a pattern or a move has elsewhere, the terminals
// on which its ends are; -1: on none.
func landed(c *graphs.Circuit, h Hypothesis) map[int][2]int {
	if !h.Fault.Pattern() && h.Fault != Moved {
		return nil
	}
	ends := map[int][2]int{}
	for _, l := range h.Landings(c) {
		e := c.Elements[l.Wire]
		now, known := ends[l.Wire]
		if !known {
			now = [2]int{e.A, e.B}
		}
		if e.A == l.At {
			now[0] = l.On
		} else {
			now[1] = l.On
		}
		ends[l.Wire] = now
	}
	return ends
}

// landingChanges opens the wires that moved, and lays them where they land.
func landingChanges(c *graphs.Circuit, h Hypothesis) []graphs.ElementChange {
	ends := landed(c, h)
	var changes []graphs.ElementChange
	for _, id := range slices.Sorted(maps.Keys(ends)) {
		changes = append(changes, graphs.ElementChange{Element: id, Ohms: math.Inf(1)})
		if now := ends[id]; now[0] >= 0 && now[1] >= 0 && now[0] != now[1] {
			changes = append(changes, graphs.ElementChange{Element: -1, A: now[0], B: now[1], Ohms: c.Elements[id].Ohms})
		}
	}
	return changes
}

// leastPins is how many pins of a row must be wired for a pattern to be one.
const leastPins = 3

// mostPatterns is how many patterns one reading may propose.
const mostPatterns = 24

// Of shifts, those that hang the last line are the rule: a housing one place
// off, a row pinned from the wrong number. A row that goes round is rarer.
const (
	shiftHangs = 0.35
	shiftRound = 0.15
)

// patterns proposes, where a reading joins two pins of one row that the map has
// apart, the patterns that would: the row mirrored, or shifted by one.
func (x *Explainer) patterns(item *Item, sides sides) []Hypothesis {
	c := x.judge.Rest
	var list []Hypothesis
	seen := map[Place]bool{}
	add := func(p Place, prior float64) {
		if !seen[p] && len(list) < mostPatterns {
			seen[p] = true
			list = append(list, Hypothesis{Place: p, Prior: prior})
		}
	}
	for _, pair := range x.onOneDevice(sides, item) {
		r, a, counted := rowOf(c, pair[0])
		if !counted || len(r.numbers) < leastPins {
			continue
		}
		stem, b, counted := numbered(c.Machine.Terminals[pair[1]].Mark)
		if own, _, _ := numbered(c.Machine.Terminals[pair[0]].Mark); !counted || stem != own {
			continue
		}
		opposite, beside := a+b == r.first()+r.last(), abs(a-b) == 1
		round := abs(a-b) == r.last()-r.first()
		if !opposite && !beside && !round {
			continue
		}
		place, wired := x.rowPlace(r)
		if wired < leastPins {
			continue
		}
		if opposite {
			place.Fault = Mirrored
			add(place, x.priors.Of("mirrored"))
		}
		place.Fault = Shifted
		for _, step := range [2]int{-1, 1} {
			place.Step, place.Round = step, false
			if beside {
				add(place, shiftHangs*x.priors.Of("shifted"))
			}
			place.Round = true
			add(place, shiftRound*x.priors.Of("shifted"))
		}
	}
	return list
}

// rowPlace returns the place of a row, and how many of its pins are wired: A and
// B are its first and last pins, Element and Other the first wires that its
// ends have.
func (x *Explainer) rowPlace(r row) (p Place, wired int) {
	p = at(Mirrored)
	p.A, p.B = r.pins[r.first()], r.pins[r.last()]
	for _, number := range r.numbers {
		wires := WiresAt(x.judge.Rest, r.pins[number])
		if len(wires) == 0 {
			continue
		}
		wired++
		if p.Element < 0 {
			p.Element = slices.Min(wires)
		}
		p.Other = slices.Min(wires)
	}
	return p, wired
}

// mostMoves is how many wires on a neighbouring place one reading may propose.
const mostMoves = 40

// moved proposes, where a reading joins two places beside each other on one
// device, that a wire of one landed on the other.
func (x *Explainer) moved(item *Item, sides sides) []Hypothesis {
	c := x.judge.Rest
	var list []Hypothesis
	for _, pair := range x.onOneDevice(sides, item) {
		if !slices.Contains(neighbours(c, pair[0]), pair[1]) {
			continue
		}
		for _, ends := range [2][2]int{pair, {pair[1], pair[0]}} {
			for _, id := range WiresAt(c, ends[0]) {
				if c.Far(id, ends[0]) == ends[1] || len(list) >= mostMoves {
					continue
				}
				place := at(Moved)
				place.Element, place.A, place.B = id, ends[0], ends[1]
				list = append(list, Hypothesis{Place: place, Prior: x.priors.Of("wire-neighbour") * x.handled(id)})
			}
		}
	}
	for i := range list {
		list[i].Prior /= float64(len(list))
	}
	return list
}

// mostPairs is how many pairs of terminals of one reading are looked at.
const mostPairs = 400

// onOneDevice returns the pairs of terminals, one of each side, that sit on one
// device, those of the probed devices first.
func (x *Explainer) onOneDevice(s sides, item *Item) [][2]int {
	pairs := x.pairsOf(s, item)
	return pairs[:min(len(pairs), mostPairs)]
}

// firstOf returns the first terminal of a terminal's device.
func (x *Explainer) firstOf(terminal int) int {
	m := x.judge.Machine
	device := m.Terminals[terminal].Device
	first, _ := m.TerminalIndex(model.TerminalRef{Device: device, Mark: m.Marks(device)[0]})
	return first
}
