package book

import (
	"image/color"

	"bellout/app/drawing"
)

// The inks of paper: everything must also be told on a printer without colour.
var (
	ink     = color.NRGBA{A: 255}
	soft    = color.NRGBA{R: 70, G: 74, B: 78, A: 255}
	hair    = color.NRGBA{R: 150, G: 154, B: 158, A: 255}
	shade   = color.NRGBA{R: 236, G: 238, B: 240, A: 255}
	alarm   = color.NRGBA{R: 170, G: 20, B: 20, A: 255}
	warning = color.NRGBA{R: 255, G: 232, B: 150, A: 255}
	paper   = color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	noFill  color.NRGBA
)

// Sizes of type in millimetres: 1 mm is about 2.8 points.
const (
	tinySize  = 2.1
	smallSize = 2.5
	bodySize  = 3.0
	headSize  = 4.2
	titleSize = 6.5
)

// lead is the distance of two lines, in parts of the size.
const lead = 1.25

// op draws something on a page of a run whose numbers are known.
type op func(pen drawing.Pen, b *Bound)

// page is what stands on one page, but for frame and title block.
type page struct {
	width, height float64
	area          drawing.Box
	zones         bool   // the frame carries letters and numbers
	part          string // what of the sheet the page shows; empty: see the sheet's title
	ops           []op
	anchors       []anchor
}

type anchor struct {
	at          drawing.Point
	name, title string
}

// newPage adds a page to a sheet.
func (s *Sheet) newPage(landscape bool) *page {
	width, height := s.facts.job.Paper.size(landscape)
	p := &page{width: width, height: height, area: areaOf(width, height)}
	s.pages = append(s.pages, p)
	return p
}

func (p *page) do(o op) { p.ops = append(p.ops, o) }

func (p *page) anchor(name string, x, y float64, title string) {
	p.anchors = append(p.anchors, anchor{at(x, y), name, title})
}

func (p *page) write(t drawing.Text) {
	if t.Colour == noFill {
		t.Colour = ink
	}
	p.do(func(pen drawing.Pen, _ *Bound) { pen.Text(t) })
}

// text writes one line from the left, cut to a width.
func (p *page) text(x, y, size float64, face drawing.Face, text string, width float64) {
	p.write(drawing.Text{At: at(x, y), Text: drawing.Fit(text, size, face, width), Size: size, Face: face})
}

func (p *page) line(x0, y0, x1, y1, width float64, c color.NRGBA, dash ...float64) {
	stroke := drawing.Stroke{Colour: c, Width: width, Dash: dash}
	p.do(func(pen drawing.Pen, _ *Bound) { pen.Line([]drawing.Point{at(x0, y0), at(x1, y1)}, stroke) })
}

func (p *page) rectangle(b drawing.Box, radius, width float64, c, fill color.NRGBA) {
	p.do(func(pen drawing.Pen, _ *Bound) {
		pen.Rectangle(b, radius, drawing.Stroke{Colour: c, Width: width}, fill)
	})
}

func (p *page) polygon(points []drawing.Point, width float64, c, fill color.NRGBA) {
	p.do(func(pen drawing.Pen, _ *Bound) { pen.Polygon(points, drawing.Stroke{Colour: c, Width: width}, fill) })
}

// link makes a box lead to an anchor, where the run has it.
func (p *page) link(b drawing.Box, anchor string) {
	p.do(func(pen drawing.Pen, in *Bound) {
		if _, there := in.pageOf(anchor); there {
			pen.Link(b, anchor)
		}
	})
}

// tick is an empty box to be ticked by hand.
func (p *page) tick(x, y, side float64) {
	p.rectangle(box(x, y-side, x+side, y), 0, 0.25, ink, noFill)
}

// sign is a triangle with an exclamation mark, of a height, its foot on y.
func (p *page) sign(x, y, height float64) {
	half := height * 0.58
	p.polygon([]drawing.Point{at(x, y), at(x+2*half, y), at(x+half, y-height)}, height*0.08, ink, warning)
	p.write(drawing.Text{At: at(x+half, y-height*0.13), Text: "!", Size: height * 0.78, Face: drawing.Bold, Align: drawing.Centre})
}
