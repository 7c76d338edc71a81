package book

import (
	"image/color"
	"testing"

	"bellout/app/drawing"
)

// countingPen counts what it is asked to draw.
type countingPen struct {
	recorder
	lines, boxes int
}

func (p *countingPen) Line(points []drawing.Point, s drawing.Stroke) { p.lines++ }
func (p *countingPen) Rectangle(drawing.Box, float64, drawing.Stroke, color.NRGBA) {
	p.boxes++
}

// The plate of a net's name that the edge of a page cuts loses its word: an empty
// box would be left, over the wires that run there. A device that is cut stays.
func TestAPlateAtTheEdgeGoesWithItsWord(t *testing.T) {
	white, line := color.NRGBA{255, 255, 255, 255}, drawing.Stroke{Width: 0.5, Colour: color.NRGBA{A: 255}}
	for _, c := range []struct {
		what         string
		shape        drawing.Box
		lines, boxes int
	}{
		{"a plate inside", box(40, 40, 70, 50), 0, 1},
		{"a plate at the edge", box(80, 40, 110, 50), 0, 0},
		{"a device at the edge", box(60, 20, 160, 80), 1, 1},
	} {
		pen := &countingPen{}
		w := &window{pen: pen, part: box(0, 0, 100, 100), scale: 0.5}
		w.Rectangle(c.shape, 2, line, white)
		w.settle()
		if pen.boxes != c.boxes || min(pen.lines, 1) != c.lines {
			t.Errorf("%s: %d boxes and %d lines", c.what, pen.boxes, pen.lines)
		}
	}
}
