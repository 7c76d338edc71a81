package faults

import (
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

// OutcomeOf returns how a stored reading stands to the map.
func (s *Session) OutcomeOf(number int64) judge.Outcome {
	if w, known := s.bench.evidence.weighed[number]; known {
		return w.judgement.Outcome
	}
	return judge.Undecided
}

// Touched returns how many standing fresh readings there are of a pair under
// the same conditions, whichever tip was where, and whether they disagree.
func (s *Session) Touched(red, black model.TerminalRef, conditions model.Conditions) (times int, torn bool) {
	key := keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})
	return len(s.bench.evidence.pairs[key]), s.bench.evidence.torn[key]
}

// Readings returns the numbers of those readings, in the order in which they
// came. The list is the session's own.
func (s *Session) Readings(red, black model.TerminalRef, conditions model.Conditions) []int64 {
	return s.bench.evidence.pairs[keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})]
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
