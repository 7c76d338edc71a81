package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

// tips draws the two tips of the meter as pointers that stick on their
// terminals. Red comes from the upper side, black from the lower, so that they
// are told apart without colour; each carries its letter. Where they are proposed
// to go next they are hollow.
func (d *drawer) tips() {
	for i, c := range []color.NRGBA{d.Palette.Red, d.Palette.Black} {
		letter, side := "R", -1.0
		if i == 1 {
			letter, side = "B", 1
		}
		if d.Proposed[i] != d.Tips[i] {
			d.tip(d.Proposed[i], c, letter, side, true)
		}
		d.tip(d.Tips[i], c, letter, side, false)
	}
}

func (d *drawer) tip(ref model.TerminalRef, c color.NRGBA, letter string, side float64, hollow bool) {
	end, there := d.ends[ref]
	if !there {
		return
	}
	b := &d.boxes[end.Box]
	at := b.ports[end.Port].at
	aside := -1.0 // away from the box, over its wires, so that the mark stays legible
	if b.Ports[end.Port].Side == layout.Right {
		aside = 1
	}
	// A cone with its point on the terminal, a shaft, and a head with the letter.
	const length, wide, head = 26.0, 5.0, 9.0
	angle := math.Pi / 4
	ux, uy := aside*math.Cos(angle), side*math.Sin(angle)
	p := func(along, across float64) drawing.Point {
		return drawing.Point{X: at.X + d.px(along*ux-across*uy), Y: at.Y + d.px(along*uy+across*ux)}
	}
	edge, fill, ink := d.stroke(d.Palette.Ground, 2), c, d.Palette.OnTip(c)
	if hollow {
		edge, fill, ink = d.stroke(c, 1.5), d.Palette.Box, c
	}
	d.pen.Polygon([]drawing.Point{p(1, 0), p(9, wide/2), p(length, wide), p(length, -wide), p(9, -wide/2)}, edge, fill)
	centre := p(length+head-3, 0)
	d.pen.Circle(centre, d.px(head), edge, fill)
	ring := d.stroke(c, 2)
	if hollow {
		ring.Dash = []float64{d.px(2), d.px(2)}
	}
	d.pen.Circle(at, d.px(4), ring, noFill)
	d.pen.Text(drawing.Text{
		At: drawing.Point{X: centre.X, Y: centre.Y + d.px(12*drawing.CapHeight()/2)}, Text: letter,
		Size: d.px(12), Face: drawing.Bold, Align: drawing.Centre, Colour: ink,
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
