package causes

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// readReturn says what the readings know of a return: that a piece of it is bad,
// or that every wire of it is proven. Empty where they know neither.
func (s *scene) readReturn(pieces []int) (evidence, text string) {
	proven := true
	for _, id := range pieces {
		name := s.pieceName(id)
		for _, finding := range s.findings {
			if (finding.Rule == "open" || finding.Rule == "high-resistance") &&
				(slices.Contains(finding.Wires, name) || slices.Contains(finding.Terminals, name)) {
				return "return-bad", fmt.Sprintf("check finds %s at %s", finding.Rule, name)
			}
		}
		proven = proven && s.pieceProven(id)
	}
	if proven {
		return "return-proven", "standing readings prove every piece of it"
	}
	return "", ""
}

// pieceProven says whether readings prove a piece: one of ohms that agrees and whose
// every way ran over it; or else a wire by itself, and a link when every wire that
// lands on its device is proven.
func (s *scene) pieceProven(id int) bool {
	if s.soundOver(id) {
		return true
	}
	c := s.bench.AsIntended
	e := c.Elements[id]
	if e.Kind == graphs.Wire {
		return s.proven[s.pieceName(id)]
	}
	landed := false
	for _, wire := range s.wiresAt[c.Machine.Terminals[e.A].Device] {
		landed = true
		if !s.proven[wire] {
			return false
		}
	}
	return landed
}

// soundOver says whether the last reading of ohms of some pair ran over an element
// and is as it should be.
func (s *scene) soundOver(id int) (sound bool) {
	s.eachReading(func(r model.Reading, red, black int) {
		if r.Mode != model.ModeOhms || r.Value.Kind != model.ShowsNumber || !s.runsOver(red, black, id) {
			return
		}
		bypassed := slices.ContainsFunc(r.Conditions, func(c model.Condition) bool { return c.Kind == model.Clipped })
		sound = sound || !bypassed && s.bench.Judge().Judge(r).Outcome == judge.Agrees
	})
	return sound
}

// addTime adds what the order of the failures says of every candidate.
func (s *scene) addTime(candidates []Candidate) {
	span, dated := s.span()
	if !dated {
		return
	}
	days := span.Hours() / 24
	var kinds []string
	text := fmt.Sprintf("%.0f days from the first to the last failure", days)
	switch w := s.weights; {
	case span <= time.Duration(w.Bound("session-hours"))*time.Hour:
		kinds, text = []string{"order-session"}, "all failed within one session"
	case days >= w.Bound("weeks-days") && days <= w.Bound("months-days"):
		kinds = []string{"order-weeks", "order-longer"}
	case days >= w.Bound("weeks-days"):
		kinds = []string{"order-longer"}
	}
	for at := range candidates {
		for _, kind := range kinds {
			s.addLine(&candidates[at], kind, text)
		}
	}
}

// addLine adds a line of evidence where the table has points for it.
func (s *scene) addLine(c *Candidate, evidence, text string) {
	if points := s.weights.Points(evidence, c.Mechanism); points != 0 {
		c.Lines = append(c.Lines, Line{Points: points, Text: text})
	}
}

// addNotes adds what the notes of the failed devices say: the signatures of
// assets/causes/signatures.csv, and when it happened.
func (s *scene) addNotes(candidates []Candidate) {
	for _, death := range s.deaths {
		at, note := s.at[death.Device], strings.ToLower(death.Note)
		for c := range candidates {
			candidate := &candidates[c]
			if !slices.ContainsFunc(candidate.Exposed, func(e Exposure) bool { return e.Witness == at && e.Share > 0 }) {
				continue
			}
			for _, sign := range s.weights.signatures {
				if sign.mechanism == candidate.Mechanism && strings.Contains(note, sign.phrase) {
					candidate.Lines = append(candidate.Lines, Line{Points: sign.points, Text: fmt.Sprintf("%s: %s", death.Device, sign.phrase)})
					candidate.Decided = candidate.Decided || sign.points > 0
				}
			}
		}
	}
	for _, event := range s.weights.events {
		told := 0
		for _, death := range s.deaths {
			if strings.Contains(strings.ToLower(death.Note), event.phrase) {
				told++
			}
		}
		if told > 0 && 2*told >= len(s.deaths) {
			for c := range candidates {
				s.addLine(&candidates[c], event.evidence, fmt.Sprintf("%d of %d died %s", told, len(s.deaths), event.phrase))
			}
		}
	}
}
