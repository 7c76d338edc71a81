package faults

import (
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// findStacks finds supplies in series: a return that stands on another supply's
// rail, as the second of two batteries does, or the plus side of two outputs that
// make plus and minus. The join is no short where it closes no loop: no other
// metal, no supply and no bond leads from the upper supply to the return of the
// lower, so that no current can flow in it but what loads across the two draw.
// Cost: linear, and the number of supplies once more for each such join.
func (b *Analysis) findStacks() {
	b.under, b.standing = map[int]int{}, map[int]int{}
	rails := b.railsByNet()
	order := make([]int, len(b.Grounds))
	zeros := map[int][]int{} // by net: roots of the permissions whose returns it holds
	for ground := range b.Grounds {
		order[ground] = ground
		for _, t := range b.Grounds[ground].Returns {
			net := b.AsDrawn.Nets().Of[t]
			zeros[net] = append(zeros[net], b.permitted.find(ground))
		}
	}
	slices.SortFunc(order, b.compareGrounds)
	for _, upper := range order {
		root := b.permitted.find(upper)
		for _, t := range b.Grounds[upper].Returns {
			net := b.AsDrawn.Nets().Of[t]
			for _, at := range rails[net] {
				supply, lower := b.Parts.Supplies[at], b.groundOfSupply[at]
				if !(supply.Volts.Value > 0) || len(supply.Returns) == 0 || b.MayBeCommon(upper, lower) || b.loopsBack(upper, lower, net) {
					continue
				}
				// A rail that is shorted besides: of batteries the short is what is wrong, of
				// supplies it may as well be the join.
				if shorted := slices.Contains(zeros[net], b.permitted.find(lower)); shorted &&
					(b.kindOf(supply.Device) != model.KindBattery || b.kindOf(b.Grounds[upper].Device) != model.KindBattery) {
					continue
				}
				b.standing[at] = root
				if _, known := b.under[root]; !known {
					b.under[root] = at
				}
			}
		}
	}
}

// railsByNet lists the supplies by the net of Drawn that holds their rail, each
// list in the order of names.
func (b *Analysis) railsByNet() map[int][]int {
	rails := map[int][]int{}
	for _, at := range b.suppliesByName() {
		net := b.AsDrawn.Nets().Of[b.Parts.Supplies[at].Rail]
		rails[net] = append(rails[net], at)
	}
	return rails
}

// loopsBack says whether, without the one net in which they are joined, metal,
// supplies and bonds still lead from one ground to another.
func (b *Analysis) loopsBack(upper, lower, without int) bool {
	nets := b.AsDrawn.Nets()
	place := map[int]int32{} // of nets
	at := func(t int) int32 {
		net := nets.Of[t]
		if _, known := place[net]; !known {
			place[net] = int32(len(b.permitted.sets) + len(place))
		}
		return place[net]
	}
	type tie struct{ ground, net int32 }
	var ties []tie
	for ground, g := range b.Grounds {
		for _, t := range g.Returns {
			if nets.Of[t] != without {
				ties = append(ties, tie{int32(b.permitted.find(ground)), at(t)})
			}
		}
		for _, supply := range g.Supplies {
			if rail := b.Parts.Supplies[supply].Rail; nets.Of[rail] != without {
				ties = append(ties, tie{int32(b.permitted.find(ground)), at(rail)})
			}
		}
	}
	sets := kit.NewSets[int32](len(b.permitted.sets) + len(place))
	for _, one := range ties {
		sets.Union(one.ground, one.net)
	}
	return sets.Same(int32(b.permitted.find(upper)), int32(b.permitted.find(lower)))
}

// stackVolts returns how many volts a ground stands above another by the
// supplies that it is stacked on, and the roots passed; no root: it is not
// stacked on that one.
func (b *Analysis) stackVolts(upper, lower int) (volts float64, through []int) {
	root := b.permitted.find(upper)
	for range len(b.under) {
		at, stacked := b.under[root]
		if !stacked {
			return 0, nil
		}
		volts += b.Parts.Supplies[at].Volts.Value
		through = append(through, root)
		root = b.permitted.find(b.groundOfSupply[at])
		if root == b.permitted.find(lower) {
			return volts, through
		}
	}
	return 0, nil
}

// standsOnRail returns the root of the returns that stand on a supply's rail;
// false: none do. Such a rail is a 0 V, such as the middle of plus and minus, and
// may be on earth as any other.
func (b *Analysis) standsOnRail(supply int) (root int, stands bool) {
	for _, at := range sortedKeys(b.standing) {
		if one, other := b.Parts.Supplies[at], b.Parts.Supplies[supply]; at == supply || b.section(one.Rail) == b.section(other.Rail) && sameVolts(one, other) {
			return b.standing[at], true
		}
	}
	return 0, false
}

// isStack says whether a rail may meet a return, earth or another rail because
// what stands on the one is, or stands on, the other.
func (b *Analysis) isStack(rail, other anchor) bool {
	root, stands := b.standsOnRail(rail.of)
	switch {
	case !stands:
		return false
	case other.kind == anchorZero:
		return root == other.of
	case other.kind == anchorRail:
		too, stands := b.standsOnRail(other.of)
		return stands && too == root
	}
	return other.kind == anchorEarth
}

func (b *Analysis) reachedGrounds(returns []int) []int {
	var found []int
	for _, t := range returns {
		found = mergeSorted(found, b.reach.grounds(t, false))
	}
	return found
}

// stackedOn returns the ground that a load returns to where that lies below the
// supply's own, and the volts between the two; false where it returns to the
// supply itself or nothing is stacked.
func (b *Analysis) stackedOn(returns []int, supply int) (ground int, volts float64, stacked bool) {
	if len(b.under) == 0 {
		return 0, 0, false
	}
	upper := b.groundOfSupply[supply]
	grounds := b.reachedGrounds(returns)
	for _, back := range grounds {
		if b.MayBeCommon(back, upper) {
			return 0, 0, false
		}
	}
	for _, back := range grounds {
		if volts, through := b.stackVolts(upper, back); len(through) > 0 {
			return back, volts, true
		}
	}
	return 0, 0, false
}
