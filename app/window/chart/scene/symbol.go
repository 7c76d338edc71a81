package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
	"bellout/graphs/place"
	"bellout/model"
)

// The symbols are those of general trade practice, after the manner of IEC 60617:
// a rectangle on its conductor for a fuse, a lever for a contact, a circle with a
// cross for a lamp. They are kept simple, since they are small.

// symbol draws what is inside a device, between the marks of its terminals.
func (d *drawer) symbol(b *box, lit bool) {
	ink := d.back(d.Palette.Ink, lit)
	switch b.Shape {
	case place.Inline:
		d.passes(b, ink)
		return
	case place.Plug:
		d.mated(b, ink)
		return
	case place.Strip:
		d.cells(b, lit)
		return
	}
	width, height := b.free.Max.X-b.free.Min.X, b.free.Max.Y-b.free.Min.Y
	r := min(width-4, height-2, 30) / 2
	if r*d.Scale < 3 || b.health == model.HealthFailed && r < 9 {
		return
	}
	s := &sign{drawer: d, at: middle(b.free), r: r, stroke: drawing.Stroke{Colour: ink, Width: max(1.2, d.px(1))}}
	if draw, there := signs[b.Kind.Known()]; there {
		draw(s)
	}
}

// sign is a symbol that is being drawn about a point, in a square of twice r.
type sign struct {
	*drawer
	at     drawing.Point
	r      float64
	stroke drawing.Stroke
}

// p is a point of the sign; 1 is its edge.
func (s *sign) p(x, y float64) drawing.Point {
	return drawing.Point{X: s.at.X + x*s.r, Y: s.at.Y + y*s.r}
}

func (s *sign) line(points ...drawing.Point) { s.pen.Line(points, s.stroke) }

func (s *sign) box(x0, y0, x1, y1 float64) {
	s.pen.Rectangle(drawing.Box{Min: s.p(x0, y0), Max: s.p(x1, y1)}, 0, s.stroke, noFill)
}

func (s *sign) circle() { s.pen.Circle(s.at, s.r*0.95, s.stroke, noFill) }

func (s *sign) write(text string, x, y, size float64) {
	at := s.p(x, y)
	at.Y += size * s.r * drawing.CapHeight() / 2
	s.pen.Text(drawing.Text{At: at, Text: text, Size: size * s.r, Face: drawing.Bold, Align: drawing.Centre, Colour: s.stroke.Colour})
}

// wave is one period of a sine, for mains.
func (s *sign) wave(x, y, half float64) {
	var points []drawing.Point
	for i := 0.0; i <= 12; i++ {
		points = append(points, s.p(x+half*(i/6-1), y-0.5*half*math.Sin(i/12*2*math.Pi)))
	}
	s.line(points...)
}

// direct is the pair of lines for direct current, the lower one broken.
func (s *sign) direct(x, y, half float64) {
	s.line(s.p(x-half, y-0.25*half), s.p(x+half, y-0.25*half))
	for i := -1.0; i <= 1; i++ {
		s.line(s.p(x+half*(0.7*i-0.25), y+0.35*half), s.p(x+half*(0.7*i+0.25), y+0.35*half))
	}
}

