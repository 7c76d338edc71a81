package graphs

import "math"

// trust bounds the formulas for one change (Sherman and Morrison): where they
// would subtract nearly equal numbers, more than five digits of them, the change
// is worked out exactly instead.
const trust = 1e-5

// IfOpen returns the resistance at the meter if the element were open besides.
func (p *Probe) IfOpen(element int) float64 {
	ohms := p.ohmsOf(element)
	e := &p.c.Elements[element]
	switch {
	case math.IsInf(p.Ohms, 1) || math.IsInf(ohms, 1) || p.a == p.b || e.A == e.B:
		return p.Ohms
	case len(p.changes) > 0:
		return p.exactly(ElementChange{Element: element, Ohms: math.Inf(1)})
	case p.onlyWay(element):
		return math.Inf(1)
	case p.c.blocks().Bridge(element):
		return p.Ohms
	case ohms > 0 && p.Ohms > 0:
		between := p.net.ohms(e.A, e.B)
		if between == 0 {
			return p.Ohms
		}
		if rest := ohms - between; rest > trust*ohms {
			drop := p.at(e.A) - p.at(e.B)
			return p.Ohms + drop*drop/rest
		}
	}
	return p.exactly(ElementChange{Element: element, Ohms: math.Inf(1)})
}

// IfOhms returns the resistance at the meter if the element had that many ohms:
// a bad joint in a wire, say, or a switch closed by 0.
func (p *Probe) IfOhms(element int, ohms float64) float64 {
	e := &p.c.Elements[element]
	before := p.ohmsOf(element)
	switch {
	case before == ohms || e.A == e.B:
		return p.Ohms
	case math.IsInf(ohms, 1):
		return p.IfOpen(element)
	case math.IsInf(before, 1) && len(p.changes) == 0:
		return p.IfJoined(e.A, e.B, ohms)
	case len(p.changes) == 0 && before > 0 && ohms > 0 && p.Ohms > 0 && !math.IsInf(p.Ohms, 1):
		between := p.net.ohms(e.A, e.B)
		if between == 0 {
			return p.Ohms
		}
		more := 1/ohms - 1/before
		drop := p.at(e.A) - p.at(e.B)
		if scale := 1 + more*between; scale > trust {
			if result := p.Ohms - more*drop*drop/scale; result > trust*p.Ohms {
				return result
			}
		}
	}
	return p.exactly(ElementChange{Element: element, Ohms: ohms})
}

// IfJoined returns the resistance at the meter if a path of that many ohms
// joined two more terminals.
func (p *Probe) IfJoined(x, y int, ohms float64) float64 {
	if x == y || math.IsInf(ohms, 1) {
		return p.Ohms
	}
	if len(p.changes) == 0 && !math.IsInf(p.Ohms, 1) {
		between := p.net.ohms(x, y)
		if between == 0 || math.IsInf(between, 1) || p.Ohms == 0 {
			return p.Ohms // joined already, or what comes in has no way on
		}
		drop := p.at(x) - p.at(y)
		if result := p.Ohms - drop*drop/(ohms+between); result > trust*p.Ohms {
			return result
		}
	}
	return p.exactly(ElementChange{Element: -1, A: x, B: y, Ohms: ohms})
}

func (p *Probe) exactly(change ElementChange) float64 {
	all := make([]ElementChange, 0, len(p.changes)+1)
	return p.net.ohmsIf(p.a, p.b, append(append(all, p.changes...), change))
}

// onlyWay says whether every path between the meter's tips runs through the
// element.
func (p *Probe) onlyWay(element int) bool {
	if p.bridges == nil {
		p.bridges = map[int]bool{}
		for _, id := range p.c.blocks().BridgesBetween(p.a, p.b) {
			p.bridges[id] = true
		}
	}
	return p.bridges[element]
}

// blocks returns the blocks of everything that surely conducts, found once.
func (c *Circuit) blocks() *Blocks {
	c.solver.blocked.Do(func() {
		c.solver.blocks = c.Blocks(func(e Element) bool { return !math.IsInf(decided.ohms(&e), 1) })
	})
	return c.solver.blocks
}
