package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

// permissions say which grounds may be common, which may be earthed, and which
// rails may meet: what the bonds allow, one bond after another. The nodes are the
// grounds, earth, the rails, and the bond ends that none of them owns.
type permissions struct {
	sets  kit.Sets[int]
	earth int
}

// rail is the node of a supply's rail, by place in Parts.Supplies.
func (p *permissions) rail(supply int) int { return p.earth + 1 + supply }

// MayMeet says whether the rails of two supplies may be joined by metal: a charger
// and its battery, two supplies that share their loads.
func (b *Analysis) MayMeet(one, other int) bool {
	return b.permitted.sets.Same(b.permitted.rail(one), b.permitted.rail(other))
}

func (p *permissions) find(x int) int { return p.sets.Find(x) }

func (p *permissions) join(x, y int) { p.sets.Union(x, y) }

// MayBeCommon says whether two grounds may be joined: they are one, a chain of
// bonds permits it, or the one is a converter's that has the other's return for
// its own.
func (b *Analysis) MayBeCommon(one, other int) bool {
	return b.permitted.sets.Same(one, other)
}

// readPermissions works on the map as drawn, before anything is cut. A bond's
// end speaks for the ground whose return it is, for earth, for its rail, or for
// what it leads to without passing what it is bonded to. Where both ends lead to
// several, the two that lie nearest, and are two, are meant. Rails that may meet
// make a loop with their returns: those may meet too.
func readPermissions(b *Analysis) *permissions {
	p := &permissions{earth: len(b.Grounds), sets: kit.NewSets[int](len(b.Grounds) + 1 + len(b.Parts.Supplies))}
	type pair struct{ from, to int }
	var pairs []pair
	partners := map[int][]int{}
	bonds := slices.Clone(b.Machine.Bonds)
	slices.SortFunc(bonds, func(x, y model.Bond) int { return model.Compare(x.ID(), y.ID()) })
	for _, bond := range bonds {
		from, foundFrom := b.Machine.TerminalIndex(bond.From)
		to, foundTo := b.Machine.TerminalIndex(bond.To)
		if foundFrom && foundTo {
			pairs = append(pairs, pair{from, to})
			partners[from] = append(partners[from], to)
			partners[to] = append(partners[to], from)
		}
	}
	speaksFor := map[int]bondEnd{}
	end := func(t int) bondEnd {
		known, found := speaksFor[t]
		if !found {
			known = b.bondEnd(t, partners[t])
			if len(known.nodes) == 0 { // it speaks for itself, so that bonds chain through it
				known.ends, known.alone = ends{nodes: []int{p.sets.Add()}, wires: []int{0}}, true
			}
			speaksFor[t] = known
		}
		return known
	}
	for _, pair := range pairs {
		from, to := end(pair.from), end(pair.to)
		x, y, far := nearestTwo(from.ends, to.ends)
		rail, other, railsFar := nearestTwo(from.rails, to.rails)
		if railsFar >= 0 && (from.alone || to.alone || far < 0 || railsFar < far) {
			p.join(p.rail(rail), p.rail(other))
			x, y = b.groundOfSupply[rail], b.groundOfSupply[other]
		}
		p.join(x, y)
	}
	b.permitConverters(p)
	return p
}

// bondEnd is what one end of a bond may speak for: nodes of permissions that are
// grounds, earth or nobody's, and rails, by place in Parts.Supplies.
type bondEnd struct {
	ends
	alone bool // its node is its own: it leads to no ground and not to earth
	rails ends
}

// ends are numbers with how many wires away each lies; in order of that, then of
// name.
type ends struct{ nodes, wires []int }

// nearestTwo returns, of two lists, the two that lie nearest and are two; where
// there are none, the first of each and a distance of -1.
func nearestTwo(from, to ends) (one, other, far int) {
	far = -1
	if len(from.nodes) == 0 || len(to.nodes) == 0 {
		return 0, 0, far
	}
	one, other = from.nodes[0], to.nodes[0]
	for i, x := range from.nodes {
		for j, y := range to.nodes {
			if sum := from.wires[i] + to.wires[j]; x != y && (far < 0 || sum < far) {
				one, other, far = x, y, sum
			}
		}
	}
	return one, other, far
}

