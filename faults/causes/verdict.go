package causes

import (
	"math"
	"strconv"

	"bellout/faults/diagnosis"
	"bellout/model"
)

// Verdict says how far the ranking goes.
type Verdict string

// The verdicts.
const (
	Strong    Verdict = "strong"
	Leaning   Verdict = "leaning"
	Undecided Verdict = "undecided" // measure
	None      Verdict = "none"      // no common cause supported
)

// Judge returns the verdict on a ranking of candidates, best first, over a
// number of failed devices. The word goes by the smaller of two leads: that of
// the plain points and that of the robust ones. Fewer than three failed devices
// and no reading or signature for the best name nobody.
func Judge(ranking []Scored, failed int, w *Weights) Verdict {
	if len(ranking) == 0 || failed == 0 || ranking[0].Points < w.Bound("support-above") {
		return None
	}
	best := ranking[0]
	if float64(failed) < w.Bound("enough-failed") && !best.Decided {
		return Undecided
	}
	lead, robustLead := math.Inf(1), math.Inf(1)
	for _, other := range ranking[1:] {
		if other.Place == best.Place { // whichever way it went wrong, it is there that somebody has to look
			continue
		}
		lead = min(lead, best.Points-other.Points)
		robustLead = min(robustLead, best.Robust-other.Robust)
	}
	// A single candidate leads over "each died by itself", which has no points.
	lead, robustLead = min(lead, best.Points), min(robustLead, best.Robust)
	switch smaller := min(lead, robustLead); {
	case smaller < w.Bound("undecided-below"):
		return Undecided
	case smaller > w.Bound("strong-above"):
		return Strong
	default:
		return Leaning
	}
}

// priorAtZero is the chance of a candidate with no points before a device died.
// Judgement: with it a return joint, at -6, comes to 0.004, as in assets/priors.csv.
const priorAtZero = 0.016

// posterior returns what part of the suspicion each candidate carries, given this map:
// deaths are weighed as by everything else that may be wrong, several causes at once
// among it, and one that only some of the dead share leaves the rest to another. The
// chances are made to sum to 1.
func posterior(lives []Witness, scored []Scored, w *Weights) []float64 {
	var deaths []diagnosis.Evidence
	for _, witness := range lives {
		if witness.Health == model.HealthFailed || witness.Health == model.HealthOK {
			deaths = append(deaths, &diagnosis.Death{
				Device: witness.Device, Dead: witness.Health == model.HealthFailed, Background: witness.Background, Sure: witness.Sure,
			})
		}
	}
	causes := make([]diagnosis.Hypothesis, len(scored))
	for at, one := range scored {
		prior := priorAtZero
		for _, line := range one.Lines {
			prior *= math.Pow(10, line.Points/10)
		}
		kills := map[string]float64{}
		for _, exposure := range one.Exposed {
			device := lives[exposure.Witness].Device
			kills[device] = max(kills[device], exposure.Share*exposure.Fragility*w.Lethality[one.Mechanism])
		}
		causes[at] = diagnosis.NewMechanism(strconv.Itoa(at), prior, kills)
	}
	shares, sum := make([]float64, len(scored)), 0.0
	for _, suspect := range diagnosis.Weigh(nil, deaths, nil, causes...).Suspects() {
		at, _ := strconv.Atoi(suspect.Name)
		shares[at] = suspect.Chance
		sum += suspect.Chance
	}
	for at := range shares {
		shares[at] /= sum
	}
	return shares
}
