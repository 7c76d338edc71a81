package causes

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/model"
)

// Witness is a part as evidence: a device, or one of several that stood in its
// place one after another.
type Witness struct {
	Device     string
	Health     model.Health
	Background float64 // the chance that it dies by itself
	Sure       float64 // how sure it is that a healthy one is healthy
	// Words are how its evidence begins, as in "A1 failed on 2026-03-01"; empty:
	// "A1 failed" or "A1 is well".
	Words string

	place int // of the device in scene.witnesses
}

// words are how the evidence of a witness begins.
func (w Witness) words() string {
	switch {
	case w.Words != "":
		return w.Words
	case w.Health == model.HealthFailed:
		return w.Device + " failed"
	}
	return w.Device + " is well"
}

// Exposure says how much of a candidate reaches a witness.
type Exposure struct {
	Witness   int     // its place in the list of witnesses
	Share     float64 // 0 to 1: of the mechanism's full force
	Fragility float64 // 0 to 1: of the port it reaches
	By        string  // what leads there: feed, return, mains, earth, signal or zone
	Text      string  // ends "A1 failed and ..." for this witness; empty: the candidate's own
}

// Line is one line of evidence: points and what they are for.
type Line struct {
	Points float64 `json:"points"`
	Text   string  `json:"text"`
}

// Candidate is one thing that may have done it all: a place and a mechanism.
type Candidate struct {
	Place     Place
	Mechanism Mechanism
	Exposed   []Exposure
	// Lines are the prior and everything that does not come from a witness:
	// order in time, changes, signatures, readings.
	Lines []Line
	// Decided says that a reading or a signature speaks for the candidate.
	Decided bool
	// Text ends the sentence "A1 failed and ...", as in "hangs on G3".
	Text string

	pieces  []int     // of a return: elements
	beyond  []int     // the witnesses behind the place
	meeting [2]int    // of a crossing: a terminal of each rail
	asks    *question // nil: no reading decides
}

// Scored is a candidate with its points.
type Scored struct {
	Candidate
	Points float64
	Robust float64 // clones counted as a few: see clone groups
	// Failed and Healthy are the parts of Points that the dead and the living
	// bring.
	Failed, Healthy float64
	Evidence        []Line // every line, the heaviest first
	Reaches         []string
	ClearedBy       []string
	By              []string
}

// Score weighs every candidate against the witnesses and returns them best
// first. Cost: candidates times exposures.
func Score(witnesses []Witness, candidates []Candidate, w *Weights) []Scored {
	robust := cloneFactors(witnesses, candidates, w)
	scored := make([]Scored, len(candidates))
	for at, candidate := range candidates {
		scored[at] = scoreOne(witnesses, candidate, robust, w)
	}
	slices.SortStableFunc(scored, func(a, b Scored) int {
		switch {
		case a.Points > b.Points:
			return -1
		case a.Points < b.Points:
			return 1
		}
		return model.Compare(a.Place.String()+string(a.Mechanism), b.Place.String()+string(b.Mechanism))
	})
	return scored
}

func scoreOne(witnesses []Witness, c Candidate, robust []float64, w *Weights) Scored {
	s := Scored{Candidate: c, Reaches: []string{}, ClearedBy: []string{}, By: []string{}}
	var robustDevices float64
	for _, exposure := range c.Exposed {
		witness := witnesses[exposure.Witness]
		points := devicePoints(witness, exposure, w.Lethality[c.Mechanism])
		robustDevices += points * robust[exposure.Witness]
		text := c.Text
		if exposure.Text != "" {
			text = exposure.Text
		}
		switch witness.Health {
		case model.HealthFailed:
			s.Failed += points
			s.Reaches = appendNew(s.Reaches, witness.Device)
		case model.HealthOK:
			s.Healthy += points
			if points < 0 {
				s.ClearedBy = appendNew(s.ClearedBy, witness.Device)
			}
		default:
			continue
		}
		if exposure.By != "" && exposure.Share > 0 && !slices.Contains(s.By, exposure.By) && witness.Health == model.HealthFailed {
			s.By = append(s.By, exposure.By)
		}
		s.Evidence = append(s.Evidence, Line{Points: points, Text: witness.words() + " and " + text})
	}
	s.Points, s.Robust = s.Failed+s.Healthy, robustDevices
	for _, line := range c.Lines {
		s.Points += line.Points
		s.Robust += line.Points
		s.Evidence = append(s.Evidence, line)
	}
	slices.SortStableFunc(s.Evidence, func(a, b Line) int {
		switch {
		case math.Abs(a.Points) > math.Abs(b.Points):
			return -1
		case math.Abs(a.Points) < math.Abs(b.Points):
			return 1
		}
		return 0
	})
	slices.SortFunc(s.Reaches, model.Compare)
	slices.SortFunc(s.ClearedBy, model.Compare)
	slices.Sort(s.By)
	return s
}

func appendNew(list []string, name string) []string {
	if slices.Contains(list, name) {
		return list
	}
	return append(list, name)
}

// devicePoints returns ten times the logarithm of how much likelier the
// witness's state is if the mechanism struck:
//
//	x = share * lethality * fragility,  P = 1 - (1-b)(1-x)
//	failed: 10 log10(P/b)    healthy: sure * 10 log10(1-x)    unknown: 0
func devicePoints(witness Witness, exposure Exposure, lethality float64) float64 {
	x := min(exposure.Share*lethality*exposure.Fragility, 0.999)
	switch witness.Health {
	case model.HealthFailed:
		return 10 * math.Log10((1-(1-witness.Background)*(1-x))/witness.Background)
	case model.HealthOK:
		return witness.Sure * 10 * math.Log10(1-x)
	default:
		return 0
	}
}

// cloneFactors returns, by witness, what it counts in the robust total.
// Witnesses whom every candidate reaches alike are no independent witnesses: a
// group of more than a few counts as a few.
func cloneFactors(witnesses []Witness, candidates []Candidate, w *Weights) []float64 {
	vectors := make([]strings.Builder, len(witnesses))
	for at, witness := range witnesses {
		fmt.Fprintf(&vectors[at], "%s %g %g", witness.Health, witness.Background, witness.Sure)
	}
	for at, candidate := range candidates {
		for _, exposure := range candidate.Exposed {
			fmt.Fprintf(&vectors[exposure.Witness], " %d:%g", at, exposure.Share*exposure.Fragility)
		}
	}
	size := map[string]int{}
	for at := range vectors {
		size[vectors[at].String()]++
	}
	most := w.Bound("clones-count-as")
	factors := make([]float64, len(witnesses))
	for at := range factors {
		factors[at] = min(1, most/float64(size[vectors[at].String()]))
	}
	return factors
}
