package drawing

import "math"

// Files hold numbers of a sensible size only, while a drawing may be made of
// anything; these say, for every file alike, what is left out.

// Drawable says that places can be written: numbers, and no further out than any
// page. Where it is false, the whole line or shape is left out.
func Drawable(points ...Point) bool {
	const furthest = 1e6
	for _, p := range points {
		if !(math.Abs(p.X) < furthest && math.Abs(p.Y) < furthest) {
			return false
		}
	}
	return true
}

// Seen says that a stroke leaves ink.
func (s Stroke) Seen() bool {
	return s.Width > 0 && !math.IsInf(s.Width, 1) && s.Colour.A > 0
}

// Dashes returns the pattern of a stroke, or nil where its line is drawn whole:
// without gaps, or with lengths that are none.
func (s Stroke) Dashes() []float64 {
	const least = 0.01 // as a whole, or a line is millions of dashes
	sum := 0.0
	for _, length := range s.Dash {
		if !(length >= 0) {
			return nil
		}
		sum += length
	}
	if len(s.Dash) < 2 || !(sum > least) || math.IsInf(sum, 1) {
		return nil
	}
	return s.Dash
}
