package faults

import (
	"bellout/graphs"
	"bellout/model"
)

// findCommon numbers the terminals by what has one 0 V in the running machine:
// metal and shunts as drawn but for shorts and rail crossings, and the returns of one
// section, which the device itself makes common. Grounds that are joined
// without a bond count as joined here: that they are is what mixed-ground says,
// and a rule must not say the opposite in the next line. Cost: linear.
func (b *Bench) findCommon() []int32 {
	culprits := map[int]bool{}
	for _, crossing := range b.Crossings {
		if crossing.Rule != nameMixedGround {
			for _, id := range crossing.Elements {
				culprits[id] = true
			}
		}
	}
	common := label(b.Drawn, func(id int, e graphs.Element) bool { return (e.Joins() || b.isShunt(e)) && !culprits[id] })
	count := int32(0)
	for _, island := range common {
		count = max(count, island+1)
	}
	sets := newUnion(int(count))
	first := map[section]int{}
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role != model.RoleReturn {
			continue
		}
		key := b.section(t)
		if earlier, found := first[key]; found {
			sets.join(common[earlier], common[t])
		} else {
			first[key] = t
		}
	}
	for t := range common {
		common[t] = sets.find(common[t])
	}
	return common
}

// Common says whether two terminals share one 0 V; see findCommon.
func (b *Bench) Common(one, other int) bool { return b.common[one] == b.common[other] }

// union is a set of sets.
type union struct{ parent []int32 }

func newUnion(count int) *union {
	u := &union{parent: make([]int32, count)}
	for x := range u.parent {
		u.parent[x] = int32(x)
	}
	return u
}

func (u *union) find(x int32) int32 {
	for u.parent[x] != x {
		u.parent[x] = u.parent[u.parent[x]]
		x = u.parent[x]
	}
	return x
}

func (u *union) join(x, y int32) { u.parent[u.find(x)] = u.find(y) }
