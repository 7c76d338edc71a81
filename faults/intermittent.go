package faults

import (
	"fmt"
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

const nameIntermittent = "intermittent"

var ruleIntermittent = Rule{
	Name:  nameIntermittent,
	Title: "Readings of one pair under the same conditions that disagree",
	Why: "A join that reads well once and open the next time is a joint that moves: a pin not latched, strands under the " +
		"insulation clamp, a conductor broken inside. It carries current until the machine shakes. Such readings prove " +
		"neither a join nor a break, so no other rule uses them.",
	Check: checkIntermittent,
}

func checkIntermittent(b *Analysis) []Finding { return b.explained[nameIntermittent] }

// touchKey tells touches apart that may be compared: the same pair, whichever
// tip was where, under the same conditions. The diode range minds the
// direction.
type touchKey struct {
	a, b       model.TerminalRef
	conditions string
	diode      bool
}

// keyOf is that of a reading, whether a battery was taken out for it or not.
func (b *Analysis) keyOf(r model.Reading) touchKey {
	r.Conditions = b.stays.WithoutTakeOut(r)
	return keyOf(r)
}

func keyOf(r model.Reading) touchKey {
	key := touchKey{a: r.Red, b: r.Black, conditions: r.Conditions.String(), diode: r.Mode == model.ModeDiode}
	if !key.diode && model.CompareRefs(key.b, key.a) < 0 {
		key.a, key.b = key.b, key.a
	}
	return key
}

// disagree says whether two readings of one pair cannot both be of one thing
// that stands still. What a diode, a capacitor or electronics show differs
// from touch to touch and is no disagreement.
func (e *evidence) disagree(one, other *weighed) bool {
	if one.key.diode || one.judgement.Outcome == judge.Undecided || other.judgement.Outcome == judge.Undecided {
		return false
	}
	if said := [2]model.ValueKind{one.reading.Value.Kind, other.reading.Value.Kind}; said[0] != said[1] && isWord(said[0]) && isWord(said[1]) {
		// near the threshold one meter sounds and the other does not
		chance := e.judge.Meter.Beeps(one.judgement.Sight.Ohms)
		return chance < 0.05 || chance > 0.95
	}
	lowOne, highOne := e.shows(one.reading)
	lowOther, highOther := e.shows(other.reading)
	if one.judgement.Sight.Metal && lowOne > noJoinOhms && lowOther > noJoinOhms {
		return false // neither shows the metal: what they show of what lies beside it may differ
	}
	return highOne < lowOther || highOther < lowOne
}

// noJoinOhms is what no joint of a wire has that still carries anything.
// Judgement.
const noJoinOhms = 100

func isWord(kind model.ValueKind) bool { return kind == model.ShowsBeep || kind == model.ShowsSilent }

// shows returns the ohms that a reading stands for, with room for the meter and
// for a motor's shaft.
func (e *evidence) shows(r model.Reading) (low, high float64) {
	meter := e.judge.Meter
	switch r.Value.Kind {
	case model.ShowsBeep:
		return 0, meter.BeepBelowOhms * 1.5
	case model.ShowsSilent:
		return meter.BeepBelowOhms / 1.5, math.Inf(1)
	case model.ShowsOL:
		return 1e6, math.Inf(1)
	}
	x := math.Max(r.Value.Number-meter.LeadOhms, 0)
	return x/2 - meter.JointLimit, x*2 + meter.JointLimit
}

// intermittentFindings makes one finding of each pair that disagrees.
func (e *evidence) intermittentFindings() []Finding {
	var list []Finding
	for key := range e.torn {
		numbers := slices.Clone(e.pairs[key])
		slices.Sort(numbers)
		list = append(list, e.intermittent(key, numbers))
	}
	slices.SortFunc(list, compareFindings)
	return list
}

func (e *evidence) intermittent(key touchKey, numbers []int64) Finding {
	b := e.b
	red, _ := b.Machine.TerminalIndex(key.a)
	black, _ := b.Machine.TerminalIndex(key.b)
	first := e.weighed[numbers[0]]
	d := b.draft(nameIntermittent, Warning).blameTerminals(red, black).nets(red, black)
	between := explain.Between(e.judge.View(first.reading.Conditions), red, black)
	var wires []int
	for _, id := range between {
		if b.isWire(id) {
			wires = append(wires, id)
		}
	}
	d.elements(wires...)
	texts := make([]string, len(numbers))
	for i, number := range numbers {
		texts[i] = fmt.Sprintf("%s (reading %d)", valueText(e.weighed[number].reading), number)
	}
	under := ""
	if key.conditions != "" {
		under = ", " + key.conditions
	}
	names := make([]string, len(wires))
	for i, id := range wires {
		names[i] = b.elementName(id)
	}
	way := ""
	if len(names) > 0 {
		lie := "lie"
		if len(names) == 1 {
			lie = "lies"
		}
		way = fmt.Sprintf(" Between them %s %s.", lie, judge.ListText(names, 6))
	}
	d.headed("%s to %s comes and goes", key.a.String(), key.b.String())
	finding := d.say(1, fmt.Sprintf("%s to %s reads now one thing, now another%s: %s.%s Something there moves.",
		key.a, key.b, under, judge.ListText(texts, 6), way),
		"Hold the tips firm and read ohms while somebody bends each wire and tugs each joint in turn, then with the plug mated "+
			"and back-probed; remake the joint that makes the value jump. If one of the readings was a slip of the tip, strike it out.")
	finding.Readings = numbers
	return finding
}
