package causes

import "math"

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

// Shares returns what part of the suspicion each candidate of a ranking
// carries, given this map: 10^(points/10), made to sum to 1.
func Shares(ranking []Scored) []float64 {
	shares := make([]float64, len(ranking))
	var sum float64
	for at, s := range ranking {
		shares[at] = math.Pow(10, (s.Points-ranking[0].Points)/10)
		sum += shares[at]
	}
	for at := range shares {
		shares[at] /= sum
	}
	return shares
}
