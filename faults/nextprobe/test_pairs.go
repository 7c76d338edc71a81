package nextprobe

import (
	"slices"

	"bellout/faults/explain"
	"bellout/model"
)

// Bounds of what is looked at.
const (
	mostTips       = 36 // terminals near the suspects
	mostCandidates = 900
)

// testPair is a touch that may tell suspects apart.
type testPair struct {
	red, black int
	conditions model.Conditions
}

// candidates returns touches near the likeliest suspects: pairs of the ends of
// their elements within one net, the crossed ends of wires that may be changed
// over, and, where two nets meet, the tips that saw it with the machine parted
// somewhere on the way.
func (p *Planner) candidates(s *ambiguityGroup) []testPair {
	list := p.pairsWithin(s)
	list = append(list, p.crossed(s)...)
	list = append(list, p.parted(s)...)
	return list
}

// pairsWithin pairs the terminals that the likeliest sets are about.
func (p *Planner) pairsWithin(s *ambiguityGroup) []testPair {
	weight := map[int]float64{}
	for at, set := range s.Sets {
		for _, h := range set.Members {
			for _, t := range p.placesOf(h) {
				weight[t] += s.chances[at]
			}
		}
	}
	tips := p.heaviest(weight, mostTips)
	for _, number := range s.Surprising {
		r, found := p.machine.Reading(number)
		if !found {
			continue
		}
		for _, ref := range [2]model.TerminalRef{r.Red, r.Black} {
			if t, _ := p.machine.TerminalIndex(ref); !slices.Contains(tips, t) {
				tips = append(tips, t)
			}
		}
	}
	of := p.circuit.Nets().Of
	var list []testPair
	for i, a := range tips {
		for _, b := range tips[i+1:] {
			if of[a] == of[b] && len(list) < mostCandidates && p.usable(a, b, nil) {
				list = append(list, testPair{red: a, black: b})
			}
		}
	}
	return list
}

// placesOf returns the terminals that a fault is at.
func (p *Planner) placesOf(h explain.Hypothesis) []int {
	var list []int
	for _, id := range [2]int{h.Element, h.Other} {
		if id >= 0 {
			list = append(list, p.circuit.Elements[id].A, p.circuit.Elements[id].B)
		}
	}
	for _, t := range [2]int{h.A, h.B} {
		if t >= 0 {
			list = append(list, t)
		}
	}
	if h.Fault == explain.JointOpen || h.Fault == explain.JointHigh {
		for _, id := range explain.WiresAt(p.circuit, h.A) {
			list = append(list, p.circuit.Far(id, h.A))
		}
	}
	return list
}

func (p *Planner) heaviest(weight map[int]float64, most int) []int {
	tips := make([]int, 0, len(weight))
	for t := range weight {
		tips = append(tips, t)
	}
	slices.SortFunc(tips, func(a, b int) int {
		if order := explain.CompareChances(weight[b], weight[a]); order != 0 {
			return order
		}
		return model.CompareRefs(p.ref(a), p.ref(b))
	})
	return tips[:min(most, len(tips))]
}

// crossed returns, for wires that may end elsewhere than the map has them, the
// touches that tell: from each wire's other end to where it should be and to
// where it may be.
func (p *Planner) crossed(s *ambiguityGroup) []testPair {
	const most = 40
	var list []testPair
	for _, set := range s.Sets {
		for _, h := range set.Members {
			for _, landing := range h.Landings(p.circuit) {
				far := p.circuit.Far(landing.Wire, landing.At)
				for _, end := range [2]int{landing.On, landing.At} {
					if len(list) < most && end >= 0 && end != far && p.usable(far, end, nil) {
						list = append(list, testPair{red: far, black: end})
					}
				}
			}
		}
	}
	return list
}

// parted returns the touches that saw two nets meet, made again with a plug
// pulled or a wire lifted on the way to the places where they may touch, or with
// half of the nets that clip leads joined.
func (p *Planner) parted(s *ambiguityGroup) []testPair {
	var list []testPair
	seen := map[string]bool{}
	for _, number := range s.Surprising {
		r, found := p.machine.Reading(number)
		if !found {
			continue
		}
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		base, _ := splitClips(r.Conditions)
		list = append(list, p.halves(r)...)
		if p.circuit.Nets().Of[red] == p.circuit.Nets().Of[black] {
			continue
		}
		for _, cut := range p.cuts(s, red, black) {
			conditions := model.NewConditions(append(slices.Clone(base), cut...)...)
			if key := conditions.String() + r.Red.String() + r.Black.String(); len(conditions) > len(base) && !seen[key] && p.usable(red, black, conditions) {
				seen[key] = true
				list = append(list, testPair{red, black, conditions})
			}
		}
	}
	return list
}

func splitClips(all model.Conditions) (rest model.Conditions, clips []model.TerminalRef) {
	for _, condition := range all {
		if condition.Kind == model.Clipped {
			clips = append(clips, condition.ClippedRefs()...)
			continue
		}
		rest = append(rest, condition)
	}
	return rest, clips
}