// signs are the symbols by kind of device. A kind without one is a plain box.
var signs = map[model.DeviceKind]func(*sign){
	model.KindSupply: func(s *sign) {
		s.box(-1, -1, 1, 1)
		s.line(s.p(-1, 1), s.p(1, -1))
		s.wave(-0.42, -0.45, 0.4)
		s.direct(0.42, 0.5, 0.4)
	},
	model.KindConverter: func(s *sign) {
		s.box(-1, -1, 1, 1)
		s.line(s.p(-1, 1), s.p(1, -1))
		s.direct(-0.42, -0.5, 0.4)
		s.direct(0.42, 0.5, 0.4)
	},
	model.KindBattery: func(s *sign) {
		for i := -1.0; i <= 1; i += 2 {
			s.line(s.p(0.35*i-0.15, -0.9), s.p(0.35*i-0.15, 0.9))
			s.line(s.p(0.35*i+0.15, -0.45), s.p(0.35*i+0.15, 0.45))
		}
		s.line(s.p(-1, 0), s.p(-0.5, 0))
		s.line(s.p(0.5, 0), s.p(1, 0))
	},
	model.KindMainsInlet: func(s *sign) {
		s.circle()
		s.wave(0, 0, 0.6)
	},
	model.KindLamp: func(s *sign) {
		s.circle()
		s.line(s.p(-0.67, -0.67), s.p(0.67, 0.67))
		s.line(s.p(-0.67, 0.67), s.p(0.67, -0.67))
	},
	model.KindLEDStrip: func(s *sign) {
		s.pen.Polygon([]drawing.Point{s.p(-0.8, -0.5), s.p(-0.8, 0.8), s.p(0.3, 0.15)}, s.stroke, noFill)
		s.line(s.p(0.3, -0.5), s.p(0.3, 0.8))
		for _, x := range []float64{0, 0.4} {
			s.line(s.p(x, -0.45), s.p(x+0.45, -0.9), s.p(x+0.2, -0.85))
			s.line(s.p(x+0.45, -0.9), s.p(x+0.4, -0.65))
		}
	},
	model.KindMotor: func(s *sign) {
		s.circle()
		s.write("M", 0, 0, 1.1)
	},
	model.KindSolenoid: func(s *sign) { // a winding
		points := []drawing.Point{s.p(-1, 0.3)}
		for hump := 0; hump < 3; hump++ {
			x := -0.5 + 0.5*float64(hump)
			for i := 0.0; i <= 8; i++ {
				sin, cos := math.Sincos(math.Pi * i / 8)
				points = append(points, s.p(x-0.25*cos, 0.3-0.75*sin))
			}
		}
		s.line(append(points, s.p(1, 0.3))...)
	},
	model.KindRelay: func(s *sign) { // a coil, and the contact that it moves
		s.box(-0.95, -0.5, -0.15, 0.5)
		s.line(s.p(-0.75, 0.5), s.p(-0.35, -0.5))
		s.line(s.p(0.6, 1), s.p(0.6, 0.4), s.p(0.2, -0.4))
		s.line(s.p(0.6, -0.4), s.p(0.6, -1))
		s.pen.Line([]drawing.Point{s.p(-0.15, 0), s.p(0.4, 0)}, drawing.Stroke{Colour: s.stroke.Colour, Width: s.stroke.Width, Dash: []float64{0.15 * s.r, 0.12 * s.r}})
	},
	model.KindSpeaker: func(s *sign) {
		s.box(-0.7, -0.4, -0.2, 0.4)
		s.line(s.p(-0.2, -0.4), s.p(0.6, -0.95), s.p(0.6, 0.95), s.p(-0.2, 0.4))
	},
	model.KindSensor: func(s *sign) {
		s.pen.Polygon([]drawing.Point{s.p(0, -0.95), s.p(0.95, 0), s.p(0, 0.95), s.p(-0.95, 0)}, s.stroke, noFill)
		s.line(s.p(-0.3, 0), s.p(0.3, 0))
	},
	model.KindAmplifier: func(s *sign) {
		s.pen.Polygon([]drawing.Point{s.p(-0.8, -0.95), s.p(0.95, 0), s.p(-0.8, 0.95)}, s.stroke, noFill)
	},
	model.KindDriver: func(s *sign) { // a stage that switches: a triangle with its output barred
		s.pen.Polygon([]drawing.Point{s.p(-0.9, -0.8), s.p(0.5, 0), s.p(-0.9, 0.8)}, s.stroke, noFill)
		s.line(s.p(0.65, -0.7), s.p(0.65, 0.7))
		s.line(s.p(0.65, 0), s.p(1, 0))
	},
	model.KindController: func(s *sign) { chip(s) },
	model.KindComputer:   func(s *sign) { chip(s); s.box(-0.28, -0.28, 0.28, 0.28) },
	model.KindDisplay: func(s *sign) {
		s.box(-1, -0.7, 1, 0.5)
		s.line(s.p(-0.4, 0.85), s.p(0.4, 0.85))
		s.line(s.p(0, 0.5), s.p(0, 0.85))
	},
	model.KindHub: func(s *sign) { // one way in, several out
		s.line(s.p(-1, 0), s.p(-0.1, 0))
		for _, y := range []float64{-0.75, 0, 0.75} {
			s.line(s.p(-0.1, 0), s.p(0.35, y), s.p(1, y))
		}
		s.pen.Circle(s.p(-0.1, 0), 0.2*s.r, none, s.stroke.Colour)
	},
}

func chip(s *sign) {
	s.box(-0.6, -0.6, 0.6, 0.6)
	for _, at := range []float64{-0.35, 0, 0.35} {
		s.line(s.p(at, -1), s.p(at, -0.6))
		s.line(s.p(at, 0.6), s.p(at, 1))
		s.line(s.p(-1, at), s.p(-0.6, at))
		s.line(s.p(0.6, at), s.p(1, at))
	}
}

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
	if b.Ports[l.from].Side == place.Right {
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
	for y := b.body.Min.Y + place.Row; y < b.body.Max.Y-1; y += place.Row {
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
