package causes

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

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

// pieceProven says whether readings prove a piece: a wire by itself, a link when
// every wire that lands on its device is proven, for then a reading went
// through it.
func (s *scene) pieceProven(id int) bool {
	c := s.bench.Apart
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

// addVolts adds the volts and ripple that were read at supplies. The last
// standing reading of a mode at an output counts.
func (s *scene) addVolts(candidates []Candidate) {
	for c := range candidates {
		candidate := &candidates[c]
		if candidate.Place.Device == "" {
			continue
		}
		for _, supply := range s.bench.Parts.Supplies {
			if supply.Device != candidate.Place.Device || !supply.Volts.Known || supply.Volts.Value == 0 {
				continue
			}
			if reading, found := s.lastAt(supply, model.ModeVoltsDC); found {
				s.addDC(candidate, supply, reading)
			}
			if reading, found := s.lastAt(supply, model.ModeVoltsAC); found {
				s.addRipple(candidate, supply, reading)
			}
		}
	}
}

func (s *scene) addDC(c *Candidate, supply graphs.Supply, reading model.Reading) {
	part := math.Abs(reading.Value.Number / supply.Volts.Value)
	text := fmt.Sprintf("%s reads %s V DC at %s (reading %d)", supply.Device,
		model.NotedFigures(reading.Value.Number), s.bench.Apart.Ref(supply.Rail), reading.Number)
	switch {
	case part > 1.1:
		s.addLine(c, "volts-high", text)
		c.Decided = c.Decided || c.Mechanism == Overvoltage
	case part < 0.9:
		s.addLine(c, "volts-low", text)
		c.Decided = c.Decided || c.Mechanism == Undervoltage
	default:
		s.addLine(c, "volts-right", text)
	}
}

func (s *scene) addRipple(c *Candidate, supply graphs.Supply, reading model.Reading) {
	if c.Mechanism != Ripple {
		return
	}
	percent := 100 * math.Abs(reading.Value.Number/supply.Volts.Value)
	text := fmt.Sprintf("%s carries %s V AC, %.1f %% of its volts (reading %d)", supply.Device,
		model.NotedFigures(reading.Value.Number), percent, reading.Number)
	if percent > s.weights.Bound("ripple-percent") {
		s.addLine(c, "ripple-high", text)
		c.Decided = true
	} else {
		s.addLine(c, "ripple-low", text)
	}
}

// lastAt returns the last standing fresh reading of a mode between a supply's rail
// and its return, at the supply or anywhere on the two nets.
func (s *scene) lastAt(supply graphs.Supply, mode model.Mode) (last model.Reading, found bool) {
	nets := s.bench.Apart.Nets()
	for _, reading := range s.bench.Machine.Readings {
		if reading.Mode != mode || !reading.Stands() || s.stale[reading.Number] || (found && reading.Number < last.Number) {
			continue
		}
		red, okRed := s.bench.Machine.TerminalIndex(reading.Red)
		black, okBlack := s.bench.Machine.TerminalIndex(reading.Black)
		if !okRed || !okBlack {
			continue
		}
		for _, zero := range supply.Returns {
			along := nets.Same(red, supply.Rail) && nets.Same(black, zero)
			against := nets.Same(black, supply.Rail) && nets.Same(red, zero)
			if along || against {
				last, found = reading, true
			}
		}
	}
	return last, found
}
