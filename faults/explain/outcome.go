package explain

import (
	"cmp"
	"math"
	"slices"
)

// Bounds of what is reported.
const (
	// mistaken is the chance of nothing being wrong from which on no fault is
	// named.
	mistaken = 0.9
	// rivalShare is the least chance of a rival that is named.
	rivalShare = 0.02
	mostRivals = 4
)

// explanation picks the likeliest set and says how sure each of its faults is.
func (s *search) explanation() Explanation {
	logPrior, logLikelihood := make([]float64, len(s.all)), make([]float64, len(s.all))
	for k, c := range s.all {
		logPrior[k] = c.prior
		logLikelihood[k] = c.score - c.prior
	}
	chances := Weigh(logPrior, logLikelihood)
	e := Explanation{Mistaken: chances[0]}
	for _, item := range s.g.surprising {
		e.Surprising = append(e.Surprising, item.Reading.Number)
	}
	best := s.pick(chances)
	if best < 0 || e.Mistaken >= mistaken {
		e.Unexplained = slices.Clone(e.Surprising)
		return e
	}
	for _, i := range s.unexplained(s.all[best]) {
		e.Unexplained = append(e.Unexplained, s.g.evidence[i].Reading.Number)
	}
	spots := s.spotChances(chances)
	for _, h := range s.all[best].members {
		e.Causes = append(e.Causes, s.cause(h, s.all[best], chances, spots))
	}
	slices.SortStableFunc(e.Causes, func(a, b Cause) int { return CompareChances(b.Confidence, a.Confidence) })
	return e
}

// CompareChances compares two chances, scores or bits without the digits that
// rounding makes: what was worked out in another order comes in the same place.
func CompareChances(a, b float64) int { return cmp.Compare(math.Round(a*1e9), math.Round(b*1e9)) }

// pick returns the likeliest set that is not empty, -1 if there is none. Sets
// that differ only in sizes, or in where two nets touch, say the same of what is
// wrong: first the likeliest of such classes is found, then its likeliest set.
func (s *search) pick(chances []float64) int {
	classes := map[string]float64{}
	for k, c := range s.all {
		classes[s.class(c)] += chances[k]
	}
	best := -1
	for k, c := range s.all {
		if len(c.members) == 0 {
			continue
		}
		if best < 0 {
			best = k
			continue
		}
		mine, top := classes[s.class(c)], classes[s.class(s.all[best])]
		if mine > top*(1+1e-9) || mine >= top*(1-1e-9) && chances[k] > chances[best]*(1+1e-9) {
			best = k
		}
	}
	return best
}

// findClasses numbers what each hypothesis says is wrong.
func (s *search) findClasses() {
	of := s.x.judge.Rest.Nets().Of
	at := map[Place]int{}
	for _, h := range s.g.hypotheses {
		spot := h.Spot()
		if spot.Fault == Short {
			a, b := of[spot.A], of[spot.B]
			spot.A, spot.B = min(a, b), max(a, b)
		}
		if spot.Fault.Pattern() {
			spot = Place{Fault: spot.Fault, A: s.x.firstOf(spot.A)} // whichever face of the plug
		}
		class, known := at[spot]
		if !known {
			class = len(at)
			at[spot] = class
		}
		s.classes = append(s.classes, class)
	}
}

// class names what a set says is wrong.
func (s *search) class(c diagnosis) string {
	list := make([]int, len(c.members))
	for k, h := range c.members {
		list[k] = s.classes[h]
	}
	slices.Sort(list)
	return setKey(list)
}

// spotChances returns the chance of each spot, whatever the size.
func (s *search) spotChances(chances []float64) map[Place]float64 {
	spots := map[Place]float64{}
	for k, c := range s.all {
		for _, h := range c.members {
			spots[s.g.hypotheses[h].Spot()] += chances[k]
		}
	}
	return spots
}

func (s *search) cause(h int, best diagnosis, chances []float64, spots map[Place]float64) Cause {
	hypothesis := s.g.hypotheses[h]
	cause := Cause{Hypothesis: hypothesis, Confidence: math.Min(spots[hypothesis.Spot()], 1), Mistaken: chances[0]}
	if hypothesis.Fault == Short || hypothesis.Fault.Pattern() {
		cause.Confidence = s.classChance(hypothesis, chances)
	}
	cause.Readings = s.readings(h, best)
	chosen := map[Place]bool{}
	for _, member := range best.members {
		chosen[s.g.hypotheses[member].Spot()] = true
	}
	seen := map[Place]bool{}
	instead := s.insteadOf(h, chances)
	for other, rival := range s.g.hypotheses {
		spot := rival.Spot()
		if chosen[spot] || seen[spot] || rival.Fault.Pattern() && s.classes[other] == s.classes[h] || instead[spot] < rivalShare || !s.stands(other, h) {
			continue
		}
		seen[spot] = true
		cause.takeRival(Rival{rival, instead[spot]})
	}
	slices.SortStableFunc(cause.Rivals, func(a, b Rival) int { return CompareChances(b.Confidence, a.Confidence) })
	if len(cause.Rivals) > mostRivals {
		cause.Rivals = cause.Rivals[:mostRivals]
	}
	return cause
}

