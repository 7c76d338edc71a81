package graphs

import (
	"math"
)

// Probe is the meter on two terminals: the resistance there, the current that
// one ampere of the meter drives through every element, and what single
// suspicions would make of the reading. It is for one reader at a time.
type Probe struct {
	// Ohms is the resistance between the two terminals, +Inf if nothing joins
	// them.
	Ohms float64

	potentials
	c       *Circuit
	a, b    int
	changes []ElementChange
	now     map[int]float64    // ohms of the elements that changes name
	extra   map[int][]int32    // terminals that changes join by no ohms, by terminal
	paths   map[int][]resistor // paths of ohms that changes add, by terminal, from there
	bridges map[int]bool       // elements that are the only way between a and b; nil: not asked yet
}

// Probe puts the meter on two terminals. Cost: that of Ohms; each further
// question about one element costs microseconds where the wiring is like wiring.
func (c *Circuit) Probe(a, b int) *Probe { return c.ProbeIf(a, b, nil) }

// ProbeIf puts the meter on two terminals of the circuit with changes. Cost:
// that of OhmsIf, and for each question about a further element the same.
func (c *Circuit) ProbeIf(a, b int, changes []ElementChange) *Probe {
	n := c.network(decided)
	p := &Probe{potentials: potentials{net: n, volts: newPages(n.nodes)}, c: c, a: a, b: b, changes: changes, now: map[int]float64{}, extra: map[int][]int32{}, paths: map[int][]resistor{}}
	for _, change := range changes {
		if change.Element >= 0 {
			p.now[change.Element] = change.Ohms
			continue
		}
		for _, s := range [2]resistor{{change.A, change.B, change.Ohms}, {change.B, change.A, change.Ohms}} {
			switch {
			case s.a == s.b || math.IsInf(s.ohms, 1):
			case s.ohms <= 0:
				p.extra[s.a] = append(p.extra[s.a], int32(s.b))
			default:
				p.paths[s.a] = append(p.paths[s.a], s)
			}
		}
	}
	if len(changes) == 0 {
		p.Ohms = n.ohms(a, b)
		if p.Ohms > 0 && !math.IsInf(p.Ohms, 1) {
			p.spread()
		}
		return p
	}
	p.v = n.vary(changes, a, b)
	p.Ohms = p.v.ohms(a, b)
	p.small = make([]float64, len(p.v.small.order))
	if p.Ohms > 0 && !math.IsInf(p.Ohms, 1) {
		p.small[p.v.place(a)], p.small[p.v.place(b)] = 1, -1
		p.solve()
	}
	return p
}

// spread finds the volts along the ways of both terminals through the
// elimination; those of other nodes follow from them when asked for.
func (p *Probe) spread() {
	f := p.net.factor()
	scratch := p.net.pool.Get().(*[]float64)
	defer p.net.pool.Put(scratch)
	type step struct {
		k    int32
		amps float64
	}
	var steps []step
	f.climb(p.net.node[p.a], p.net.node[p.b], *scratch, func(k int32, amps float64) { steps = append(steps, step{k, amps}) })
	if f.mesh != nil && f.inCore(p.net.node[p.a]) {
		inside := (*scratch)[f.sparse:]
		f.mesh.solve(inside)
		for i, volts := range inside {
			p.volts.set(int32(f.sparse+i), volts)
		}
		clear(inside)
	}
	for i := len(steps) - 1; i >= 0; i-- {
		k, volts := steps[i].k, 0.0
		if f.sum[k] > 0 {
			volts = steps[i].amps/f.sum[k] + p.inherited(k)
		}
		p.volts.set(k, volts)
	}
}

// ohmsOf returns an element's resistance as changed; +Inf if it does not
// conduct.
func (p *Probe) ohmsOf(element int) float64 {
	if ohms, changed := p.now[element]; changed {
		return max(0, ohms)
	}
	return decided.ohms(&p.c.Elements[element])
}

// amps returns the current from A to B of an element with ohms.
func (p *Probe) amps(element int) float64 {
	e := &p.c.Elements[element]
	ohms := p.ohmsOf(element)
	if math.IsInf(ohms, 1) || ohms == 0 {
		return 0
	}
	return (p.at(e.A) - p.at(e.B)) / ohms
}

// along returns the current from a to b of a path that changes add.
func (p *Probe) along(s resistor) float64 { return (p.at(s.a) - p.at(s.b)) / s.ohms }
