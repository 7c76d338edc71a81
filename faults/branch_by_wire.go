package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// branch is a part of a net that hangs on the rest by one wire and on which,
// of all loads, only members sit: what one misplaced wire takes with it.
type branch struct {
	wire    int // the wire nearest to the rest of the net; -1: a member lies on no wire of its own
	members []int
}

// branches sorts members, terminals that sit in the wrong net, by the wire that
// took them there. The net is walked outwards from a terminal that belongs in
// it; a member climbs back while nothing but members lies below. Cost: linear
// in the net.
func (b *Analysis) branches(net *graphs.Net, root int, members map[int]bool) []branch {
	walk := newSpread(root)
	var order []int
	for len(walk.ring) > 0 {
		order = append(order, walk.ring...)
		b.spread(walk, b.AsIntended, func(id int) bool { return b.AsIntended.Elements[id].Joins() })
	}
	parent := walk.by                      // the element towards the root
	good := make(map[int]bool, len(order)) // the terminal or something behind it belongs here
	for _, t := range slices.Backward(order) {
		if b.belongs(t, members) {
			good[t] = true
		}
		if id := parent[t]; id >= 0 && good[t] {
			good[b.AsIntended.Far(id, t)] = true
		}
	}
	byWire := map[int][]int{}
	for _, t := range net.Terminals {
		if !members[t] {
			continue
		}
		wire, at := -1, t
		for !good[at] && parent[at] >= 0 {
			if b.isWire(parent[at]) {
				wire = parent[at]
			}
			at = b.AsIntended.Far(parent[at], at)
		}
		byWire[wire] = append(byWire[wire], t)
	}
	list := make([]branch, 0, len(byWire))
	for wire, found := range byWire {
		slices.SortFunc(found, b.compareTerminals)
		list = append(list, branch{wire: wire, members: found})
	}
	slices.SortFunc(list, func(x, y branch) int { return b.compareTerminals(x.members[0], y.members[0]) })
	return list
}

// belongs says whether a terminal holds its part of the net in place.
func (b *Analysis) belongs(t int, members map[int]bool) bool {
	switch b.role(t) {
	case model.RolePass, model.RoleUnknown, model.RoleSignal:
		return false
	default:
		return !members[t]
	}
}
