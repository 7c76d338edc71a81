package graphs

import (
	"cmp"
	"math"
	"slices"
)

// partByUnknown takes apart what a rail of unknown volts keeps from being known:
// terminals whose volts against each other would shift with those of the rail
// do not stay in one island, though a lamp, a bleeder or a coil joins them. To
// find them the rail is given some volts, then others. What hardly shifts, such
// as a return that carries the unknown current, keeps its volts.
// Cost: two eliminations more, and none where metal and sources fix every rail.
func (r *running) partByUnknown(point *OperatingPoint, bodies []resistor) *OperatingPoint {
	unknown := r.unknownRails()
	if len(unknown) == 0 {
		return point
	}
	// Far from all volts that a machine has, so that no load turns round between
	// the two, and each rail shifts by volts of its own.
	probe := *r
	shifted := func(more float64) *OperatingPoint {
		probe.sources = slices.Clone(r.sources)
		for i, s := range unknown {
			s.volts = 1e4*float64(i+1) + more*shiftOf(i)
			probe.sources = append(probe.sources, s)
		}
		return probe.solve(false, bodies)
	}
	one, other := shifted(0), shifted(1)
	shift := make([]float64, len(point.Volts))
	var order []int
	for t, island := range point.Island {
		if island >= 0 {
			shift[t] = math.Round((other.Volts[t] - one.Volts[t]) / shiftStep)
			order = append(order, t)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(point.Island[a], point.Island[b]), cmp.Compare(shift[a], shift[b]), cmp.Compare(a, b))
	})
	island := make([]int, len(point.Island))
	copy(island, point.Island)
	next := 0
	for at := 0; at < len(order); next++ {
		first := order[at]
		island[first] = next
		end := at + 1 // a shift beyond all numbers equals none, not even itself
		for end < len(order) && point.Island[order[end]] == point.Island[first] && shift[order[end]] == shift[first] {
			island[order[end]] = next
			end++
		}
		if end == at+1 {
			island[first], point.Volts[first] = -1, math.NaN()
		}
		at = end
	}
	point.Island = island
	r.refer(point)
	return point
}

// shiftStep is in what steps, in volts for each volt of a rail, terminals count
// as shifting alike: half a step is more than copper loses of a load's volts, and
// less than a load does.
const shiftStep = 0.05

// shiftOf is by how many volts the i-th unknown rail shifts: each by its own.
func shiftOf(i int) float64 { return 1 + 0.37*float64(i) }

// shifts returns what rails of unknown volts shift where every load is a
// resistance.
func (r *running) shifts(unknown []source) *OperatingPoint {
	probe := *r
	probe.sources = slices.Clone(r.sources)
	for i := range probe.sources {
		probe.sources[i].volts = 0
	}
	for i, s := range unknown {
		s.volts = shiftOf(i)
		probe.sources = append(probe.sources, s)
	}
	return probe.solve(false, nil)
}

// unknownRails lists, as sources whose volts are still to be given, the supplies
// that are no source and whose rails nothing else fixes: neither metal and
// sources, nor another of them.
func (r *running) unknownRails() []source {
	var candidates []source
	for at, supply := range r.parts.Supplies {
		switch {
		case len(supply.Returns) == 0 && len(r.sources) > 0: // against anything, for all that is known
			candidates = append(candidates, source{supply: at, rail: supply.Rail, back: r.sources[0].back})
		case len(supply.Returns) > 0 && !supply.Volts.Known:
			candidates = append(candidates, source{supply: at, rail: supply.Rail, back: supply.Returns[0]})
		}
	}
	if len(candidates) == 0 {
		return nil
	}
	r.sortSources(candidates)
	fixed, _ := r.levels(everyWire)
	return slices.DeleteFunc(candidates, func(s source) bool { return !fixed.join(int32(s.rail), int32(s.back), 0) })
}
