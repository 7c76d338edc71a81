package diagnosis

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bellout/assets"
)

// Bounds of the search for sets of hypotheses. Judgement.
const (
	mostFaults  = 4
	beam        = 12  // sets of one size that are extended
	mostWeighed = 200 // sets of several that are weighed, of each size
	hopeless    = 8.0 // nats below the best from which on a set is not extended
	helpful     = 0.7 // nats that a hypothesis must add to evidence to be worth a second place
	unlikely    = 2.0 // nats below the best from which on evidence counts as unexplained
)

// Diagnosis is a set of hypotheses with its chance.
type Diagnosis struct {
	Set    []Hypothesis // empty: nothing is wrong but the evidence
	Chance float64

	score float64
	logs  []float64 // by evidence
}

// Posterior is what the evidence leaves: diagnoses, the likeliest first. Their
// chances sum to 1.
type Posterior struct {
	Live      *Live
	Evidence  []Evidence
	Diagnoses []Diagnosis
}

// Weigh returns the posterior of some evidence. What kills at a distance is
// given; what else may be wrong the evidence proposes.
func Weigh(l *Live, evidence []Evidence, priors assets.Priors, given ...Hypothesis) *Posterior {
	s := &search{given: given, l: l, evidence: evidence, priors: priors, seen: map[string]bool{}, alone: map[string][]float64{}}
	return s.run()
}

type search struct {
	l        *Live
	evidence []Evidence
	priors   assets.Priors
	given    []Hypothesis
	list     []Hypothesis
	best     []float64 // by evidence: the most that anything gives it
	sets     []Diagnosis
	seen     map[string]bool
	alone    map[string][]float64 // by hypothesis: its logs without others
}

func (s *search) run() *Posterior {
	base := s.weigh(nil)
	s.best = slices.Clone(base.logs)
	p := &proposer{l: s.l, priors: s.priors, seen: map[string]bool{}, loops: map[[2]int]bool{}}
	for _, h := range s.given {
		p.add(h)
	}
	for i, e := range s.evidence {
		if base.logs[i] < mostLog(e)-unlikely {
			e.Propose(p)
		}
	}
	s.list = p.list
	s.sets = []Diagnosis{base}
	level := []Diagnosis{base}
	for size := 1; size <= mostFaults && len(level) > 0; size++ {
		before := s.top()
		level = s.extend(level)
		s.sets = append(s.sets, level...)
		if size > 1 && s.top() <= before {
			break
		}
	}
	return s.posterior()
}

// mostLog is about what a piece of evidence has where everything is as it
// shows.
func mostLog(e Evidence) float64 {
	switch e := e.(type) {
	case *Reading:
		if e.Reading.Mode == "volts-ac" {
			return RippleLog(e.Reading.Value.Number, e.Reading.Value.Number, 0)
		}
		return VoltsLog(e.Reading.Value.Number, e.Reading.Value.Number, 1, e.l.scale())
	default:
		return 0
	}
}

func (s *search) weigh(set []Hypothesis) Diagnosis {
	d := Diagnosis{Set: set, logs: make([]float64, len(s.evidence))}
	for _, h := range set {
		d.score += math.Log(h.Prior)
	}
	for i, e := range s.evidence {
		d.logs[i] = e.Log(set)
		d.score += d.logs[i]
	}
	return d
}

func (s *search) top() float64 {
	top := math.Inf(-1)
	for _, d := range s.sets {
		top = math.Max(top, d.score)
	}
	return top
}

// extend adds one hypothesis to the best sets of a level that leave evidence
// unexplained. Of several at once only those are weighed that promise to come
// near the best: what each explains by itself, they explain together.
func (s *search) extend(level []Diagnosis) []Diagnosis {
	slices.SortStableFunc(level, func(a, b Diagnosis) int { return cmp.Compare(b.score, a.score) })
	level = level[:min(beam, len(level))]
	top := s.top()
	type promise struct {
		set   []Hypothesis
		score float64
	}
	var list []promise
	for _, from := range level {
		open := s.leaves(from)
		if len(from.Set) > 0 && (from.score < top-hopeless || len(open) == 0) {
			continue
		}
		for _, h := range s.list {
			if clashes(from.Set, h) || len(from.Set) > 0 && !s.helps(h, open) {
				continue
			}
			score := from.score + math.Log(h.Prior)
			for i, log := range s.alone[h.Key()] {
				score += math.Max(0, log-from.logs[i])
			}
			if len(from.Set) > 0 && score < top-hopeless {
				continue
			}
			set := append(slices.Clone(from.Set), h)
			slices.SortFunc(set, func(a, b Hypothesis) int { return cmp.Compare(a.Key(), b.Key()) })
			if key := keyOf(set); !s.seen[key] {
				s.seen[key] = true
				list = append(list, promise{set, score})
			}
		}
	}
	if len(level) > 0 && len(level[0].Set) > 0 {
		slices.SortStableFunc(list, func(a, b promise) int { return cmp.Compare(b.score, a.score) })
		list = list[:min(mostWeighed, len(list))]
	}
	var added []Diagnosis
	for _, one := range list {
		d := s.weigh(one.set)
		for i, log := range d.logs {
			s.best[i] = math.Max(s.best[i], log)
		}
		if len(one.set) == 1 {
			s.alone[keyOf(one.set)] = d.logs
		}
		added = append(added, d)
	}
	return added
}

