package scene

import (
	"math"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

// The symbols are those of general trade practice, after the manner of IEC 60617:
// a rectangle on its conductor for a fuse, a lever for a contact, a circle with a
// cross for a lamp. They are kept simple, since they are small.

// symbol draws what is inside a device, between the marks of its terminals.
func (d *drawer) symbol(b *box, lit bool) {
	ink := d.back(d.Palette.Ink, lit)
	switch b.Shape {
	case layout.Inline:
		d.passes(b, ink)
		return
	case layout.Plug:
		d.mated(b, ink)
		return
	case layout.Strip:
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
