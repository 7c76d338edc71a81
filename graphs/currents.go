package graphs

import (
	"math"
	"slices"

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
	for way, at := range f.solve() {
		if way < len(f.element) {
			amps[f.element[way]] = at
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

// solve returns the current of each way that is the only one between its ends:
// what comes together on the one side of it. The others are not known.
func (f *leftover) solve() []model.Optional {
	n := len(f.at)
	first := make([]int32, n+1)
	for _, ends := range f.ends {
		first[ends[0]+1]++
		first[ends[1]+1]++
	}
	for t := range n {
		first[t+1] += first[t]
	}
	ways := make([]int32, 2*len(f.ends))
	next := append([]int32(nil), first[:n]...)
	for way, ends := range f.ends {
		for _, t := range ends {
			ways[next[t]] = int32(way)
			next[t]++
		}
	}
	copy(next, first[:n])
	amps := make([]model.Optional, len(f.ends))
	met, low := make([]int32, n), make([]int32, n) // order of the walk, from 1; the earliest that a subtree reaches
	up := make([]int32, n)                         // the way by which the walk came
	total := append([]float64(nil), f.at...)       // put into the subtree
	order := int32(0)
	var stack []int32
	for root := range n {
		if met[root] != 0 {
			continue
		}
		order++
		met[root], low[root], up[root] = order, order, -1
		for stack = append(stack[:0], int32(root)); len(stack) > 0; {
			t := stack[len(stack)-1]
			if next[t] < first[t+1] {
				way := ways[next[t]]
				next[t]++
				far := f.ends[way][0] + f.ends[way][1] - t
				switch {
				case way == up[t]:
				case met[far] == 0:
					order++
					met[far], low[far], up[far] = order, order, way
					stack = append(stack, far)
				default:
					low[t] = min(low[t], met[far])
				}
				continue
			}
			stack = stack[:len(stack)-1]
			if up[t] < 0 {
				continue
			}
			way := up[t]
			above := f.ends[way][0] + f.ends[way][1] - t
			low[above] = min(low[above], low[t])
			total[above] += total[t]
			if low[t] == met[t] { // nothing below leads past the way
				amps[way] = model.Known(total[t])
				if f.ends[way][0] == above {
					amps[way].Value = -total[t]
				}
			}
		}
	}
	return amps
}
