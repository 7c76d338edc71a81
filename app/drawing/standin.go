package drawing

// A character that no typeface has is drawn as a box with its number in two rows
// of hexadecimal digits, as code charts print it: legible when enlarged, plainly
// not a letter when small, and never silently left out.
const (
	boxTop, boxBottom = -0.78, 0.14 // above and below the base line
	boxLine           = 0.045       // thickness of the frame
	boxMargin         = 0.05        // clear of the neighbours
	boxPad            = 0.05        // between frame and digits
	boxDigit          = 0.30        // advance of a digit
	boxDigitSize      = 0.46        // of the digits' type
	boxRow            = 0.37        // from row to row
)

// standInWidth returns the advance of the box of r.
func standInWidth(r rune) float32 {
	return float32(2*(boxMargin+boxLine+boxPad) + boxDigit*float64(len(number(r))/2))
}

// standIn returns the outline of the box of r, centred in an advance. The lock of
// outlines is held.
func standIn(r rune, advance float32) []Step {
	digits := number(r)
	width := float64(standInWidth(r))
	left := (float64(advance)-width)/2 + boxMargin
	right := left + width - 2*boxMargin
	steps := frame(nil, left, boxTop, right, boxBottom, false)
	steps = frame(steps, left+boxLine, boxTop+boxLine, right-boxLine, boxBottom-boxLine, true)
	columns := len(digits) / 2
	for i, digit := range digits {
		glyph := Look(digit, Mono)
		column, row := i%columns, i/columns
		x := left + boxLine + boxPad + boxDigit*float64(column) + (boxDigit-boxDigitSize*float64(glyph.Advance))/2
		y := -0.38 + boxRow*float64(row)
		for _, s := range contours(typefaces[Mono].own, glyph) {
			s.A = Point{x + boxDigitSize*s.A.X, y + boxDigitSize*s.A.Y}
			s.B = Point{x + boxDigitSize*s.B.X, y + boxDigitSize*s.B.Y}
			steps = append(steps, s)
		}
	}
	return steps
}

// frame adds a rectangle that turns one way or, for a hole, the other.
func frame(steps []Step, left, top, right, bottom float64, hole bool) []Step {
	corners := [4]Point{{left, top}, {right, top}, {right, bottom}, {left, bottom}}
	if hole {
		corners[1], corners[3] = corners[3], corners[1]
	}
	steps = append(steps, Step{Verb: Move, A: corners[0]})
	for _, corner := range corners[1:] {
		steps = append(steps, Step{Verb: Straight, A: corner})
	}
	return append(steps, Step{Verb: Straight, A: corners[0]})
}
