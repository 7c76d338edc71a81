package sheets

import (
	"image"
	"image/color"

	"bellout/app/drawing"
)

// recording is a document that keeps what is drawn, so that it can be drawn again,
// page by page.
type recording struct{ kept []*keptPage }

type keptPage struct {
	width, height float64
	ops           []func(drawing.Pen)
}

// Page begins a page.
func (r *recording) Page(width, height float64, _ string) drawing.Pen {
	p := &keptPage{width: width, height: height}
	r.kept = append(r.kept, p)
	return p
}

// Pages returns how many there are.
func (r *recording) Pages() int { return len(r.kept) }

// Size returns the size of a page in millimetres, pages counted from 1.
func (r *recording) Size(page int) (width, height float64) {
	return r.kept[page-1].width, r.kept[page-1].height
}

// Draw draws a page, counted from 1.
func (r *recording) Draw(page int, pen drawing.Pen) {
	for _, op := range r.kept[page-1].ops {
		op(pen)
	}
}

func (p *keptPage) keep(op func(drawing.Pen)) { p.ops = append(p.ops, op) }

func (p *keptPage) Line(points []drawing.Point, stroke drawing.Stroke) {
	points = append([]drawing.Point{}, points...)
	p.keep(func(pen drawing.Pen) { pen.Line(points, stroke) })
}

func (p *keptPage) Polygon(points []drawing.Point, stroke drawing.Stroke, fill color.NRGBA) {
	points = append([]drawing.Point{}, points...)
	p.keep(func(pen drawing.Pen) { pen.Polygon(points, stroke, fill) })
}

func (p *keptPage) Rectangle(box drawing.Box, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	p.keep(func(pen drawing.Pen) { pen.Rectangle(box, radius, stroke, fill) })
}

func (p *keptPage) Circle(centre drawing.Point, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	p.keep(func(pen drawing.Pen) { pen.Circle(centre, radius, stroke, fill) })
}

func (p *keptPage) Text(text drawing.Text) { p.keep(func(pen drawing.Pen) { pen.Text(text) }) }

func (p *keptPage) Picture(picture image.Image, box drawing.Box) {
	p.keep(func(pen drawing.Pen) { pen.Picture(picture, box) })
}

func (p *keptPage) Link(box drawing.Box, anchor string) {
	p.keep(func(pen drawing.Pen) { pen.Link(box, anchor) })
}

func (p *keptPage) Anchor(at drawing.Point, name, title string) {
	p.keep(func(pen drawing.Pen) { pen.Anchor(at, name, title) })
}
