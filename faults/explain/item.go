package explain

import (
	"math"

	"bellout/faults/judge"
	"bellout/model"
)

// Item is one reading as evidence: it stands, it is not stale, and it tells of
// conduction.
type Item struct {
	Reading    model.Reading
	Red, Black int
	Judgement  judge.Judgement
	// Gap: it shows a hole in the map, not a fault.
	Gap bool

	said  int    // the explainer's number of what it says
	words string // text, kept
}

// Surprising says whether the map alone does not explain the reading, or
// electronics alone would hardly: a few ohms, steadily, where a join may be.
func (i *Item) Surprising() bool {
	return i.Judgement.Outcome == judge.Contradicts || i.hardlyElectronics()
}

// hardlyElectronicsOhms: fewer ohms than this are seldom an input's, and often a
// join's with its wires. Judgement.
const hardlyElectronicsOhms = 3

func (i *Item) hardlyElectronics() bool {
	r, s := i.Reading, i.Judgement.Sight
	return i.Judgement.Outcome == judge.Undecided && r.Mode == model.ModeOhms && r.Value.Kind == model.ShowsNumber &&
		r.Value.Number < hardlyElectronicsOhms && !s.Metal && !s.Decided() && s.Ohms > 2*hardlyElectronicsOhms
}

// high says whether a surprising reading shows more ohms than the map predicts;
// false: less.
func (i *Item) high() bool {
	r := i.Reading
	switch r.Value.Kind {
	case model.ShowsSilent, model.ShowsOL:
		return true
	case model.ShowsBeep:
		return false
	}
	return i.ohms() > i.Judgement.Sight.Ohms
}

// ohms estimates what the meter faced; +Inf for OL and silence, 0 for a beep.
func (i *Item) ohms() float64 {
	r := i.Reading
	switch r.Value.Kind {
	case model.ShowsSilent, model.ShowsOL:
		return math.Inf(1)
	case model.ShowsBeep:
		return 0
	}
	if judge.OpenWay(r) {
		return math.Inf(1) // so many ohms are damp and fingers
	}
	if r.Mode == model.ModeDiode {
		return r.Value.Number * 1000 // the diode range sends about 1 mA
	}
	return r.Value.Number
}

// text is all of a reading that matters, but for its tips.
func (i *Item) text() string {
	r := i.Reading
	return string(r.Mode) + " " + r.Value.String() + " " + string(r.Drift) + " " + r.Conditions.String()
}

// sized says whether the reading tells a size.
func (i *Item) sized() bool {
	return i.Reading.Value.Kind == model.ShowsNumber && i.Reading.Mode == model.ModeOhms && !judge.OpenWay(i.Reading)
}
