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

	c       *Circuit
	net     *network
	a, b    int
	changes []ElementChange
	now     map[int]float64 // ohms of the elements that changes name
	extra   map[int][]int32 // terminals that changes join by no ohms, by terminal
	paths   map[int][]span  // paths of ohms that changes add, by terminal, from there
	v       *variation      // nil without changes
	small   []float64       // volts in the variation's small network
	volts   pages           // by position in the network's elimination
	bridges map[int]bool    // elements that are the only way between a and b; nil: not asked yet
}

// Probe puts the meter on two terminals. Cost: that of Ohms; each further
// question about one element costs microseconds where the wiring is like wiring.
func (c *Circuit) Probe(a, b int) *Probe { return c.ProbeIf(a, b, nil) }

// ProbeIf puts the meter on two terminals of the circuit with changes. Cost:
// that of OhmsIf, and for each question about a further element the same.
func (c *Circuit) ProbeIf(a, b int, changes []ElementChange) *Probe {
	n := c.network(decided)
	p := &Probe{c: c, net: n, a: a, b: b, changes: changes, now: map[int]float64{}, extra: map[int][]int32{}, paths: map[int][]span{}}
	for _, change := range changes {
		if change.Element >= 0 {
			p.now[change.Element] = change.Ohms
			continue
		}
		for _, s := range [2]span{{change.A, change.B, change.Ohms}, {change.B, change.A, change.Ohms}} {
			switch {
			case s.a == s.b || math.IsInf(s.ohms, 1):
			case s.ohms <= 0:
				p.extra[s.a] = append(p.extra[s.a], int32(s.b))
			default:
				p.paths[s.a] = append(p.paths[s.a], s)
			}
		}
	}
	p.volts = newPages(n.nodes)
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
		p.v.small.solve(p.small)
	}
	for i, k := range p.v.dirty {
		p.volts.set(k, p.small[p.v.nodeOf[i]])
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

// inherited is what a position's neighbours, which are known, give it.
func (p *Probe) inherited(k int32) float64 {
	f := p.net.factor()
	volts := 0.0
	for at := f.first[k]; at < f.first[k+1]; at++ {
		far, _ := p.volts.get(f.rows[at])
		volts += far * f.share[at]
	}
	return volts
}

// at returns the volts of a terminal; 0 in parts that the meter does not reach.
func (p *Probe) at(t int) float64 {
	if p.v != nil {
		if x, split := p.v.piece[int32(t)]; split {
			return p.small[p.v.nodeOf[p.v.local[x]]]
		}
	}
	f := p.net.factor()
	var chain []int32
	k := f.place[p.net.node[t]]
	for k >= 0 {
		if _, known := p.volts.get(k); known {
			break
		}
		chain = append(chain, k)
		if int(k) >= f.sparse {
			break
		}
		k = f.parent[k]
	}
	for i := len(chain) - 1; i >= 0; i-- {
		k := chain[i]
		if int(k) >= f.sparse {
			p.volts.set(k, 0)
			continue
		}
		p.volts.set(k, p.inherited(k))
	}
	volts, _ := p.volts.get(f.place[p.net.node[t]])
	return volts
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
func (p *Probe) along(s span) float64 { return (p.at(s.a) - p.at(s.b)) / s.ohms }

// pages are values by number of which few are known: memory comes with use.
type pages [][]float64

const pageSize = 128

func newPages(n int) pages { return make(pages, n/pageSize+1) }

func (p pages) get(at int32) (value float64, known bool) {
	page := p[at/pageSize]
	if page == nil || math.IsNaN(page[at%pageSize]) {
		return 0, false
	}
	return page[at%pageSize], true
}

func (p pages) set(at int32, value float64) {
	page := p[at/pageSize]
	if page == nil {
		page = make([]float64, pageSize)
		for i := range page {
			page[i] = math.NaN()
		}
		p[at/pageSize] = page
	}
	page[at%pageSize] = value
}
