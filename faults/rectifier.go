package faults

import (
	"slices"

	"bellout/graphs"
)

// rectifier is a bridge of diodes as a device draws it: what goes in by one of its
// AC terminals comes back by another, whichever way round the half-cycle is.
type rectifier struct {
	inputs []int // terminals on the AC side, two or more
	minus  int   // the terminal from which every input is fed
}

// findRectifiers reads the bridges off the diodes: from minus to each input, and
// from each input to one and the same plus, all inside one device.
func (b *Analysis) findRectifiers() {
	type end struct{ from, to []int }
	ends := map[int]*end{}
	at := func(t int) *end {
		if ends[t] == nil {
			ends[t] = &end{}
		}
		return ends[t]
	}
	for _, e := range b.AsDrawn.Elements {
		if e.Kind == graphs.Diode && e.Present {
			at(e.A).to = append(at(e.A).to, e.B)
			at(e.B).from = append(at(e.B).from, e.A)
		}
	}
	b.rectifierOf = map[int]int{}
	for _, minus := range sortedKeys(ends) {
		byPlus := map[int][]int{}
		for _, input := range ends[minus].to {
			for _, plus := range eachOnce(ends[input].to) {
				byPlus[plus] = append(byPlus[plus], input)
			}
		}
		for _, plus := range sortedKeys(byPlus) {
			inputs := eachOnce(byPlus[plus])
			if len(inputs) < 2 || plus == minus {
				continue
			}
			for _, t := range inputs {
				b.rectifierOf[t] = len(b.rectifiers)
			}
			b.rectifiers = append(b.rectifiers, rectifier{inputs, minus})
		}
	}
}

// overInputs gathers what the AC terminals of a bridge lead to, for one of them;
// for any other terminal what that leads to.
func (b *Analysis) overInputs(t int, find func(t int) []int) []int {
	i, rectified := b.rectifierOf[t]
	if !rectified {
		return find(t)
	}
	var found []int
	for _, input := range b.rectifiers[i].inputs {
		found = mergeSorted(found, find(input))
	}
	return found
}

// windings returns the grounds of supplies of which two rails feed a bridge, by one
// of its AC terminals: both ends of a winding, each the way back of the other.
func (b *Analysis) windings(t int) []int {
	var found []int
	first := map[int]int{} // by ground: a supply that feeds the bridge
	for _, supply := range b.overInputs(t, func(t int) []int { return b.reach.supplies(t, false) }) {
		ground := b.groundOfSupply[supply]
		if other, known := first[ground]; known && b.NetOf(b.Parts.Supplies[other].Rail) != b.NetOf(b.Parts.Supplies[supply].Rail) {
			found = mergeSorted(found, []int{ground})
		} else if !known {
			first[ground] = supply
		}
	}
	return found
}

// groundRectifiers makes the minus of each bridge a return of the supply that
// feeds it: it stands on that one's 0 V through the bridge.
func (b *Analysis) groundRectifiers() {
	for _, one := range b.rectifiers {
		var grounds []int
		for _, supply := range b.overInputs(one.inputs[0], func(t int) []int { return b.reach.supplies(t, false) }) {
			grounds = mergeSorted(grounds, []int{b.groundOfSupply[supply]})
		}
		if b.groundAt[one.minus] < 0 && len(grounds) == 1 {
			b.groundAt[one.minus] = grounds[0]
			b.rectified = append(b.rectified, one.minus)
		}
	}
	slices.Sort(b.rectified)
}
