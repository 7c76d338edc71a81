package faults

import (
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// What stands after the readings of a session, for whoever plans the next one.

// Judge returns what holds readings against the map. It is the session's own:
// an edit of the map makes another.
func (s *Session) Judge() *judge.Judge { return s.bench.evidence.judge }

// Explainer returns what weighs the surprising readings. It is the session's
// own: an edit of the map makes another.
func (s *Session) Explainer() *explain.Explainer { return s.bench.evidence.explainer }

// WireProven says whether a standing fresh reading proves a wire, by its place
// in Machine.Wires.
func (s *Session) WireProven(row int) bool { return len(s.bench.evidence.proof.wires[row]) > 0 }

// ApartProven says whether a standing fresh reading proves two nets of
// Bench.Apart apart, and whether they are a pair that has to be.
func (s *Session) ApartProven(a, b int) (proven, counts bool) {
	p := s.bench.evidence.proof
	pair := netPair{min(a, b), max(a, b)}
	return p.apart[pair] > 0, p.counts(pair)
}

// Counts says whether a stored reading is evidence of conduction: it stands, it
// is not stale, and its value is final.
func (s *Session) Counts(number int64) bool {
	w, known := s.bench.evidence.weighed[number]
	return known && w.counts
}

// Stale says whether a stored reading's path was edited, or got another part, since
// it was taken.
func (s *Session) Stale(number int64) bool {
	w, known := s.bench.evidence.weighed[number]
	return known && w.stale
}

// OutcomeOf returns how a stored reading stands to the map.
func (s *Session) OutcomeOf(number int64) judge.Outcome {
	if w, known := s.bench.evidence.weighed[number]; known {
		return w.judgement.Outcome
	}
	return judge.Undecided
}

// Limits returns what a stored reading may show without contradicting the map,
// and whether the map fixes any.
func (s *Session) Limits(r model.Reading) (limits judge.Limits, known bool) {
	j := s.bench.evidence.judge
	if w, weighed := s.bench.evidence.weighed[r.Number]; weighed {
		return j.Limits(r, w.judgement)
	}
	return j.Limits(r, j.Judge(r))
}

// AsMapped says of a stored reading that agrees whether it does so only because
// the map has a fault there: it runs over a wire that stands wrong, a machine
// without that fault shows something else, or the volts are those of the fault.
func (s *Session) AsMapped(r model.Reading) bool {
	if s.OutcomeOf(r.Number) != judge.Agrees {
		return false
	}
	if r.Mode == model.ModeVoltsDC && outsideOwnLimits(s.machine, r) {
		return true
	}
	if s.bench.Apart != s.bench.Drawn {
		if s.intended == nil {
			s.intended = judge.New(s.bench.Apart)
		}
		if s.intended.Judge(r).Outcome != judge.Agrees {
			return true
		}
	}
	for _, finding := range s.report.Findings {
		if finding.Severity != Fault || len(finding.Readings) > 0 || !slices.Contains(standsWrong, finding.Rule) {
			continue
		}
		for _, row := range s.ProvedBy(r.Number) {
			if slices.Contains(finding.Wires, s.machine.Wires[row].Name) {
				return true
			}
		}
	}
	return false
}

// standsWrong are the rules whose wires end where they must not.
var standsWrong = []string{"mixed-ground", "swapped", "reverse-polarity", "over-voltage", "under-voltage"}

// outsideOwnLimits says whether the volts of a reading lie outside what the
// terminals under its tips stand or give.
func outsideOwnLimits(m *model.Machine, r model.Reading) bool {
	red, _ := m.Terminal(r.Red)
	black, _ := m.Terminal(r.Black)
	if red.Role == model.RoleReturn {
		red, black, r.Value.Number = black, red, -r.Value.Number
	}
	if black.Role != model.RoleReturn || red.Role != model.RoleFeed && red.Role != model.RoleRail {
		return false
	}
	low, high := red.Limits()
	return low.Known && r.Value.Number < low.Value || high.Known && r.Value.Number > high.Value
}

// Touched returns how many standing fresh readings there are of a pair under
// the same conditions, whichever tip was where, and whether they disagree.
func (s *Session) Touched(red, black model.TerminalRef, conditions model.Conditions) (times int, torn bool) {
	key := s.bench.keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})
	return len(s.bench.evidence.pairs[key]), s.bench.evidence.torn[key]
}

// Readings returns the numbers of those readings, in the order in which they
// came. The list is the session's own.
func (s *Session) Readings(red, black model.TerminalRef, conditions model.Conditions) []int64 {
	return s.bench.evidence.pairs[s.bench.keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})]
}

// PlaceText names the place of a fault as a sentence does.
func (s *Session) PlaceText(place explain.Place) string { return s.bench.evidence.placeText(place) }

// ProvedBy returns the wires, by place in Machine.Wires, that one reading
// proves; nil where it proves none.
func (s *Session) ProvedBy(number int64) []int { return s.bench.evidence.proof.of[number].wires }

// Replace goes on with another machine: the same file, as it is after another
// program wrote to it.
func (s *Session) Replace(m *model.Machine) {
	s.machine = m
	s.Refresh()
}
