package probing

import (
	"math"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

type predictKey struct {
	touch touch
	place explain.Place // no fault: as the map has it
}

// sightUnder returns what two tips would face if a set of faults held. Most
// faults touch no way between most tips, and in a net that is a tree what an
// open does is known from its own ends; only the rest is solved.
func (p *Planner) sightUnder(red, black int, conditions model.Conditions, set []explain.Hypothesis) judge.Sight {
	base := p.sight(red, black, conditions)
	var moving []explain.Hypothesis
	for _, h := range set {
		if p.moves(red, black, conditions, base, h) {
			moving = append(moving, h)
		}
	}
	if len(moving) == 0 {
		return base
	}
	sights := make([]judge.Sight, len(moving))
	for i, h := range moving {
		key := predictKey{touchOf(red, black, conditions), h.Place}
		known, done := p.predicted[key]
		if !done {
			known = p.sightIf(red, black, conditions, base, h)
			p.predicted[key] = known
		}
		sights[i] = known
	}
	return together(base, sights)
}

// together estimates what several faults do that each by itself moves what two
// tips face. A join that one of them makes stays; of breaks the worse counts.
// It is for choosing a touch only: the reading itself is weighed exactly.
func together(base judge.Sight, sights []judge.Sight) judge.Sight {
	worst := sights[0]
	for _, sight := range sights[1:] {
		if base.Metal && sight.Ohms > worst.Ohms || !base.Metal && sight.Ohms < worst.Ohms {
			worst = sight
		}
	}
	return worst
}

// sight returns what the map has between two tips.
func (p *Planner) sight(red, black int, conditions model.Conditions) judge.Sight {
	key := predictKey{touch: touchOf(red, black, conditions)}
	known, done := p.predicted[key]
	if !done {
		known = p.judge.Sight(red, black, conditions)
		if known.Metal {
			known.LeastOhms = known.Ohms // no electronics explain metal, nor hide it
		}
		p.predicted[key] = known
	}
	return known
}

// onWay returns the elements on simple ways of metal between two tips at rest.
func (p *Planner) onWay(red, black int) map[int]bool {
	key := touchOf(red, black, nil)
	known, done := p.bridges[key]
	if !done {
		known = map[int]bool{}
		for _, id := range p.judge.Metal().Between(red, black) {
			known[id] = true
		}
		p.bridges[key] = known
	}
	return known
}

// moves says whether a fault could change what two tips face; it errs on the
// side of yes.
func (p *Planner) moves(red, black int, conditions model.Conditions, base judge.Sight, h explain.Hypothesis) bool {
	of := p.circuit.Nets().Of
	switch {
	case len(conditions) > 0 || h.Fault.Pattern() || h.Fault == explain.Moved:
		return true
	case base.Metal:
		way := p.onWay(red, black)
		switch h.Fault {
		case explain.WireOpen, explain.LinkOpen, explain.WireHigh, explain.LinkHigh:
			return way[h.Element]
		case explain.JointOpen, explain.JointHigh:
			return p.wiresOnWay(way, h.A) != 0
		case explain.Swap:
			return way[h.Element] || way[h.Other]
		case explain.Short:
			return of[h.A] == of[red] && of[h.B] == of[red]
		default:
			return false
		}
	case h.Fault == explain.Short:
		here := func(t int) bool { return of[t] == of[red] || of[t] == of[black] }
		return here(h.A) || here(h.B) || !math.IsInf(base.LeastOhms, 1)
	case h.Fault == explain.Swap || h.Fault == explain.LinkClosed:
		return true
	default:
		return !math.IsInf(base.LeastOhms, 1)
	}
}

func (p *Planner) wiresOnWay(way map[int]bool, terminal int) int {
	count := 0
	for _, id := range p.circuit.Incident(terminal) {
		if e := p.circuit.Elements[id]; way[int(id)] && e.Kind == graphs.Wire {
			count++
		}
	}
	return count
}

// sightIf returns what two tips would face under one fault.
func (p *Planner) sightIf(red, black int, conditions model.Conditions, base judge.Sight, h explain.Hypothesis) judge.Sight {
	if len(conditions) == 0 && base.Metal {
		blocks := p.judge.Metal()
		switch h.Fault {
		case explain.WireOpen, explain.LinkOpen:
			if blocks.Bridge(h.Element) {
				return roundBreak(p.without(red, black, nil, h.Element))
			}
		case explain.WireHigh, explain.LinkHigh:
			if blocks.Bridge(h.Element) {
				return raised(base, h.Ohms)
			}
		case explain.JointOpen, explain.JointHigh:
			way := p.onWay(red, black)
			plain := true
			for _, id := range p.circuit.Incident(h.A) {
				plain = plain && (!way[int(id)] || blocks.Bridge(int(id)))
			}
			switch wires := p.wiresOnWay(way, h.A); {
			case plain && wires != 1:
				return base
			case plain && h.Fault == explain.JointHigh:
				return raised(base, h.Ohms)
			}
		}
	}
	if h.Fault == explain.Short && len(conditions) > 0 {
		if seen, known := p.shortUnder(red, black, conditions, base, h); known {
			return seen
		}
	}
	return p.explain.SightIf(red, black, conditions, h)
}

func roundBreak(s judge.Sight) judge.Sight {
	s.Metal, s.Round = false, true
	return s
}

func raised(s judge.Sight, ohms float64) judge.Sight {
	s.Ohms += ohms
	s.LeastOhms += ohms
	s.Metal = false
	return s
}

// shortUnder answers for a short while something is lifted or unplugged: it is
// seen where metal still leads to both its ends. Only where all that is open
// then is the only way of its net.
func (p *Planner) shortUnder(red, black int, conditions model.Conditions, base judge.Sight, h explain.Hypothesis) (judge.Sight, bool) {
	of := p.circuit.Nets().Of
	a, b := h.A, h.B
	if of[a] != of[red] {
		a, b = b, a
	}
	if of[a] != of[red] || of[b] != of[black] || of[a] == of[b] {
		return judge.Sight{}, false
	}
	blocks := p.judge.Metal()
	open := map[int]bool{}
	for _, change := range p.judge.Changes(conditions) {
		switch {
		case change.Element < 0:
			return judge.Sight{}, false
		case !math.IsInf(change.Ohms, 1):
		case blocks.BlockOf(change.Element) >= 0 && !blocks.Bridge(change.Element):
			return judge.Sight{}, false
		default:
			open[change.Element] = true
		}
	}
	for _, ends := range [2][2]int{{red, a}, {black, b}} {
		for _, id := range blocks.BridgesBetween(ends[0], ends[1]) {
			if open[id] {
				return base, true
			}
		}
	}
	seen := base
	seen.Ohms, seen.LeastOhms, seen.Metal = h.Ohms, h.Ohms, true
	return seen, true
}
