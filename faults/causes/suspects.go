package causes

import (
	"slices"

	"bellout/faults"
	"bellout/model"
)

// Known is what else is known of the machine, from check.
type Known struct {
	Findings    []faults.Finding
	ProvenWires map[string]bool
}

// Suspect is one candidate as it is shown.
type Suspect struct {
	Place
	Mechanism Mechanism `json:"mechanism"`
	Share     float64   `json:"share"` // of the suspicion, given this map; all shares sum to 1
	Points    float64   `json:"points"`
	Reaches   []string  `json:"reaches"` // failed devices
	By        []string  `json:"by"`
	ClearedBy []string  `json:"cleared_by"` // healthy devices that speak against it
	Evidence  []Line    `json:"evidence"`
	Next      *Probe    `json:"next"` // what would settle it; null where no probe can
}

// Ranking is what the failed devices share, best first.
type Ranking struct {
	Failed   []string  `json:"failed"`
	Verdict  Verdict   `json:"verdict"`
	Suspects []Suspect `json:"suspects"`
	// Single holds the points whose loss alone would reach every failed device;
	// it is said to people and is no part of the JSON.
	Single SinglePoints `json:"-"`
}

// Rank weighs everything in the machine that could have killed several devices.
// Without a failed device there is nothing to rank. Cost: candidates times
// devices.
func Rank(b *faults.Bench, known Known, w *Weights) *Ranking {
	s := newScene(b, known, w)
	ranking := &Ranking{Failed: []string{}, Verdict: None, Suspects: []Suspect{}}
	for _, at := range s.failed {
		ranking.Failed = append(ranking.Failed, s.witnesses[at].Device)
	}
	slices.SortFunc(ranking.Failed, model.Compare)
	if len(s.failed) == 0 {
		return ranking
	}
	ranking.Single = s.singlePoints()
	candidates := s.candidates()
	s.addTime(candidates)
	s.addNotes(candidates)
	s.addVolts(candidates)
	scored := Score(s.witnesses, candidates, w)
	ranking.Verdict = Judge(scored, len(s.failed), w)
	for at, share := range Shares(scored) {
		one := scored[at]
		ranking.Suspects = append(ranking.Suspects, Suspect{
			Place: one.Place, Mechanism: one.Mechanism, Share: share, Points: one.Points,
			Reaches: one.Reaches, By: one.By, ClearedBy: one.ClearedBy, Evidence: one.Evidence, Next: s.settle(one),
		})
	}
	return ranking
}
