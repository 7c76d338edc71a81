package explain

import (
	"slices"

	"bellout/model"
)

// changedOver proposes, for readings that each see a wire not conduct, that two
// such wires of different nets were changed over where both end: one mistake
// instead of two. By number of the reading. A single open wire proposes nothing
// here: most of its neighbours will prove themselves in their turn.
func (x *Explainer) changedOver(items []*Item) map[int64][]Hypothesis {
	type end struct {
		item, wire, terminal int
		acquitted            bool // of being open
	}
	meeting := map[string][]end{} // by device
	var order []string
	c, m := x.judge.Rest, x.judge.Machine
	for i, item := range items {
		once := map[int]bool{}
		for _, h := range x.proposed(item) {
			if h.Fault != WireOpen && h.Fault != WireHigh || once[h.Element] {
				continue
			}
			once[h.Element] = true
			acquitted := x.acquits(h)
			for _, t := range [2]int{c.Elements[h.Element].A, c.Elements[h.Element].B} {
				device := m.Terminals[t].Device
				if meeting[device] == nil {
					order = append(order, device)
				}
				meeting[device] = append(meeting[device], end{i, h.Element, t, acquitted})
			}
		}
	}
	of := c.Nets().Of
	type pair struct{ one, other int } // places in items
	list := map[pair][]Place{}
	for _, device := range order {
		ends := meeting[device]
		for k, one := range ends {
			for _, other := range ends[k+1:] {
				if one.item == other.item || of[one.terminal] == of[other.terminal] || one.acquitted && other.acquitted {
					continue
				}
				place := at(Swap)
				place.Element, place.A, place.Other, place.B = one.wire, one.terminal, other.wire, other.terminal
				if model.Compare(x.ElementName(place.Other), x.ElementName(place.Element)) < 0 {
					place.Element, place.A, place.Other, place.B = place.Other, place.B, place.Element, place.A
				}
				of := pair{min(one.item, other.item), max(one.item, other.item)}
				// a reading that acquits one of the breaks may be the one that shows
				// where its wire went
				if !slices.Contains(list[of], place) && len(list[of]) < mostSwaps {
					list[of] = append(list[of], place)
				}
			}
		}
	}
	found := map[int64][]Hypothesis{}
	for of, places := range list {
		for _, place := range places {
			h := Hypothesis{Place: place, Prior: x.swapPrior(place, len(places))}
			for _, i := range [2]int{of.one, of.other} {
				if item := items[i]; x.gain(item, h) > helps {
					found[item.Reading.Number] = append(found[item.Reading.Number], h)
				}
			}
		}
	}
	return found
}

// swapPrior is the chance of one of several swaps that fit.
func (x *Explainer) swapPrior(p Place, fit int) float64 {
	c, m := x.judge.Rest, x.judge.Machine
	prior := x.priors.Of("swap") / float64(fit)
	if m.Terminals[p.A].Device == m.Terminals[p.B].Device && !slices.Contains(neighbours(c, p.A), p.B) {
		prior *= farSwap
	}
	return prior
}
