package bench

import (
	"image/color"
	"slices"

	"bellout/app/window/look"
	"bellout/faults/judge"
)

// meaning is how an outcome is shown.
type meaning struct {
	sign  look.Sign
	word  string // in capitals, large
	short string // in a list
}

// colour is that of the word and of the sign.
func (m meaning) colour() color.NRGBA { return m.sign.Colour(look.Now().Palette) }

// tellsLittle is the word of a reading that agrees where nearly any would.
const tellsLittle = "TELLS LITTLE"

// narrows is the word of one that agrees, or says nothing by itself, in a search:
// what it leaves is told.
const narrows = "NARROWS IT"

// meaning is how the last reading is shown. Where what a good machine shows could
// not be told, and the reading proves no wire, that it agrees is no news.
func (b *Bench) meaning() meaning {
	outcome := b.desk.Outcome()
	if outcome.Leaves != "" && (outcome.Outcome == judge.Undecided || outcome.Outcome == judge.Agrees && b.draft.vague) {
		return meaning{look.SignFound, narrows, "narrows it"}
	}
	if outcome.Outcome == judge.Agrees && b.draft.vague && !b.proves(outcome.Reading.Number) {
		return meaning{look.SignUndecided, tellsLittle, "tells little"}
	}
	return meaningOf(outcome.Outcome)
}

func (b *Bench) proves(reading int64) bool {
	for _, by := range b.desk.View().ProvenBy {
		if slices.Contains(by, reading) {
			return true
		}
	}
	return false
}

func meaningOf(outcome judge.Outcome) meaning {
	switch outcome {
	case judge.Agrees:
		return meaning{look.SignAgrees, "AGREES", "agrees"}
	case judge.Discovery:
		return meaning{look.SignFound, "DISCOVERY", "discovery"}
	case judge.Contradicts:
		return meaning{look.SignContradicts, "CONTRADICTS", "contradicts"}
	case judge.Undecided:
		return meaning{look.SignUndecided, "UNDECIDED", "undecided"}
	}
	return meaning{look.SignWaiting, "STORED", "stored"}
}
