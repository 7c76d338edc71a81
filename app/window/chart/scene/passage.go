package scene

import (
	"image/color"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

// passes draws the ways through a small part: fuses as rectangles on the
// conductor, contacts as levers in the position that the map has.
func (d *drawer) passes(b *box, ink color.NRGBA) {
	for _, l := range b.links {
		from, to := b.ports[l.from].at, b.ports[l.to].at
		if b.Ports[l.from].Side == b.Ports[l.to].Side {
			d.beside(b, l, ink)
			continue
		}
		if from.X > to.X {
			from, to = to, from
		}
		from.X, to.X = b.free.Min.X+1, b.free.Max.X-1
		d.pass(b, l, from, to, ink)
	}
}

func (d *drawer) pass(b *box, l link, from, to drawing.Point, ink color.NRGBA) {
	stroke := drawing.Stroke{Colour: ink, Width: max(1.4, d.px(1))}
	line := func(points ...drawing.Point) { d.pen.Line(points, stroke) }
	x := (from.X + to.X) / 2
	half := min((to.X-from.X)/2-3, 13)
	switch l.kind {
	case model.LinkFuse:
		if b.Kind == model.KindBreaker {
			d.lever(from, to, half, l.state != model.StateOpen, stroke)
			d.small(drawing.Point{X: x + half, Y: to.Y}, 2.5, stroke)
			return
		}
		if l.state == model.StateOpen { // blown: the wire inside is broken
			line(from, drawing.Point{X: x - 3, Y: from.Y})
			line(drawing.Point{X: x + 3, Y: to.Y}, to)
			d.small(drawing.Point{X: x, Y: from.Y}, 3, stroke)
		} else {
			line(from, drawing.Point{X: x, Y: from.Y}, drawing.Point{X: x, Y: to.Y}, to)
		}
		d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: x - half, Y: from.Y - 4.5}, Max: drawing.Point{X: x + half, Y: from.Y + 4.5}}, 0, stroke, noFill)
	case model.LinkContact:
		d.lever(from, to, half, l.state == model.StateClosed, stroke)
		if l.state == model.StateUnknown && d.detail.mark {
			d.pen.Text(drawing.Text{At: drawing.Point{X: x, Y: from.Y + 7}, Text: "?", Size: 7, Face: drawing.Bold, Align: drawing.Centre, Colour: ink})
		}
	case model.LinkDiode:
		line(from, drawing.Point{X: x - 5, Y: from.Y})
		d.pen.Polygon([]drawing.Point{{X: x - 5, Y: from.Y - 5}, {X: x - 5, Y: from.Y + 5}, {X: x + 5, Y: from.Y}}, stroke, noFill)
		line(drawing.Point{X: x + 5, Y: from.Y - 5}, drawing.Point{X: x + 5, Y: from.Y + 5})
		line(drawing.Point{X: x + 5, Y: to.Y}, to)
	case model.LinkResistance:
		line(from, drawing.Point{X: x - half, Y: from.Y})
		d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: x - half, Y: from.Y - 3}, Max: drawing.Point{X: x + half, Y: from.Y + 3}}, 0, stroke, noFill)
		line(drawing.Point{X: x + half, Y: to.Y}, to)
	default:
		line(from, drawing.Point{X: x, Y: from.Y}, drawing.Point{X: x, Y: to.Y}, to)
	}
	if l.text != "" && l.kind == model.LinkFuse && d.Scale >= 1.5 && half > 6 {
		// The rating stands in the place of the conductor inside.
		wide := drawing.Measure(l.text, 6, drawing.Regular)/2 + 1
		d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: x - wide, Y: from.Y - 3}, Max: drawing.Point{X: x + wide, Y: from.Y + 3}}, 0, none, d.Palette.Box)
		d.pen.Text(drawing.Text{At: drawing.Point{X: x, Y: from.Y + 6*drawing.CapHeight()/2}, Text: l.text, Size: 6, Align: drawing.Centre, Colour: ink})
	}
}

