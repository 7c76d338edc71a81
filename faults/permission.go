package faults

import (
	"slices"

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
// that it reaches without passing what it is bonded to.
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
	nodes := map[int]int{}
	node := func(t int) int {
		known, found := nodes[t]
		if !found {
			if known = b.ownerOf(t, partners[t]); known < 0 {
				known = len(p.parent)
				p.parent = append(p.parent, known)
			}
			nodes[t] = known
		}
		return known
	}
	for _, pair := range pairs {
		p.join(node(pair.from), node(pair.to))
	}
	b.permitConverters(p)
	return p
}

// ownerOf returns the node of permissions that a bond's end speaks for: the
// nearest ground or earth, by joins, that it reaches without passing the other
// ends; -1 if it reaches none. Of several equally near it takes the one that
// comes first by name.
func (b *Bench) ownerOf(terminal int, avoid []int) int {
	seen := map[int]bool{terminal: true}
	for _, t := range avoid {
		seen[t] = true
	}
	owner := -1
	for ring := []int{terminal}; len(ring) > 0 && owner < 0; {
		for _, t := range ring {
			switch at := b.groundAt[t]; {
			case at >= 0 && (owner < 0 || owner == len(b.Grounds) || b.groundBefore(at, owner)):
				owner = at
			case at < 0 && owner < 0 && b.role(t) == model.RoleEarth:
				owner = len(b.Grounds)
			}
		}
		var next []int
		for _, t := range ring {
			for _, id := range b.Drawn.Incident(t) {
				if far := b.Drawn.Far(int(id), t); b.Drawn.Elements[id].Joins() && !seen[far] {
					seen[far] = true
					next = append(next, far)
				}
			}
		}
		ring = next
	}
	return owner
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
// need say so.
func (b *Bench) permitConverters(p *permissions) {
	nets := b.Drawn.Nets()
	rails := map[int][]int{}
	for at, supply := range b.Parts.Supplies {
		net := nets.Of[supply.Rail]
		rails[net] = append(rails[net], at)
	}
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
			if fitting == 0 || b.Fits(at, supply) {
				p.join(own, b.groundOfSupply[supply])
			}
		}
	}
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
