package drawing

import "math"

// Measure returns the width of one line of text in the unit of size, which is
// that of the type. All back ends set glyphs exactly so far apart, without
// kerning, so that what fits on the screen fits on paper. It allocates nothing
// for text of printable ASCII or of composed letters in the typefaces, and may
// be called from several goroutines. Its cost is that of one table look-up a
// character.
func Measure(text string, size float64, face Face) float64 {
	if plain(text) {
		width := 0.0
		for i := 0; i < len(text); i++ {
			width += float64(Look(rune(text[i]), face).Advance)
		}
		return width * size
	}
	width := 0.0
	for _, r := range Clean(text) {
		width += float64(Look(r, face).Advance)
	}
	return width * size
}

// ellipsis ends a text that was cut.
const ellipsis = "…"

// Fit returns text, cut so that it is at most width wide, in the unit of size.
// A text that was cut ends in an ellipsis; nothing is left where even that has no
// room. A letter is not parted from its accents. What comes back is clean (see
// Clean). Cost: that of measuring as much as fits.
func Fit(text string, size float64, face Face, width float64) string {
	text = Clean(text)
	if !(size > 0) || math.IsNaN(width) {
		return text // takes no room
	}
	room := width / size
	dots := float64(Look('…', face).Advance)
	used, cut := 0.0, 0
	for i, r := range text {
		if used+dots <= room+slack {
			cut = i
		}
		used += float64(Look(r, face).Advance)
		if used > room+slack {
			if dots > room+slack {
				return ""
			}
			return text[:lastWhole(text, cut)] + ellipsis
		}
	}
	return text
}

// slack is how much of an em a text may be too wide before it is cut, so that a
// column as wide as its longest text never cuts that text by a rounding error.
const slack = 1e-6

// Extent returns where a text begins along its line, reckoned from its point, and
// how long it is: an upward one goes up from there.
func (t Text) Extent() (start, length float64) {
	length = Measure(t.Text, t.Size, t.Face)
	switch t.Align {
	case Centre:
		return -length / 2, length
	case Right:
		return -length, length
	}
	return 0, length
}
