package scene

import (
	"bellout/app/drawing"
)

// hatch draws the heavy border of a device that failed: slanted strokes at its
// sides and below. Above stand its reference and title.
func (d *drawer) hatch(b *box, lit bool) {
	edge := max(5, d.px(4))
	outer := grown(b.body, edge)
	outer.Min.Y = b.body.Min.Y
	bad := d.back(d.Palette.Bad, lit)
	d.pen.Rectangle(outer, 0, d.stroke(bad, 1), mixed(bad, d.Palette.Ground, 0.75))
	step := max(8, d.px(6))
	stroke := drawing.Stroke{Colour: bad, Width: max(2, d.px(1.5))}
	for x := outer.Min.X; x+edge <= outer.Max.X; x += step {
		d.pen.Line([]drawing.Point{{X: x, Y: outer.Max.Y}, {X: x + edge, Y: outer.Max.Y - edge}}, stroke)
	}
	for y := outer.Min.Y; y+edge <= outer.Max.Y; y += step {
		d.pen.Line([]drawing.Point{{X: outer.Min.X, Y: y + edge}, {X: outer.Min.X + edge, Y: y}}, stroke)
		d.pen.Line([]drawing.Point{{X: outer.Max.X - edge, Y: y + edge}, {X: outer.Max.X, Y: y}}, stroke)
	}
}

// failedCross crosses out what is inside a device.
func (d *drawer) failedCross(b *box, lit bool) {
	area := b.free
	if area.Max.X-area.Min.X < 12 || !d.detail.mark {
		area = b.body
	}
	half := min(area.Max.X-area.Min.X, area.Max.Y-area.Min.Y)/2 - 1
	d.cross(middle(area), min(max(half, 5), 26), d.back(d.Palette.Bad, lit))
}

// failedWord says it in words, below the body.
func (d *drawer) failedWord(b *box, lit bool) {
	const size = 8.5
	half := drawing.Measure("FAILED", size, drawing.Bold)/2 + 3
	at := drawing.Point{X: (b.body.Min.X + b.body.Max.X) / 2, Y: b.body.Max.Y + 5}
	d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: at.X - half, Y: at.Y - 5}, Max: drawing.Point{X: at.X + half, Y: at.Y + 5}}, 0, none, d.back(d.Palette.Bad, lit))
	d.pen.Text(drawing.Text{At: drawing.Point{X: at.X, Y: at.Y + size*drawing.CapHeight()/2}, Text: "FAILED", Size: size, Face: drawing.Bold, Align: drawing.Centre, Colour: d.Palette.OnTint})
}

// unknown puts a question mark into a device of which nobody knows whether it
// works.
func (d *drawer) unknown(b *box, lit bool) {
	const size = 12
	at := drawing.Point{X: b.free.Max.X - 7, Y: b.body.Min.Y + 7.5}
	if b.free.Max.X-b.free.Min.X < 40 { // no room beside the symbol
		at = drawing.Point{X: b.body.Max.X - 7, Y: b.body.Max.Y}
	}
	c := d.back(d.Palette.Warn, lit)
	d.pen.Rectangle(square(at, 5.5), 0, none, d.Palette.Box)
	d.pen.Text(drawing.Text{At: drawing.Point{X: at.X, Y: at.Y + size*drawing.CapHeight()/2}, Text: "?", Size: size, Face: drawing.Bold, Align: drawing.Centre, Colour: c})
}
