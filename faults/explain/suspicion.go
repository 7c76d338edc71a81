package explain

import (
	"slices"

	"bellout/faults/judge"
	"bellout/model"
)

// Suspicion is one group of surprising readings with every set of faults that
// was weighed for it.
type Suspicion struct {
	Surprising []int64
	// Sets are the likeliest, the surest first, with chances that sum to 1. One
	// of them has no member: nothing is wrong but the readings.
	Sets []Set
}

// Set is some faults that hold together.
type Set struct {
	Members []Hypothesis
	Chance  float64
}

// mostSuspected is how many sets of one group are handed on.
const mostSuspected = 256

// Suspicions returns what Explain weighs, group by group, in the order of their
// lowest numbers: what a next reading could tell apart.
func (x *Explainer) Suspicions() []Suspicion {
	var list []Suspicion
	for _, explanation := range x.Explain() {
		list = append(list, explanation.suspicion)
	}
	return list
}

func (s *search) suspicion() Suspicion {
	logPrior, logLikelihood := make([]float64, len(s.all)), make([]float64, len(s.all))
	for k, c := range s.all {
		logPrior[k] = c.prior
		logLikelihood[k] = c.score - c.prior
	}
	out := Suspicion{}
	for _, item := range s.g.surprising {
		out.Surprising = append(out.Surprising, item.Reading.Number)
	}
	for k, chance := range Weigh(logPrior, logLikelihood) {
		set := Set{Chance: chance}
		for _, h := range s.all[k].members {
			set.Members = append(set.Members, s.g.hypotheses[h])
		}
		out.Sets = append(out.Sets, set)
	}
	slices.SortStableFunc(out.Sets, func(a, b Set) int { return CompareChances(b.Chance, a.Chance) })
	if len(out.Sets) > mostSuspected {
		out.Sets = out.Sets[:mostSuspected]
		sum := 0.0
		for _, set := range out.Sets {
			sum += set.Chance
		}
		for i := range out.Sets {
			out.Sets[i].Chance /= sum
		}
	}
	return out
}

// Prior returns the chance of a fault of a kind at one place, by the table of
// priors.
func (x *Explainer) Prior(fault string) float64 { return x.priors.Of(fault) }

// SightIf returns what a meter would face between two terminals if a set of
// faults held.
func (x *Explainer) SightIf(red, black int, conditions model.Conditions, set ...Hypothesis) judge.Observed {
	item := &Item{Red: red, Black: black, Reading: model.Reading{Conditions: conditions}}
	item.Judgement.Sight = x.judge.Sight(red, black, conditions)
	if item.Judgement.Sight.Metal {
		item.Judgement.Sight.LeastOhms = item.Judgement.Sight.Ohms
	}
	return sight(x.judge, item, set...)
}