// lever is a contact: open it stands off, closed it lies on the other lead.
func (d *drawer) lever(from, to drawing.Point, half float64, closed bool, stroke drawing.Stroke) {
	x := (from.X + to.X) / 2
	hinge, rest := drawing.Point{X: x - half, Y: from.Y}, drawing.Point{X: x + half, Y: to.Y}
	d.pen.Line([]drawing.Point{from, hinge}, stroke)
	d.pen.Line([]drawing.Point{rest, to}, stroke)
	tip := drawing.Point{X: rest.X - 1, Y: rest.Y}
	if !closed {
		tip = drawing.Point{X: rest.X - 2, Y: min(from.Y, to.Y) - 6}
	}
	d.pen.Line([]drawing.Point{hinge, tip}, stroke)
	d.pen.Line([]drawing.Point{{X: rest.X, Y: rest.Y - 3}, {X: rest.X, Y: rest.Y + 3}}, stroke)
}

// beside joins two ports of one side of a small part by a bracket.
func (d *drawer) beside(b *box, l link, ink color.NRGBA) {
	from, to := b.ports[l.from].at, b.ports[l.to].at
	x := b.free.Min.X + 4
	if b.Ports[l.from].Side == layout.Right {
		x = b.free.Max.X - 4
	}
	stroke := drawing.Stroke{Colour: ink, Width: max(1.2, d.px(1))}
	if l.kind != model.LinkSolid {
		stroke.Dash = []float64{2, 2}
	}
	d.pen.Line([]drawing.Point{{X: x, Y: from.Y}, {X: x, Y: to.Y}}, stroke)
}

// small is a small cross in the line's own stroke.
func (d *drawer) small(at drawing.Point, half float64, stroke drawing.Stroke) {
	d.pen.Line([]drawing.Point{{X: at.X - half, Y: at.Y - half}, {X: at.X + half, Y: at.Y + half}}, stroke)
	d.pen.Line([]drawing.Point{{X: at.X - half, Y: at.Y + half}, {X: at.X + half, Y: at.Y - half}}, stroke)
}

// mated draws a connector: a seam between the halves, and at each pair a pin that
// reaches into its socket.
func (d *drawer) mated(b *box, ink color.NRGBA) {
	x := b.Seam
	if x < b.body.Min.X || x > b.body.Max.X {
		x = (b.body.Min.X + b.body.Max.X) / 2
	}
	d.pen.Line([]drawing.Point{{X: x, Y: b.body.Min.Y}, {X: x, Y: b.body.Max.Y}}, drawing.Stroke{Colour: ink, Width: d.px(1), Dash: []float64{3, 3}})
	if d.Scale < 0.45 {
		return
	}
	stroke := drawing.Stroke{Colour: ink, Width: max(1.2, d.px(1))}
	for _, l := range b.links {
		from, to := b.ports[l.from].at, b.ports[l.to].at
		if from.Y != to.Y || l.kind != model.LinkSolid || !within(d.seen, drawing.Point{X: x, Y: from.Y}) {
			continue
		}
		y := from.Y
		d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: x - 6, Y: y - 1.5}, Max: drawing.Point{X: x + 1, Y: y + 1.5}}, 0, none, ink)
		d.pen.Line([]drawing.Point{{X: x - 1, Y: y - 4}, {X: x + 4, Y: y - 4}, {X: x + 4, Y: y + 4}, {X: x - 1, Y: y + 4}}, stroke)
	}
}

// cells rules off the rows of a strip.
func (d *drawer) cells(b *box, lit bool) {
	line := d.stroke(d.back(mixed(d.Palette.Line, d.Palette.Box, 0.2), lit), 1)
	for y := b.body.Min.Y + layout.Row; y < b.body.Max.Y-1; y += layout.Row {
		d.pen.Line([]drawing.Point{{X: b.body.Min.X, Y: y}, {X: b.body.Max.X, Y: y}}, line)
	}
}

// linkText is the value of a link as it stands inside its symbol.
func linkText(l model.Link) string {
	if l.Kind == model.LinkFuse && l.Value.Known {
		return l.Value.String() + " A"
	}
	return ""
}
