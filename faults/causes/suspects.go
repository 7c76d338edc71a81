package causes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bellout/faults"
	"bellout/model"
)

// Known is what else is known of the machine, from check.
type Known struct {
	Findings    []faults.Finding
	ProvenWires map[string]bool
	Stale       map[int64]bool // readings that are no longer evidence
}

// KnownFrom returns what a diagnosis says.
func KnownFrom(d *faults.Diagnosis) Known {
	known := Known{Findings: d.Report().Findings, ProvenWires: map[string]bool{}, Stale: map[int64]bool{}}
	m := d.Analysis().Machine
	for row, wire := range m.Wires {
		known.ProvenWires[wire.Name] = d.WireProven(row)
	}
	for _, reading := range m.Readings {
		known.Stale[reading.Number] = d.Stale(reading.Number)
	}
	return known
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
	// Deaths are the parts that died, several in one place among them, and Replaced
	// says which places have another part since.
	Deaths   int             `json:"-"`
	Replaced map[string]bool `json:"-"`
	// Shared is what the failed have in common, what no healthy device has first.
	Shared []Shared `json:"shared"`
}

// FailedText names the failed devices, and says of which the dead part is out.
func (r *Ranking) FailedText() string {
	names := make([]string, len(r.Failed))
	for at, name := range r.Failed {
		names[at] = name
		if r.Replaced[name] {
			names[at] += " (replaced since)"
		}
	}
	text := strings.Join(names, ", ")
	if more := r.Deaths - len(r.Failed); more > 0 {
		text += fmt.Sprintf("; %d parts died in these places", r.Deaths)
	}
	return text
}

// Rank weighs everything in the machine that could have killed several devices.
// Without a failed device there is nothing to rank. Cost: candidates times
// devices.
func Rank(b *faults.Analysis, known Known, w *Weights) *Ranking {
	ranking := &Ranking{Failed: []string{}, Verdict: None, Suspects: []Suspect{}, Shared: []Shared{}, Replaced: map[string]bool{}}
	if !slices.ContainsFunc(b.Machine.Devices, func(d model.Device) bool { return len(b.Machine.Deaths(d.Ref)) > 0 }) {
		return ranking
	}
	s := newScene(b, known, w)
	for _, at := range s.failed {
		ranking.Failed = append(ranking.Failed, s.witnesses[at].Device)
		if device, _ := b.Machine.Device(s.witnesses[at].Device); device.Health != model.HealthFailed {
			ranking.Replaced[device.Ref] = true
		}
	}
	ranking.Deaths = len(s.deaths)
	slices.SortFunc(ranking.Failed, model.Compare)
	ranking.Shared = s.shared()
	candidates := s.candidates()
	s.addTime(candidates)
	s.addNotes(candidates)
	s.askAll(candidates)
	for at := range candidates {
		candidates[at] = s.told(candidates[at])
	}
	scored := Score(s.lives, candidates, w)
	ranking.Verdict = Judge(scored, len(s.deaths), w)
	for at, share := range posterior(s.lives, scored, w) {
		one := scored[at]
		ranking.Suspects = append(ranking.Suspects, Suspect{
			Place: one.Place, Mechanism: one.Mechanism, Share: share, Points: one.Points,
			Reaches: one.Reaches, By: one.By, ClearedBy: one.ClearedBy, Evidence: one.Evidence, Next: s.settle(one.asks),
		})
	}
	slices.SortStableFunc(ranking.Suspects, func(x, y Suspect) int { return cmp.Compare(y.Share, x.Share) })
	return ranking
}
