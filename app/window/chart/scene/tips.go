package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
	"bellout/graphs/place"
	"bellout/model"
)

// tips draws the two tips of the meter as pointers that stick on their
// terminals. Red comes from the upper side, black from the lower, so that they
// are told apart without colour; each carries its letter.
func (d *drawer) tips() {
	d.tip(d.Tips[0], d.Palette.Red, "R", -1)
	d.tip(d.Tips[1], d.Palette.Black, "B", 1)
}

func (d *drawer) tip(ref model.TerminalRef, c color.NRGBA, letter string, side float64) {
	end, there := d.ends[ref]
	if !there {
		return
	}
	b := &d.boxes[end.Box]
	at := b.ports[end.Port].at
	aside := -1.0 // away from the box, over its wires, so that the mark stays legible
	if b.Ports[end.Port].Side == place.Right {
		aside = 1
	}
	// A cone with its point on the terminal, a shaft, and a head with the letter.
	const length, wide, head = 26.0, 5.0, 9.0
	angle := math.Pi / 4
	ux, uy := aside*math.Cos(angle), side*math.Sin(angle)
	p := func(along, across float64) drawing.Point {
		return drawing.Point{X: at.X + d.px(along*ux-across*uy), Y: at.Y + d.px(along*uy+across*ux)}
	}
	edge := d.stroke(d.Palette.Ground, 2)
	d.pen.Polygon([]drawing.Point{p(1, 0), p(9, wide/2), p(length, wide), p(length, -wide), p(9, -wide/2)}, edge, c)
	centre := p(length+head-3, 0)
	d.pen.Circle(centre, d.px(head), edge, c)
	d.pen.Circle(at, d.px(3.5), d.stroke(c, 2), noFill)
	d.pen.Text(drawing.Text{
		At: drawing.Point{X: centre.X, Y: centre.Y + d.px(12*drawing.CapHeight()/2)}, Text: letter,
		Size: d.px(12), Face: drawing.Bold, Align: drawing.Centre, Colour: d.Palette.OnTip(c),
	})
}

// OnTip is the colour of a letter on a tip: the ground or white, whichever is
// read better.
func (p *Palette) OnTip(tip color.NRGBA) color.NRGBA {
	if contrast(p.Ground, tip) > contrast(p.OnTint, tip) {
		return p.Ground
	}
	return p.OnTint
}
