package graphs

import "math"

// potentials are the volts that currents put into a network make, worked out
// where they are asked for.
type potentials struct {
	net   *network
	v     *variation // nil: the network as it is
	small []float64  // volts in the variation's small network
	volts pages      // by position in the network's elimination
}

// solve turns the currents in small into the volts of the variation's network.
func (p *potentials) solve() {
	p.v.small.solve(p.small)
	for i, k := range p.v.dirty {
		p.volts.set(k, p.small[p.v.nodeOf[i]])
	}
}

// inherited is what a position's neighbours, which are known, give it.
func (p *potentials) inherited(k int32) float64 {
	f := p.net.factor()
	volts := 0.0
	for at := f.first[k]; at < f.first[k+1]; at++ {
		far, _ := p.volts.get(f.rows[at])
		volts += far * f.share[at]
	}
	return volts
}

// at returns the volts of a terminal; 0 in parts that the meter does not reach.
func (p *potentials) at(t int) float64 {
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
