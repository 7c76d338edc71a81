package bench

import (
	"image/color"

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
