package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// permissions say which grounds may be common, and which may be earthed: what
// the bonds allow, one bond after another. The nodes are the grounds, earth,
// and the bond ends that no ground owns.
type permissions struct {
	parent []int
	earth  int
}

func (p *permissions) find(x int) int {
	for p.parent[x] != x {
		p.parent[x] = p.parent[p.parent[x]]
		x = p.parent[x]
	}
	return x
}

func (p *permissions) join(x, y int) { p.parent[p.find(x)] = p.find(y) }

// MayBeCommon says whether two grounds may be joined: they are one, a chain of
// bonds permits it, or the one is a converter's that has the other's return for
// its own.
func (b *Bench) MayBeCommon(one, other int) bool {
	return b.permitted.find(one) == b.permitted.find(other)
}

// readPermissions works on the map as drawn, before anything is cut. A bond's
// end speaks for the ground whose return it is, for earth, or for the ground
// that it leads to without passing what it is bonded to. Where both ends lead to
// several, the two that lie nearest, and are two, are meant.
func readPermissions(b *Bench) *permissions {
	p := &permissions{earth: len(b.Grounds), parent: make([]int, len(b.Grounds)+1)}
	for x := range p.parent {
		p.parent[x] = x
	}
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
	ends := map[int]bondEnd{}
	end := func(t int) bondEnd {
		known, found := ends[t]
		if !found {
			known = b.bondEnd(t, partners[t])
			if len(known.nodes) == 0 { // it speaks for itself, so that bonds chain through it
				known = bondEnd{nodes: []int{len(p.parent)}, wires: []int{0}}
				p.parent = append(p.parent, len(p.parent))
			}
			ends[t] = known
		}
		return known
	}
	for _, pair := range pairs {
		from, to := end(pair.from), end(pair.to)
		best, x, y := -1, from.nodes[0], to.nodes[0]
		for i, one := range from.nodes {
			for j, other := range to.nodes {
				if far := from.wires[i] + to.wires[j]; one != other && (best < 0 || far < best) {
					best, x, y = far, one, other
				}
			}
		}
		p.join(x, y)
	}
	b.permitConverters(p)
	return p
}

// bondEnd holds the nodes of permissions that one end of a bond may speak for,
// and how many wires away each lies; in order of that, then of name.
type bondEnd struct{ nodes, wires []int }

func (b *Bench) bondEnd(terminal int, avoid []int) bondEnd {
	switch {
	case b.groundAt[terminal] >= 0:
		return bondEnd{nodes: []int{b.groundAt[terminal]}, wires: []int{0}}
	case b.role(terminal) == model.RoleEarth:
		return bondEnd{nodes: []int{len(b.Grounds)}, wires: []int{0}}
	}
	far := map[int]int{terminal: 0}
	for _, t := range avoid {
		far[t] = -1
	}
	wires := map[int]int{}
	near, next := []int{terminal}, []int(nil)
	for distance := 0; len(near) > 0; distance++ {
		for len(near) > 0 { // links first, they are no way at all
			t := near[len(near)-1]
			near = near[:len(near)-1]
			if at := b.groundAt[t]; at >= 0 {
				if _, known := wires[at]; !known {
					wires[at] = distance
				}
			} else if b.role(t) == model.RoleEarth {
				if _, known := wires[len(b.Grounds)]; !known {
					wires[len(b.Grounds)] = distance
				}
			}
			for _, id := range b.Drawn.Incident(t) {
				to := b.Drawn.Far(int(id), t)
				if known, seen := far[to]; !b.Drawn.Elements[id].Joins() || seen && known <= distance {
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
	var end bondEnd
	for node := range wires {
		end.nodes = append(end.nodes, node)
	}
	slices.SortFunc(end.nodes, func(x, y int) int {
		switch {
		case wires[x] != wires[y]:
			return wires[x] - wires[y]
		case x == len(b.Grounds) || y == len(b.Grounds):
			return x - y // earth last
		case b.groundBefore(x, y):
			return -1
		default:
			return 1
		}
	})
	for _, node := range end.nodes {
		end.wires = append(end.wires, wires[node])
	}
	return end
}

func (b *Bench) groundBefore(one, other int) bool {
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
func (b *Bench) permitConverters(p *permissions) {
	nets := b.Drawn.Nets()
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

// standsOn returns the ground to which a load's return leads by metal and that
// lies, rail under return, below another one; -1: it leads to none, or to the
// upper one itself.
func (b *Bench) standsOn(load graphs.Load, upper int, rails map[int][]int) int {
	nets := b.Drawn.Nets()
	returns := func(ground, net int) bool {
		return slices.ContainsFunc(b.Grounds[ground].Returns, func(t int) bool { return nets.Of[t] == net })
	}
	for _, t := range load.Returns {
		seen := map[int]bool{upper: true}
		for queue := []int{upper}; len(queue) > 0 && !returns(upper, nets.Of[t]); queue = queue[1:] {
			for _, back := range b.Grounds[queue[0]].Returns {
				for _, supply := range rails[nets.Of[back]] {
					ground := b.groundOfSupply[supply]
					if seen[ground] {
						continue
					}
					if returns(ground, nets.Of[t]) {
						return ground
					}
					seen[ground] = true
					queue = append(queue, ground)
				}
			}
		}
	}
	return -1
}

// Fits says whether a supply's nominal volts lie within a load's limits; true
// where either is not known.
func (b *Bench) Fits(load, supply int) bool {
	volts := b.Parts.Supplies[supply].Volts
	if !volts.Known {
		return true
	}
	low, high := b.Parts.Loads[load].MinVolts, b.Parts.Loads[load].MaxVolts
	return (!low.Known || volts.Value >= low.Value) && (!high.Known || volts.Value <= high.Value)
}
