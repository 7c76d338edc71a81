package faults

import (
	"cmp"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// What it costs to blame an element. Wires go wrong most: they land in the
// wrong hole. A contact or fuse that joins what it should not is drawn wrong
// less often, a bus bar least, but never less than two wires at once. A load that would land on the wrong side costs
// five wires, and the one wire of such a load a little more, so that a load that
// is wired wrong is not taken for the crossing. A driver's output has its one wire
// for a purpose. Whether a return belongs to 0 V or to a driver is little more than
// a hint. Engineering judgement.
const (
	costWire    = 12
	costContact = 18
	costSolid   = 22
	costWish    = 60
	costLastWay = costWish + costWire
	costDriven  = 18
	costHint    = 2
	costJoined  = 1 << 12 // nobody has seen the wire: see model.BasisJoined
	oddScale    = 1 << 24
)

// Oddness: what makes one of several equally good culprits the likelier one.
// Engineering judgement.
const (
	oddColour  = 1 << 20 // another colour than the rest of its net
	oddPlanned = 1 << 17 // by how the map knows of it: planned, seen, probed
	oddSeen    = 1 << 16
)

func costOf(kind graphs.ElementKind) int64 {
	switch kind {
	case graphs.Wire, graphs.Clip:
		return costWire
	case graphs.Joined:
		return costJoined
	case graphs.Contact, graphs.Fuse:
		return costContact
	default:
		return costSolid
	}
}

// oddness of an element, apart from its colour.
func (b *Analysis) oddness(id int) int64 {
	e := b.AsDrawn.Elements[id]
	if e.Kind != graphs.Wire {
		return 0
	}
	switch b.Machine.Wires[e.Row].Basis {
	case model.BasisProbed:
		return 0
	case model.BasisSeen:
		return oddSeen
	default:
		return oddPlanned
	}
}

// compareOddness puts the likelier culprit first: by oddness, then what was
// named last, which as a rule was added last.
func (b *Analysis) compareOddness(one, other int) int {
	if order := cmp.Compare(b.oddness(other), b.oddness(one)); order != 0 {
		return order
	}
	return b.compareElements(other, one)
}

// cutting is one net laid out for a cut of one class of anchors from others.
type cutting struct {
	a        *netSeparation
	part     []int       // terminals
	node     map[int]int // of a terminal
	side     func(t int) int8
	elements []int
	arcs     []int // by place in elements

	// keep holds the terminals whose last wire is seldom the culprit, loads and
	// driver outputs, and what that wire costs.
	keep map[int]int64
}

const (
	noSide int8 = iota
	sourceSide
	sinkSide
)

// cut takes the elements out that join class x to the others in a connected set
// of terminals; it returns false if nothing can part them.
func (a *netSeparation) cut(part []int, x anchor, others []anchor) bool {
	var against []anchor
	for _, y := range others {
		if a.b.clash(x, y) != "" {
			against = append(against, y)
		}
	}
	c := newCutting(a, part, func(t int) int8 {
		y, found := a.anchors[t]
		switch {
		case !found:
			return noSide
		case y == x, y.kind == anchorEarth && x.kind == anchorZero && y.of == x.of:
			return sourceSide
		case slices.Contains(against, y):
			return sinkSide
		case y.kind == anchorEarth && slices.Contains(against, anchor{anchorZero, y.of}):
			return sinkSide
		default:
			return noSide
		}
	})
	wishes := a.wishesOf(part, x, against)
	c.keep = make(map[int]int64, len(wishes))
	for t, pull := range wishes {
		c.keep[t] = max(costWire, pull.cost+costWire)
	}
	for _, t := range part {
		if a.anchors[t].kind == anchorDrive {
			c.keep[t] = costDriven
		}
	}
	return c.run(wishes)
}

func newCutting(a *netSeparation, part []int, side func(t int) int8) *cutting {
	c := &cutting{a: a, part: part, node: make(map[int]int, len(part)), side: side}
	for at, t := range part {
		c.node[t] = at + 2
	}
	for _, t := range part {
		for _, id := range a.b.AsDrawn.Incident(t) {
			if e := a.b.AsDrawn.Elements[id]; e.A == t && a.joins(int(id)) {
				c.elements = append(c.elements, int(id))
			}
		}
	}
	return c
}

// run finds the cut and takes it out; false if nothing can part the sides.
func (c *cutting) run(wishes map[int]pull) bool {
	plain := c.fill(wishes, nil)
	if plain == nil {
		return false
	}
	candidates := c.candidates(plain)
	chosen := c.cutOf(plain)
	if len(candidates) > len(chosen) {
		odd := c.odd(plain, candidates)
		if best := c.fill(wishes, odd); best != nil {
			chosen = c.cutOf(best)
		}
		c.blame(chosen, candidates, odd)
		return true
	}
	c.blame(chosen, nil, nil)
	return true
}

// cutBetween returns the cheapest cut between two sets of terminals of one net
// of Apart, by the same costs and signs, and what could be blamed as well. A
// terminal's last wire is the least likely culprit. Nothing comes back where no
// cut parts them.
func (b *Analysis) cutBetween(part []int, sides map[int]int8) (culprits, rivals []int) {
	a := &netSeparation{b: b, out: b.culprits(), rivals: map[int][]int{}, sure: map[int]float64{}}
	c := newCutting(a, part, func(t int) int8 { return sides[t] })
	c.keep = make(map[int]int64, len(sides))
	for t := range sides {
		c.keep[t] = costLastWay
	}
	if !c.run(nil) {
		return nil, nil
	}
	before := b.culprits()
	for id := range a.out {
		if !before[id] {
			culprits = append(culprits, id)
		}
	}
	slices.SortFunc(culprits, b.compareOddness)
	for _, id := range culprits {
		for _, rival := range a.rivals[id] {
			if !slices.Contains(rivals, rival) && !slices.Contains(culprits, rival) {
				rivals = append(rivals, rival)
			}
		}
	}
	return culprits, rivals
}

// fill runs the network. With odd, ties between cuts of one cost go to the odder
// elements.
func (c *cutting) fill(wishes map[int]pull, odd map[int]int64) *flow {
	b := c.a.b
	f := newFlow(len(c.part)+2, len(c.elements)+len(c.part))
	c.arcs = c.arcs[:0]
	for _, id := range c.elements {
		e := b.AsDrawn.Elements[id]
		cost := costOf(e.Kind)
		if e.Kind == graphs.Wire {
			cost = max(cost, c.lastWay(e.A), c.lastWay(e.B))
		}
		cost = cost*oddScale - odd[id]
		c.arcs = append(c.arcs, f.arc(c.node[e.A], c.node[e.B], cost, cost))
	}
	for _, t := range c.part {
		switch c.side(t) {
		case sourceSide:
			f.arc(source, c.node[t], unbreakable, 0)
		case sinkSide:
			f.arc(c.node[t], sink, unbreakable, 0)
		default:
			switch wish := wishes[t]; wish.side {
			case sourceSide:
				f.arc(source, c.node[t], wish.cost*oddScale, 0)
			case sinkSide:
				f.arc(c.node[t], sink, wish.cost*oddScale, 0)
			}
		}
	}
	if !f.run() {
		return nil
	}
	return f
}

// lastWay returns what a terminal's wire costs when it is the only way to the
// rest; 0 if it is not, or the terminal is nothing special.
func (c *cutting) lastWay(t int) int64 {
	cost := c.keep[t]
	if cost == 0 {
		return 0
	}
	ways := 0
	for _, id := range c.a.b.AsDrawn.Incident(t) {
		if c.a.joins(int(id)) {
			ways++
		}
	}
	if ways != 1 {
		return 0
	}
	return cost
}

// cutOf returns the elements between the source's side and the rest.
func (c *cutting) cutOf(f *flow) []int {
	near := f.nearSource()
	var list []int
	for at, id := range c.elements {
		if arc := c.arcs[at]; near[f.to[arc]] != near[f.to[arc^1]] {
			list = append(list, id)
		}
	}
	return c.needed(list)
}

// needed drops from a cut what parts no anchors: wires of loads that sit on the
// wrong side.
func (c *cutting) needed(cut []int) []int {
	b := c.a.b
	slices.SortFunc(cut, func(x, y int) int { return b.compareOddness(y, x) })
	kept := slices.Clone(cut)
	for _, id := range cut {
		without := slices.DeleteFunc(slices.Clone(kept), func(other int) bool { return other == id })
		if len(kept) > 1 && c.parts(without) {
			kept = without
		}
	}
	return kept
}

// parts says whether the anchors of the two sides are apart without the
// elements.
func (c *cutting) parts(without []int) bool {
	b := c.a.b
	seen := make([]bool, len(c.part)+2)
	var stack []int
	for _, t := range c.part {
		if c.side(t) == sourceSide {
			seen[c.node[t]] = true
			stack = append(stack, t)
		}
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if c.side(t) == sinkSide {
			return false
		}
		for _, id := range b.AsDrawn.Incident(t) {
			if !c.a.joins(int(id)) || slices.Contains(without, int(id)) {
				continue
			}
			far := b.AsDrawn.Far(int(id), t)
			if at, inside := c.node[far]; inside && !seen[at] {
				seen[at] = true
				stack = append(stack, far)
			}
		}
	}
	return true
}

// candidates returns every element that lies in some cut of least cost.
func (c *cutting) candidates(f *flow) []int {
	knot := f.knots()
	var list []int
	for at, id := range c.elements {
		arc := c.arcs[at]
		full := f.room[arc] == 0 || f.room[arc^1] == 0
		if full && knot[f.to[arc]] != knot[f.to[arc^1]] {
			list = append(list, id)
		}
	}
	return list
}

// odd says how odd each candidate looks, in units that only settle ties: its
// colour is none that the wires of the two sides, or of the whole net where
// those have none, mostly have; how the map knows of it; what was added last.
func (c *cutting) odd(f *flow, candidates []int) map[int]int64 {
	b := c.a.b
	usual := c.usualColours(f, candidates)
	order := slices.Clone(candidates)
	slices.SortFunc(order, b.compareElements)
	odd := make(map[int]int64, len(candidates))
	for at, id := range order {
		odd[id] = b.oddness(id) + int64(min(at+1, oddSeen-1))
		if e := b.AsDrawn.Elements[id]; e.Kind == graphs.Wire {
			if colour := b.Machine.Wires[e.Row].Colour; colour != "" && len(usual) > 0 && !usual[colour] {
				odd[id] += oddColour
			}
		}
	}
	return odd
}

func (c *cutting) usualColours(f *flow, candidates []int) map[model.Colour]bool {
	b := c.a.b
	near, far := f.nearSource(), f.nearSink()
	counts := [2]map[model.Colour]int{{}, {}}
	all := map[model.Colour]int{}
	for _, id := range c.elements {
		e := b.AsDrawn.Elements[id]
		if e.Kind != graphs.Wire || b.Machine.Wires[e.Row].Colour == "" {
			continue
		}
		colour := b.Machine.Wires[e.Row].Colour
		from, to := c.node[e.A], c.node[e.B]
		all[colour]++
		if near[from] && near[to] {
			counts[0][colour]++
		}
		if far[from] && far[to] {
			counts[1][colour]++
		}
	}
	usual := map[model.Colour]bool{}
	for _, count := range counts {
		colour, found := mostOf(count)
		if !found {
			// A side that shows no colour of its own has that of the net, if the net
			// has one.
			if colour, found = mostOf(all); !found || all[colour] < 2 {
				continue
			}
		}
		usual[colour] = true
	}
	return usual
}

func mostOf(counts map[model.Colour]int) (best model.Colour, found bool) {
	for colour, count := range counts {
		if !found || count > counts[best] || count == counts[best] && colour < best {
			best, found = colour, true
		}
	}
	return best, found
}

// blame takes the chosen elements out and notes what could be blamed as well.
func (c *cutting) blame(chosen, candidates []int, odd map[int]int64) {
	const mostTried, mostNamed = 60, 8
	b := c.a.b
	rivals := slices.DeleteFunc(slices.Clone(candidates), func(id int) bool { return slices.Contains(chosen, id) })
	slices.SortFunc(rivals, func(x, y int) int {
		if order := cmp.Compare(odd[y], odd[x]); order != 0 {
			return order
		}
		return b.compareElements(x, y)
	})
	rivals = rivals[:min(len(rivals), mostTried)]
	for _, id := range chosen {
		var real []int
		for _, rival := range rivals {
			swapped := append(slices.DeleteFunc(slices.Clone(chosen), func(other int) bool { return other == id }), rival)
			if len(real) < mostNamed && c.parts(swapped) {
				real = append(real, rival)
			}
		}
		c.a.rivals[id] = real
		switch {
		case len(real) == 0:
			c.a.sure[id] = 1
		case odd[id] >= odd[real[0]]+oddColour/2:
			c.a.sure[id] = 0.8
		default:
			c.a.sure[id] = max(0.2, 1/float64(1+len(real)))
		}
	}
	for _, id := range chosen {
		c.a.out[id] = true
	}
}