// leaves lists the evidence that a set leaves unexplained.
func (s *search) leaves(d Diagnosis) []int {
	var open []int
	for i, log := range d.logs {
		if log < s.best[i]-unlikely {
			open = append(open, i)
		}
	}
	return open
}

// helps says whether a hypothesis by itself makes any of some evidence likelier.
func (s *search) helps(h Hypothesis, open []int) bool {
	logs := s.alone[h.Key()]
	for _, i := range open {
		if logs[i] > s.sets[0].logs[i]+helpful {
			return true
		}
	}
	return false
}

func keyOf(set []Hypothesis) string {
	keys := make([]string, len(set))
	for i, h := range set {
		keys[i] = h.Key()
	}
	return strings.Join(keys, "|")
}

// clashes says whether a set has something of the same part already.
func clashes(set []Hypothesis, h Hypothesis) bool {
	part := func(h Hypothesis) string {
		switch {
		case h.Kind == Mechanism:
			return "m" + h.Name
		case h.Element >= 0:
			return "e" + strconv.Itoa(h.Element)
		case h.To >= 0 && h.Kind == Touch:
			return "t" + strconv.Itoa(h.At) + "-" + strconv.Itoa(h.To)
		default:
			return "p" + strconv.Itoa(h.At)
		}
	}
	return slices.ContainsFunc(set, func(other Hypothesis) bool {
		return part(other) == part(h) || other.Blown >= 0 && other.Blown == h.Element
	})
}

func (s *search) posterior() *Posterior {
	top, sum := s.top(), 0.0
	for _, d := range s.sets {
		sum += math.Exp(d.score - top)
	}
	p := &Posterior{Live: s.l, Evidence: s.evidence}
	for _, d := range s.sets {
		if d.Chance = math.Exp(d.score-top) / sum; d.Chance > 1e-6 {
			p.Diagnoses = append(p.Diagnoses, d)
		}
	}
	slices.SortStableFunc(p.Diagnoses, func(a, b Diagnosis) int {
		return cmp.Or(cmp.Compare(b.Chance, a.Chance), cmp.Compare(keyOf(a.Set), keyOf(b.Set)))
	})
	return p
}

// Suspect is a place with the chance that it is at fault.
type Suspect struct {
	Hypothesis // the likeliest size
	Chance     float64
	set        []Hypothesis // the likeliest diagnosis that has it
}

// Explains lists the evidence that a suspect makes likelier, the rest of its
// diagnosis being so.
func (p *Posterior) Explains(s Suspect) []Evidence {
	rest := slices.DeleteFunc(slices.Clone(s.set), func(h Hypothesis) bool { return h.Key() == s.Key() })
	return slices.DeleteFunc(slices.Clone(p.Evidence), func(e Evidence) bool { return e.Log(s.set) < e.Log(rest)+helpful })
}

// Parts lists the evidence that speaks for a suspect against one of the others.
func (p *Posterior) Parts(s Suspect, others []Suspect) []Evidence {
	return slices.DeleteFunc(slices.Clone(p.Evidence), func(e Evidence) bool {
		return !slices.ContainsFunc(others, func(o Suspect) bool { return e.Log(s.set) > e.Log(o.set)+helpful })
	})
}

// Suspects returns the places, the likeliest first: sizes and consequences
// summed.
func (p *Posterior) Suspects() []Suspect {
	at := map[string]int{}
	lead := map[string]float64{}
	var list []Suspect
	for _, d := range p.Diagnoses {
		for _, h := range d.Set {
			place := h.Place()
			i, seen := at[place]
			if !seen {
				i = len(list)
				at[place] = i
				list = append(list, Suspect{Hypothesis: h})
			}
			list[i].Chance += d.Chance
			if d.Chance > lead[place] {
				lead[place], list[i].Hypothesis, list[i].set = d.Chance, h, d.Set
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Suspect) int {
		return cmp.Or(cmp.Compare(b.Chance, a.Chance), cmp.Compare(a.Key(), b.Key()))
	})
	return list
}
