package book

import "bellout/app/drawing"

// wrap is how the book breaks its texts.
func wrap(text string, size float64, face drawing.Face, width float64, most int) []string {
	return drawing.Wrap(text, size, face, width, most)
}

// plural counts things: 1 wire, 2 wires.
func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return digits(n) + " " + one + "s"
}
