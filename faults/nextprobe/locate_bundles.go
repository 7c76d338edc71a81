package nextprobe

import (
	"slices"

	"bellout/model"
)

// halves returns the touches that halve two bundles of nets which a reading saw
// meet: half of one side against all of the other. What is proven apart meanwhile
// stays out, so that a silent half leaves the other half to be halved next.
func (p *Planner) halves(r model.Reading) []testPair {
	if _, clips := splitClips(r.Conditions); len(clips) == 0 {
		return nil
	}
	sides := p.sidesOf(r)
	sides = [2][]int{p.unprovenOf(sides[0], sides[1]), p.unprovenOf(sides[1], sides[0])}
	if len(sides[0]) == 0 || len(sides[1]) == 0 {
		return nil
	}
	var list []testPair
	add := func(a, b []int) {
		red, black := a[0], b[0]
		if conditions := clippedSides(p.refs(a), p.refs(b)); p.usable(red, black, conditions) {
			list = append(list, testPair{red, black, conditions})
		}
	}
	if len(sides[0]) == 1 && len(sides[1]) == 1 {
		add(sides[0], sides[1])
	}
	for which := range 2 {
		side, other := sides[which], sides[1-which]
		if half := len(side) / 2; half > 0 {
			add(side[:half], other)
			add(side[half:], other)
		}
	}
	return list
}

// sidesOf returns the terminals that each tip of a reading touched, itself and by
// clip leads.
func (p *Planner) sidesOf(r model.Reading) [2][]int {
	var sides [2][]int
	for which, tip := range [2]model.TerminalRef{r.Red, r.Black} {
		refs := []model.TerminalRef{tip}
		for _, condition := range r.Conditions {
			if clipped := condition.ClippedRefs(); slices.Contains(clipped, tip) {
				refs = append(refs, clipped...)
			}
		}
		for _, ref := range refs {
			if t, found := p.machine.TerminalIndex(ref); found && !slices.Contains(sides[which], t) {
				sides[which] = append(sides[which], t)
			}
		}
	}
	return sides
}

// unprovenOf returns the terminals of a side that nothing proves apart from all
// of the other.
func (p *Planner) unprovenOf(side, other []int) []int {
	return slices.DeleteFunc(slices.Clone(side), func(t int) bool {
		return !slices.ContainsFunc(other, func(far int) bool {
			proven, _ := p.known.ApartProven(p.bench.NetOf(t), p.bench.NetOf(far))
			return !proven
		})
	})
}
