package graphs

import (
	"math"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// Currents returns the current in amperes through every element of the machine
// running, by the element's number, with the loads drawing as in Operate; a
// positive one goes from A to B. Not known: the element does not conduct, or its
// current could go another way round without ohms, and nothing says how it
// divides. Wires with ohms divide by them; metal without ohms carries what is
// left over where it is the only way.
//
// Cost: that of Operate, and one walk over the metal.
func (c *Circuit) Currents(loads LoadModel) []model.Optional {
	r := newRunning(c, loads, nil)
	point := r.settle()
	f := &leftover{at: make([]float64, len(c.Machine.Terminals))}
	amps := make([]model.Optional, len(c.Elements))
	for id := range c.Elements {
		e := &c.Elements[id]
		switch ohms := decided.ohms(e); {
		case math.IsInf(ohms, 1) || !e.Kind.Metal():
		case ohms > 0:
			if volts, known := point.Between(e.A, e.B); known {
				amps[id] = model.Known(volts / ohms)
			} else {
				amps[id] = model.Known(0)
			}
		default:
			f.ends = append(f.ends, [2]int32{int32(e.A), int32(e.B)})
			f.element = append(f.element, id)
		}
	}
	f.gather(r, point)
	// Of a way that is the only one between its ends, the current is what comes
	// together on the one side of it. The others are not known.
	blocks := kit.NewGraph(len(f.at), f.ends).Blocks()
	flow := blocks.BridgeFlow(f.at)
	for way, id := range f.element {
		if blocks.Bridge(way) {
			amps[id] = model.Known(flow[way])
		}
	}
	return amps
}

// leftover is the metal without ohms, and the current that everything else puts
// into each terminal of it.
type leftover struct {
	ends    [][2]int32
	element []int // by way: the element it is; ways behind its end are no elements
	at      []float64
}

// gather puts in what resistors and loads carry, and adds the ways that are no
// elements: returns that are one node, drivers that are on, diodes that conduct,
// and sources.
func (f *leftover) gather(r *running, point *OperatingPoint) {
	metal := 0
	for id := range r.c.Elements {
		if e := &r.c.Elements[id]; e.Kind.Metal() && !math.IsInf(decided.ohms(e), 1) {
			metal++
		}
	}
	for _, s := range r.metal[metal:] { // those before stand for elements, in their order
		f.ends = append(f.ends, [2]int32{int32(s.a), int32(s.b)})
	}
	for _, s := range append(r.metal[:metal:metal], r.other...) {
		if volts, known := point.Between(s.a, s.b); s.ohms > 0 && known {
			f.at[s.a] -= volts / s.ohms
			f.at[s.b] += volts / s.ohms
		}
	}
	for _, s := range r.other {
		if s.ohms == 0 {
			f.ends = append(f.ends, [2]int32{int32(s.a), int32(s.b)})
		}
	}
	for i, d := range r.diodes {
		if r.on[i] {
			f.ends = append(f.ends, [2]int32{int32(d.a), int32(d.b)})
		}
	}
	for _, s := range r.sources {
		if slices.Contains(point.Fighting, s.supply) {
			continue
		}
		f.ends = append(f.ends, [2]int32{int32(s.rail), int32(s.back)})
	}
	for at := range r.parts.Loads {
		load := &r.parts.Loads[at]
		if !point.Drawing[at] {
			continue
		}
		back := load.Returns[0]
		amps := load.Amps.Value
		volts, known := point.Between(load.Feed, back)
		switch {
		case r.loads == LoadsAsResistances && known:
			amps *= volts / math.Abs(load.Volts.Value)
		case load.Volts.Or(1) < 0:
			amps = -amps
		}
		f.at[load.Feed] -= amps
		f.at[back] += amps
	}
}