// takeRival adds a rival. A place is none of its own: open or of high resistance, it
// is there that somebody has to look.
func (c *Cause) takeRival(rival Rival) {
	thing := rival.thing()
	if thing == c.thing() {
		c.Confidence = math.Min(c.Confidence+rival.Confidence, 1)
		return
	}
	for at := range c.Rivals {
		known := &c.Rivals[at]
		if known.thing() != thing {
			continue
		}
		if rival.Confidence > known.Confidence {
			known.Hypothesis = rival.Hypothesis
		}
		known.Confidence += rival.Confidence
		return
	}
	c.Rivals = append(c.Rivals, rival)
}

// insteadOf returns the chance of each spot in the sets that do not hold what a
// hypothesis says is wrong; of spots that say the same of what is wrong, that in
// the sets without its own spot. A set's chance is shared among its members that
// stand in for the hypothesis, so that the chances sum to no more than what is
// left.
func (s *search) insteadOf(h int, chances []float64) map[Place]float64 {
	own := s.g.hypotheses[h].Spot()
	same, stands := make([]bool, len(s.g.hypotheses)), make([]bool, len(s.g.hypotheses))
	for other, hypothesis := range s.g.hypotheses {
		same[other] = hypothesis.Fault == own.Fault && s.classes[other] == s.classes[h]
		stands[other] = s.stands(other, h)
	}
	instead := map[Place]float64{}
	for k, c := range s.all {
		var alike, unlike []int
		held := false
		for _, member := range c.members {
			switch {
			case s.g.hypotheses[member].Spot() == own:
				held = true
			case same[member]:
				alike = append(alike, member)
			case stands[member]:
				unlike = append(unlike, member)
			}
		}
		if held {
			continue
		}
		if len(alike) > 0 {
			unlike = alike
		}
		for _, member := range unlike {
			instead[s.g.hypotheses[member].Spot()] += chances[k] / float64(len(unlike))
		}
	}
	return instead
}

// classChance returns the chance of what a fault says is wrong: that two nets
// touch, wherever; that a plug is mirrored, whichever its face.
func (s *search) classChance(short Hypothesis, chances []float64) float64 {
	want := s.classes[s.placeOf(short)]
	sum := 0.0
	for k, c := range s.all {
		for _, h := range c.members {
			if s.classes[h] == want {
				sum += chances[k]
				break
			}
		}
	}
	return math.Min(sum, 1)
}

func (s *search) placeOf(hypothesis Hypothesis) int {
	return slices.IndexFunc(s.g.hypotheses, func(h Hypothesis) bool { return h.Place == hypothesis.Place })
}

// stands says whether one hypothesis explains any of the surprising readings
// that another does.
func (s *search) stands(one, other int) bool {
	for i, item := range s.g.evidence {
		if item.Surprising() && s.alone[one][i].log-s.base[i].log > helps && s.alone[other][i].log-s.base[i].log > helps {
			return true
		}
	}
	return false
}

// readings lists the evidence for one fault: the surprising readings that it
// explains, those it helps most first, then the agreeing ones that would not
// look as they do if it were one of its rivals.
func (s *search) readings(h int, best diagnosis) []int64 {
	type weight struct {
		number int64
		nats   float64
	}
	var list []weight
	for i, item := range s.g.evidence {
		without := s.base[i].log
		if gain := best.items[i].log - without; item.Surprising() && gain > helps && (s.alone[h][i].log-without > helps || len(best.members) > 1 && s.alone[h][i].log != without) {
			list = append(list, weight{item.Reading.Number, gain + 1e3})
		}
	}
	for i, item := range s.g.evidence {
		if item.Surprising() {
			continue
		}
		most := 0.0
		for rival := range s.g.hypotheses {
			if rival != h && s.stands(rival, h) {
				most = math.Max(most, s.alone[h][i].log-s.alone[rival][i].log)
			}
		}
		if most > helps {
			list = append(list, weight{item.Reading.Number, most})
		}
	}
	slices.SortStableFunc(list, func(a, b weight) int {
		if order := cmp.Compare(math.Round(b.nats), math.Round(a.nats)); order != 0 {
			return order
		}
		return cmp.Compare(a.number, b.number)
	})
	numbers := make([]int64, len(list))
	for i, w := range list {
		numbers[i] = w.number
	}
	return numbers
}
