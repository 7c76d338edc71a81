package graphs

import (
	"cmp"
	"math"
)

// hang gives what floats the potential that it has through the bodies of loads
// that draw nothing: no current flows, so a lamp behind an open switch carries
// the volts of its other end. What sources fix keeps its volts; islands of
// several sources that only such bodies join are set against each other as the
// bodies divide. Where the bodies would turn a diode round nothing is said.
// Cost: one elimination more, and none where every load draws.
func (r *running) hang(point *OperatingPoint, bodies []resistor) *OperatingPoint {
	if len(bodies) == 0 {
		return point
	}
	joined := r.solve(false, bodies)
	doubtful := map[int]bool{} // islands of joined
	for i, d := range r.diodes {
		island := joined.Island[d.a]
		if island < 0 || island != joined.Island[d.b] || point.Island[d.a] >= 0 && point.Island[d.a] == point.Island[d.b] {
			continue // the first pass has settled it
		}
		if volts := joined.Volts[d.a] - joined.Volts[d.b]; !r.on[i] && volts > hangSlack || r.on[i] && volts < -hangSlack {
			doubtful[island] = true
		}
	}
	sourced := map[int]int{} // by island of point: the terminal that stands for it
	for _, s := range r.sources {
		if island := point.Island[s.back]; island >= 0 {
			if _, known := sourced[island]; !known {
				sourced[island] = s.back
			}
		}
	}
	hung := &OperatingPoint{
		Volts: make([]float64, len(point.Volts)), Island: make([]int, len(point.Island)),
		Fighting: point.Fighting, Drawing: point.Drawing,
	}
	// Islands of doubt keep the numbers that they had, past those of joined.
	past := len(point.Volts)
	for t, island := range joined.Island {
		before := point.Island[t]
		switch anchor, fixed := sourced[before]; {
		case doubtful[island] && before >= 0:
			hung.Volts[t], hung.Island[t] = point.Volts[t], past+before
		case doubtful[island]:
			hung.Volts[t], hung.Island[t] = math.NaN(), -1
		case before >= 0 && fixed:
			hung.Volts[t], hung.Island[t] = point.Volts[t]-point.Volts[anchor]+joined.Volts[anchor], island
		default:
			hung.Volts[t], hung.Island[t] = joined.Volts[t], island
		}
	}
	return hung
}

// hangSlack is how many volts on a diode that nothing had fixed before count as
// none.
const hangSlack = 1e-6

// idleBodies lists the loads that draw nothing because nothing closes their loop,
// each as the resistance volts/load_a.
func (r *running) idleBodies(point *OperatingPoint) []resistor {
	if r.loads != LoadsAsCurrents {
		return nil // they conduct already
	}
	var bodies []resistor
	for at := range r.parts.Loads {
		load := &r.parts.Loads[at]
		if point.Drawing[at] || !r.draws(load) || load.Amps.Value <= 0 || r.unplugged[load.Device] {
			continue
		}
		back := load.Returns[0]
		if a := point.Island[load.Feed]; a >= 0 && a == point.Island[back] {
			continue // its volts are fixed, or it is fed backwards
		}
		open := false
		for _, back := range load.Returns {
			open = open || r.dead[[2]int{min(load.Feed, back), max(load.Feed, back)}]
		}
		if !open {
			bodies = append(bodies, resistor{load.Feed, back, math.Abs(cmp.Or(load.Volts.Or(1), 1) / load.Amps.Value)})
		}
	}
	return bodies
}
