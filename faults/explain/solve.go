package explain

import (
	"math"
	"slices"
)

// Bounds of the search for sets of faults.
const (
	mostFaults = 5   // in one group of readings
	beam       = 16  // sets that are extended
	mostSets   = 400 // sets that are weighed
)

// doubt is how far, in nats, a reading's likelihood under a set may lie below
// the best that any hypothesis gives it before it counts as unexplained.
const doubt = 2.0

// candidate is a set of hypotheses with its weight.
type candidate struct {
	members []int     // places in group.hypotheses, rising
	items   []float64 // log likelihood by place in group.evidence
	prior   float64
	score   float64
}

// search weighs sets of hypotheses for one group.
type search struct {
	x     *Explainer
	g     *group
	base  []float64
	alone [][]float64 // by hypothesis, by item
	best  []float64   // by item: the most that nothing wrong or one fault gives it
	all   []candidate
	seen  map[string]bool
}

// solve finds the likeliest set of faults for a group.
func (x *Explainer) solve(g *group) Explanation {
	s := x.weighSets(g)
	e := s.explanation()
	e.suspicion = s.suspicion()
	return e
}

// weighSets weighs sets of a group's hypotheses, the likeliest first.
func (x *Explainer) weighSets(g *group) *search {
	s := &search{x: x, g: g, seen: map[string]bool{}}
	for _, item := range g.evidence {
		s.base = append(s.base, x.base(item))
	}
	s.best = slices.Clone(s.base)
	s.alone = make([][]float64, len(g.hypotheses))
	for h, hypothesis := range g.hypotheses {
		s.alone[h] = make([]float64, len(g.evidence))
		for i, item := range g.evidence {
			s.alone[h][i] = x.logLikelihood(item, hypothesis)
			s.best[i] = math.Max(s.best[i], s.alone[h][i])
		}
	}
	s.add(nil, s.base, 0)
	level := []int{0}
	for size := 1; size <= mostFaults && len(level) > 0 && len(s.all) < mostSets; size++ {
		before := s.topScore()
		level = s.extend(level)
		if size > 1 && s.topScore() <= before {
			break
		}
	}
	return s
}

func (s *search) add(members []int, items []float64, prior float64) {
	score := prior
	for _, l := range items {
		score += l
	}
	s.all = append(s.all, candidate{members, items, prior, score})
}

func (s *search) topScore() float64 {
	top := math.Inf(-1)
	for _, c := range s.all {
		top = math.Max(top, c.score)
	}
	return top
}

// extend adds one fault to the best sets of a level, where they leave readings
// unexplained, and returns the places of the new sets.
func (s *search) extend(level []int) []int {
	slices.SortStableFunc(level, func(a, b int) int { return compareChances(s.all[b].score, s.all[a].score) })
	if len(level) > beam {
		level = level[:beam]
	}
	var added []int
	for _, place := range level {
		from := s.all[place]
		open := s.unexplained(from)
		if len(open) == 0 {
			continue
		}
		for h := range s.g.hypotheses {
			if !s.worth(from, h, open) {
				continue
			}
			members := append(slices.Clone(from.members), h)
			slices.Sort(members)
			key := setKey(members)
			if s.seen[key] {
				continue
			}
			s.seen[key] = true
			added = append(added, len(s.all))
			s.add(members, s.together(from, h, members), from.prior+math.Log(s.g.hypotheses[h].Prior))
		}
	}
	return added
}

func setKey(members []int) string {
	key := make([]byte, 0, 2*len(members))
	for _, h := range members {
		key = append(key, byte(h>>8), byte(h))
	}
	return string(key)
}

// unexplained returns the items that a set leaves surprising.
func (s *search) unexplained(c candidate) []int {
	var open []int
	for i, l := range c.items {
		if s.g.evidence[i].Surprising() && l < s.best[i]-doubt {
			open = append(open, i)
		}
	}
	return open
}

// worth says whether a hypothesis is compatible with a set and explains
// something that the set leaves open.
func (s *search) worth(from candidate, h int, open []int) bool {
	for _, member := range from.members {
		if s.clash(member, h) {
			return false
		}
	}
	for _, i := range open {
		if s.alone[h][i]-s.base[i] > helps {
			return true
		}
	}
	return len(from.members) == 0
}

// clash says whether two hypotheses are about the same thing.
func (s *search) clash(p, q int) bool {
	a, b := s.g.hypotheses[p], s.g.hypotheses[q]
	if a.Fault == Short && b.Fault == Short {
		return a.Spot() == b.Spot()
	}
	if a.A >= 0 && a.A == b.A && a.Fault != Short && b.Fault != Short {
		return true
	}
	for _, e := range a.elements(s.x.judge.Rest) {
		if slices.Contains(b.elements(s.x.judge.Rest), e) {
			return true
		}
	}
	return false
}

// together returns the likelihoods of the items under a set with one more
// hypothesis. Items that only one side moves are not predicted anew.
func (s *search) together(from candidate, h int, members []int) []float64 {
	items := slices.Clone(from.items)
	for i := range items {
		moved := s.alone[h][i] != s.base[i]
		switch {
		case len(from.members) == 0:
			items[i] = s.alone[h][i]
		case !moved && from.items[i] == s.base[i]:
			if s.mayCombine(i, members) {
				items[i] = s.jointly(i, members)
			}
		case !moved:
		case from.items[i] == s.base[i]:
			items[i] = s.alone[h][i]
			if s.mayCombine(i, members) {
				items[i] = s.jointly(i, members)
			}
		default:
			items[i] = s.jointly(i, members)
		}
	}
	return items
}

// mayCombine says whether faults that do nothing to an item alone may do so
// together: two breaks of a ring, two shorts in a row.
func (s *search) mayCombine(i int, members []int) bool {
	return s.g.evidence[i].Surprising()
}

func (s *search) jointly(i int, members []int) float64 {
	set := make([]Hypothesis, len(members))
	for k, h := range members {
		set[k] = s.g.hypotheses[h]
	}
	item := s.g.evidence[i]
	return math.Log(s.x.judge.Meter.Likelihood(item.Reading, sight(s.x.judge, item, set...)))
}
