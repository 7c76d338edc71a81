package faults

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// What stands after the readings, for whoever plans the next one.

// Judge returns what holds readings against the map.
func (d *Diagnosis) Judge() *judge.Judge { return d.analysis.evidence.judge }

// Explainer returns what weighs the surprising readings.
func (d *Diagnosis) Explainer() *explain.Explainer { return d.analysis.evidence.explainer }

// WireProven says whether a standing fresh reading proves a wire, by its place
// in Machine.Wires.
func (d *Diagnosis) WireProven(row int) bool { return len(d.analysis.evidence.proof.wires[row]) > 0 }

// ApartProven says whether a standing fresh reading proves two nets of
// Bench.Apart apart, and whether they are a pair that has to be.
func (d *Diagnosis) ApartProven(a, b int) (proven, counts bool) {
	p := d.analysis.evidence.proof
	pair := netPair{min(a, b), max(a, b)}
	return p.apart[pair] > 0, p.counts(pair)
}

// Counts says whether a stored reading is evidence of conduction: it stands, it
// is not stale, and its value is final.
func (d *Diagnosis) Counts(number int64) bool {
	w, known := d.analysis.evidence.weighed[number]
	return known && w.counts
}

// Stale says whether a stored reading's path was edited, or got another part, since
// it was taken.
func (d *Diagnosis) Stale(number int64) bool {
	w, known := d.analysis.evidence.weighed[number]
	return known && w.stale
}

// OutcomeOf returns how a stored reading stands to the map.
func (d *Diagnosis) OutcomeOf(number int64) judge.Outcome {
	if w, known := d.analysis.evidence.weighed[number]; known {
		return w.judgement.Outcome
	}
	return judge.Undecided
}

// Limits returns what a stored reading may show without contradicting the map,
// and whether the map fixes any.
func (d *Diagnosis) Limits(r model.Reading) (limits judge.Limits, known bool) {
	j := d.analysis.evidence.judge
	if w, weighed := d.analysis.evidence.weighed[r.Number]; weighed {
		return j.Limits(r, w.judgement)
	}
	return j.Limits(r, j.Judge(r))
}

// AsMapped says of a stored reading that agrees whether it does so only because
// the map has a fault there: it runs over a wire that stands wrong, a machine
// without that fault shows something else, or the volts are those of the fault.
func (d *Diagnosis) AsMapped(r model.Reading) bool {
	if d.OutcomeOf(r.Number) != judge.Agrees {
		return false
	}
	if r.Mode == model.ModeVoltsDC && outsideOwnLimits(d.analysis.Machine, r) {
		return true
	}
	if d.analysis.AsIntended != d.analysis.AsDrawn {
		if d.intended == nil {
			d.intended = judge.New(d.analysis.AsIntended)
		}
		if d.intended.Judge(r).Outcome != judge.Agrees {
			return true
		}
	}
	for _, finding := range d.report.Findings {
		if finding.Severity != Fault || len(finding.Readings) > 0 || !slices.Contains(standsWrong, finding.Rule) {
			continue
		}
		for _, row := range d.ProvedBy(r.Number) {
			if slices.Contains(finding.Wires, d.analysis.Machine.Wires[row].Name) {
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
func (d *Diagnosis) Touched(red, black model.TerminalRef, conditions model.Conditions) (times int, torn bool) {
	key := d.analysis.keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})
	return len(d.analysis.evidence.pairs[key]), d.analysis.evidence.torn[key]
}

// Readings returns the numbers of those readings, in the order in which they
// came. The list is the diagnosis' own.
func (d *Diagnosis) Readings(red, black model.TerminalRef, conditions model.Conditions) []int64 {
	return d.analysis.evidence.pairs[d.analysis.keyOf(model.Reading{Red: red, Black: black, Conditions: conditions})]
}

// PlaceText names the place of a fault as a sentence does.
func (d *Diagnosis) PlaceText(place explain.Place) string {
	return d.analysis.evidence.placeText(place)
}

// ProvedBy returns the wires, by place in Machine.Wires, that one reading
// proves; nil where it proves none.
func (d *Diagnosis) ProvedBy(number int64) []int { return d.analysis.evidence.proof.of[number].wires }

// WouldProve returns the wires, by place in Machine.Wires, that a reading would
// prove if it came.
func (d *Diagnosis) WouldProve(r model.Reading) []int {
	e := d.analysis.evidence
	r.Stored = math.MaxInt64 // it comes after every edit
	w := e.weigh(r)
	if w.judgement.Outcome != judge.Agrees || w.judgement.ByBond {
		return nil
	}
	return e.proof.wiresOf(e, w)
}

// ProvenBy returns the numbers of the readings that prove a wire, nil where
// none does.
func (d *Diagnosis) ProvenBy(wire string) []int64 { return d.analysis.evidence.proof.byWire(wire) }