func (b *Analysis) bondEnd(terminal int, avoid []int) bondEnd {
	switch {
	case b.groundAt[terminal] >= 0:
		return bondEnd{ends: ends{[]int{b.groundAt[terminal]}, []int{0}}}
	case b.role(terminal) == model.RoleEarth:
		return bondEnd{ends: ends{[]int{len(b.Grounds)}, []int{0}}}
	case b.role(terminal) == model.RoleRail:
		return bondEnd{rails: ends{[]int{b.supplyAt(terminal)}, []int{0}}}
	}
	far := map[int]int{terminal: 0}
	for _, t := range avoid {
		far[t] = -1
	}
	wires, rails := map[int]int{}, map[int]int{}
	note := func(into map[int]int, node, distance int) {
		if _, known := into[node]; !known {
			into[node] = distance
		}
	}
	near, next := []int{terminal}, []int(nil)
	for distance := 0; len(near) > 0; distance++ {
		for len(near) > 0 { // links first, they are no way at all
			t := near[len(near)-1]
			near = near[:len(near)-1]
			switch role := b.role(t); {
			case b.groundAt[t] >= 0:
				note(wires, b.groundAt[t], distance)
			case role == model.RoleEarth:
				note(wires, len(b.Grounds), distance)
			case role == model.RoleRail:
				note(rails, b.supplyAt(t), distance)
			}
			for _, id := range b.AsDrawn.Incident(t) {
				to := b.AsDrawn.Far(int(id), t)
				if known, seen := far[to]; !b.AsDrawn.Elements[id].Joins() || seen && known <= distance {
					continue
				}
				if b.isWire(int(id)) {
					if _, seen := far[to]; !seen {
						far[to] = distance + 1
						next = append(next, to)
					}
				} else {
					far[to] = distance
					near = append(near, to)
				}
			}
		}
		near, next = next, nil
	}
	return bondEnd{
		ends: nearestFirst(wires, func(x, y int) bool {
			return y == len(b.Grounds) || x != len(b.Grounds) && b.groundBefore(x, y) // earth last
		}),
		rails: nearestFirst(rails, func(x, y int) bool {
			return b.compareTerminals(b.Parts.Supplies[x].Rail, b.Parts.Supplies[y].Rail) < 0
		}),
	}
}

// nearestFirst sorts what was found at some distance, equals by name.
func nearestFirst(distances map[int]int, before func(x, y int) bool) ends {
	var found ends
	for node := range distances {
		found.nodes = append(found.nodes, node)
	}
	slices.SortFunc(found.nodes, func(x, y int) int {
		switch {
		case distances[x] != distances[y]:
			return distances[x] - distances[y]
		case x == y:
			return 0
		case before(x, y):
			return -1
		default:
			return 1
		}
	})
	for _, node := range found.nodes {
		found.wires = append(found.wires, distances[node])
	}
	return found
}

// supplyAt returns the supply, by place in Parts.Supplies, of a rail.
func (b *Analysis) supplyAt(rail int) int {
	return slices.IndexFunc(b.Parts.Supplies, func(s graphs.Supply) bool { return s.Rail == rail })
}

func (b *Analysis) groundBefore(one, other int) bool {
	g, h := b.Grounds[one], b.Grounds[other]
	if order := model.Compare(g.Device, h.Device); order != 0 {
		return order < 0
	}
	return g.Section < h.Section
}

// permitConverters makes the ground of a converter whose input and output share
// a section common with whatever feeds it: it has one 0 V for both, and no bond
// need say so. Where it is fed by supplies in series, that is the ground of the
// one on which it stands.
func (b *Analysis) permitConverters(p *permissions) {
	nets := b.AsDrawn.Nets()
	rails := b.railsByNet()
	for at, load := range b.Parts.Loads {
		own, converts := b.groundOfSection[b.section(load.Feed)]
		if !converts {
			continue
		}
		feeding := rails[nets.Of[load.Feed]]
		if len(feeding) == 0 {
			feeding = b.reach.supplies(load.Feed, load.Volts.Or(0) < 0)
		}
		fitting := 0
		for _, supply := range feeding {
			if b.Fits(at, supply) {
				fitting++
			}
		}
		for _, supply := range feeding {
			if stood := b.standsOn(load, b.groundOfSupply[supply], rails); stood >= 0 {
				p.join(own, stood)
			} else if fitting == 0 || b.Fits(at, supply) {
				p.join(own, b.groundOfSupply[supply])
			}
		}
	}
}

// standsOn returns the ground that lies, rail under return, below another one, and
// to which a load's return leads; -1: to none, or to the upper one itself. Where
// it leads to several, the nearest is meant.
func (b *Analysis) standsOn(load graphs.Load, upper int, rails map[int][]int) int {
	nets := b.AsDrawn.Nets()
	below := map[int]bool{upper: true}
	for queue := []int{upper}; len(queue) > 0; queue = queue[1:] {
		for _, back := range b.Grounds[queue[0]].Returns {
			for _, supply := range rails[nets.Of[back]] {
				if ground := b.groundOfSupply[supply]; !below[ground] {
					below[ground] = true
					queue = append(queue, ground)
				}
			}
		}
	}
	if len(below) == 1 {
		return -1
	}
	metal := func(id int) bool { return b.AsDrawn.Elements[id].Joins() }
	for _, t := range load.Returns {
		terminals, _, found := b.shortest(b.AsDrawn, t, metal, func(t int) bool { return b.groundAt[t] >= 0 && below[b.groundAt[t]] })
		if found {
			if ground := b.groundAt[terminals[len(terminals)-1]]; ground != upper {
				return ground
			}
			return -1
		}
	}
	return -1
}

// Fits says whether a supply's nominal volts lie within a load's limits; true
// where either is not known.
func (b *Analysis) Fits(load, supply int) bool {
	volts := b.Parts.Supplies[supply].Volts
	if !volts.Known {
		return true
	}
	low, high := b.Parts.Loads[load].MinVolts, b.Parts.Loads[load].MaxVolts
	return (!low.Known || volts.Value >= low.Value) && (!high.Known || volts.Value <= high.Value)
}
