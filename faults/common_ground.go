package faults

import (
	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

// findCommon numbers the terminals by what has one 0 V in the running machine:
// metal and shunts as drawn but for shorts and rail crossings, and the returns of one
// section, which the device itself makes common. Grounds that are joined
// without a bond count as joined here: that they are is what mixed-ground says,
// and a rule must not say the opposite in the next line. Cost: linear.
func (b *Analysis) findCommon() []int32 {
	culprits := map[int]bool{}
	for _, crossing := range b.NetBridges {
		if crossing.Rule != nameMixedGround {
			for _, id := range crossing.Elements {
				culprits[id] = true
			}
		}
	}
	common := label(b.AsDrawn, func(id int, e graphs.Element) bool { return (e.Joins() || b.isShunt(e)) && !culprits[id] })
	count := int32(0)
	for _, island := range common {
		count = max(count, island+1)
	}
	sets := kit.NewSets[int32](int(count))
	first := map[section]int{}
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role != model.RoleReturn {
			continue
		}
		key := b.section(t)
		if earlier, found := first[key]; found {
			sets.Union(common[earlier], common[t])
		} else {
			first[key] = t
		}
	}
	for t := range common {
		common[t] = sets.Find(common[t])
	}
	return common
}

// Common says whether two terminals share one 0 V; see findCommon.
func (b *Analysis) Common(one, other int) bool { return b.common[one] == b.common[other] }
