package nextprobe

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

type predictKey struct {
	touch touch
	place explain.Place // no fault: as the map has it
}

// predict returns what two tips would face if a fault held. Most faults touch no
// way between most tips, and in a net that is a tree what an open does is known
// from its own ends; only the rest is solved, once.
func (p *Planner) predict(red, black int, conditions model.Conditions, base judge.Observed, h explain.Hypothesis) judge.Observed {
	key := predictKey{touchOf(red, black, conditions), h.Place}
	known, done := p.predicted[key]
	if !done {
		known = p.sightIf(red, black, conditions, base, h)
		p.predicted[key] = known
	}
	return known
}

// together estimates what several faults do that each by itself moves what two
// tips face. A join that one of them makes stays; of breaks the worse counts.
// It is for choosing a touch only: the reading itself is weighed exactly.
func together(base judge.Observed, sights []judge.Observed) judge.Observed {
	worst := sights[0]
	for _, sight := range sights[1:] {
		if base.Metal && sight.Ohms > worst.Ohms || !base.Metal && sight.Ohms < worst.Ohms {
			worst = sight
		}
	}
	return worst
}

// sight returns what the map has between two tips.
func (p *Planner) sight(red, black int, conditions model.Conditions) judge.Observed {
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
func (p *Planner) moves(red, black int, conditions model.Conditions, base judge.Observed, h explain.Hypothesis) bool {
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
		case explain.LinkClosed:
			return h.Other >= 0 && way[h.Other]
		default:
			return false
		}
	case h.Fault == explain.Short: // what it does to a third net tells little for the trouble
		return of[h.A] == of[red] && of[h.B] == of[black] || of[h.A] == of[black] && of[h.B] == of[red]
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

// wireOnWay returns the first wire of a terminal that lies on a way.
func (p *Planner) wireOnWay(way map[int]bool, terminal int) int {
	for _, id := range p.circuit.Incident(terminal) {
		if way[int(id)] && p.circuit.Elements[id].Kind == graphs.Wire {
			return int(id)
		}
	}
	return -1
}

// sightIf returns what two tips would face under one fault.
func (p *Planner) sightIf(red, black int, conditions model.Conditions, base judge.Observed, h explain.Hypothesis) judge.Observed {
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
			case plain:
				return roundBreak(p.without(red, black, nil, p.wireOnWay(way, h.A)))
			}
		}
	}
	if h.Fault == explain.Short {
		if seen, known := p.shortUnder(red, black, conditions, base, h); known {
			return seen
		}
	}
	if landings := h.Landings(p.circuit); len(landings) > 0 {
		under := p.judge.Changes(conditions)
		for _, landing := range landings {
			if slices.ContainsFunc(under, func(c graphs.ElementChange) bool { return c.Element == landing.Wire }) {
				return base // it hangs free
			}
		}
		return p.landed(red, black, base, h, under)
	}
	if _, clips := splitClips(conditions); len(conditions) > 0 && len(clips) == 0 && !base.Metal && h.Fault != explain.LinkClosed {
		return base // a break of what is open anyway
	}
	return p.explain.SightIf(red, black, conditions, h)
}

// wiredOhms is what the wires of a join have, as far as the choice of a touch
// needs to know. Judgement.
const wiredOhms = 0.2

// landed estimates what two tips face where wires end elsewhere: metal joins
// them, or a break is read round, or nothing is moved. The solver is spared: a
// choice of touches asks thousands of times.
func (p *Planner) landed(red, black int, base judge.Observed, h explain.Hypothesis, under []graphs.ElementChange) judge.Observed {
	joined := p.judge.Joins(red, black, slices.Concat(under, h.Changes(p.circuit)))
	switch {
	case joined && base.Metal:
		return base
	case joined:
		base.Ohms, base.LeastOhms, base.Metal = wiredOhms, wiredOhms, true
		return base
	case !base.Metal:
		return base
	}
	beside := judge.Observed{}
	beside.Ohms, beside.LeastOhms = math.Inf(1), math.Inf(1)
	for _, landing := range h.Landings(p.circuit) {
		if p.onWay(red, black)[landing.Wire] {
			beside = p.without(red, black, nil, landing.Wire)
			break
		}
	}
	return roundBreak(beside)
}

func roundBreak(s judge.Observed) judge.Observed {
	s.Metal, s.Round = false, true
	return s
}

func raised(s judge.Observed, ohms float64) judge.Observed {
	s.Ohms += ohms
	s.LeastOhms += ohms
	s.Metal = false
	return s
}

// shortUnder answers for a short, be it while something is lifted or unplugged: it
// is seen where metal still leads to both its ends. Only where all that is open
// then is the only way of its net.
func (p *Planner) shortUnder(red, black int, conditions model.Conditions, base judge.Observed, h explain.Hypothesis) (judge.Observed, bool) {
	of := p.circuit.Nets().Of
	a, b := h.A, h.B
	if of[a] != of[red] {
		a, b = b, a
	}
	if of[a] != of[red] || of[b] != of[black] || of[a] == of[b] {
		return judge.Observed{}, false
	}
	blocks := p.judge.Metal()
	open := map[int]bool{}
	for _, change := range p.judge.Changes(conditions) {
		switch {
		case change.Element < 0:
			return judge.Observed{}, false
		case !math.IsInf(change.Ohms, 1):
		case blocks.BlockOf(change.Element) >= 0 && !blocks.Bridge(change.Element):
			return judge.Observed{}, false
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
	seen.Ohms, seen.LeastOhms, seen.Metal = h.Ohms+wiredOhms, h.Ohms+wiredOhms, true
	return seen, true
}
