package faults

import (
	"fmt"
	"slices"

	"bellout/graphs"
)

// matchMissent finds, for each crossing, what its culprit was probably meant
// for: a terminal that is dead and has no wire, while the culprit has one end
// where that terminal would be well. A wire that landed in the wrong hole is one
// cause: the crossing says it, and the dead load is left out.
func (b *Analysis) matchMissent() {
	taken := map[int]bool{}
	for at := range b.NetBridges {
		crossing := &b.NetBridges[at]
		for _, id := range crossing.Elements {
			if b.AsDrawn.Elements[id].Kind != graphs.Wire {
				continue
			}
			if t, found := b.wantsWire(id, taken); found {
				taken[t] = true
				crossing.MeantFor = append(crossing.MeantFor, t)
			}
		}
	}
}

func (b *Analysis) wantsWire(id int, taken map[int]bool) (terminal int, found bool) {
	e := b.AsDrawn.Elements[id]
	for _, list := range []struct {
		groups []disconnectedLoads
		way    way
	}{{b.deadFeeds, way{}}, {b.deadReturns, way{grounds: true}}} {
		for at := range list.groups {
			group := &list.groups[at]
			t, bare := b.bareEnd(group)
			if !bare || taken[t] || group.missent {
				continue
			}
			for _, end := range [2]int{e.A, e.B} {
				if found := b.reach.search(end, list.way); len(found) > 0 && (list.way.grounds || b.feedFits(group.loads[0], found)) {
					group.missent = true
					return t, true
				}
			}
		}
	}
	for _, island := range b.unearthedIslands {
		for _, t := range island {
			for _, end := range [2]int{e.A, e.B} {
				if !taken[t] && (end == t || !b.wired(t) && b.earthed[b.NetOf(end)]) {
					return t, true
				}
			}
		}
	}
	grounds := make([]int, len(b.Grounds))
	for at := range grounds {
		grounds[at] = at
	}
	slices.SortFunc(grounds, b.compareGrounds)
	for _, ground := range grounds {
		for _, t := range b.Grounds[ground].Returns {
			if !taken[t] && !b.wired(t) && (e.A == t || e.B == t || b.OnReturn(e.A) || b.OnReturn(e.B)) {
				return t, true
			}
		}
	}
	return 0, false
}

// bareEnd returns the terminal without a wire at which a dead group ends, or, in
// a group that ends at no clear place, the first of its loads' terminals. A group
// of which it is known what it lacks has none.
func (b *Analysis) bareEnd(group *disconnectedLoads) (terminal int, bare bool) {
	switch {
	case len(group.missing) > 0 || group.misplace >= 0:
		return 0, false
	case group.driver >= 0:
		return group.driver, true
	case len(group.loose) == 1:
		return group.loose[0], true
	default:
		return group.members[0], true
	}
}

// isMeant says whether a crossing's culprit was probably meant for a terminal.
func (b *Analysis) isMeant(t int) bool {
	for _, crossing := range b.NetBridges {
		for _, other := range crossing.MeantFor {
			if other == t {
				return true
			}
		}
	}
	return false
}

func (b *Analysis) meantText(crossing NetBridge) string {
	if len(crossing.MeantFor) == 0 {
		return ""
	}
	return fmt.Sprintf(" %s is cut off now: that is probably where it belongs.", b.namesOf(crossing.MeantFor))
}
