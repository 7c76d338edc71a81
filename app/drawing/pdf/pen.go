package pdf

import (
	"bytes"
	"image"
	"image/color"
	"slices"

	"bellout/app/drawing"

	"codeberg.org/go-pdf/fpdf"
)

// pen draws on one page and remembers what the page was last told, since most
// lines look like the one before.
type pen struct {
	document *Document
	file     *fpdf.Fpdf
	number   int

	lineSet bool
	line    color.NRGBA
	width   float64
	dash    []float64
	fillSet bool
	filled  color.NRGBA
	alpha   uint8
	alphaOn bool
	font    string
	size    float64
}

// opaque makes what follows as transparent as a colour's alpha says.
func (p *pen) opaque(alpha uint8) {
	if !p.alphaOn && alpha == 255 || p.alphaOn && alpha == p.alpha {
		return
	}
	p.file.SetAlpha(float64(alpha)/255, "Normal")
	p.alpha, p.alphaOn = alpha, true
}

// stroke readies the page for a line and says whether there is one.
func (p *pen) stroke(s drawing.Stroke) bool {
	if !s.Seen() {
		return false
	}
	colour := s.Colour
	colour.A = 255
	if !p.lineSet || p.line != colour {
		p.file.SetDrawColor(int(colour.R), int(colour.G), int(colour.B))
	}
	if !p.lineSet || p.width != s.Width {
		p.file.SetLineWidth(s.Width)
	}
	dash := s.Dashes()
	if !p.lineSet || !slices.Equal(p.dash, dash) {
		p.file.SetDashPattern(dash, 0)
		p.dash = slices.Clone(dash)
	}
	p.line, p.width, p.lineSet = colour, s.Width, true
	return true
}

// fill readies the page for a filling and says whether there is one.
func (p *pen) fill(c color.NRGBA) bool {
	if c.A == 0 {
		return false
	}
	c.A = 255
	if !p.fillSet || p.filled != c {
		p.file.SetFillColor(int(c.R), int(c.G), int(c.B))
		p.file.SetTextColor(int(c.R), int(c.G), int(c.B))
	}
	p.filled, p.fillSet = c, true
	return true
}

// paint draws a path: its filling, then its line, each as transparent as it is.
func (p *pen) paint(path func(), stroke drawing.Stroke, fill color.NRGBA) {
	hasFill, hasLine := p.fill(fill), p.stroke(stroke)
	if hasFill && hasLine && fill.A == stroke.Colour.A {
		p.opaque(fill.A)
		path()
		p.file.DrawPath("B")
		return
	}
	if hasFill {
		p.opaque(fill.A)
		path()
		p.file.DrawPath("F")
	}
	if hasLine {
		p.opaque(stroke.Colour.A)
		path()
		p.file.DrawPath("D")
	}
}

func (p *pen) Line(points []drawing.Point, stroke drawing.Stroke) {
	if len(points) < 2 || !drawing.Drawable(points...) {
		return
	}
	p.paint(func() { p.way(points) }, stroke, color.NRGBA{})
}

func (p *pen) way(points []drawing.Point) {
	p.file.MoveTo(points[0].X, points[0].Y)
	for _, q := range points[1:] {
		p.file.LineTo(q.X, q.Y)
	}
}

func (p *pen) Polygon(points []drawing.Point, stroke drawing.Stroke, fill color.NRGBA) {
	if len(points) < 2 || !drawing.Drawable(points...) {
		return
	}
	p.paint(func() {
		p.way(points)
		p.file.ClosePath()
	}, stroke, fill)
}

func (p *pen) Rectangle(box drawing.Box, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !drawing.Drawable(box.Min, box.Max) {
		return
	}
	x0, y0, x1, y1 := min(box.Min.X, box.Max.X), min(box.Min.Y, box.Max.Y), max(box.Min.X, box.Max.X), max(box.Min.Y, box.Max.Y)
	r := min(radius, (x1-x0)/2, (y1-y0)/2)
	p.paint(func() {
		if !(r > 0) {
			p.way([]drawing.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}})
			p.file.ClosePath()
			return
		}
		k := r * (1 - drawing.Quarter)
		p.file.MoveTo(x0+r, y0)
		p.file.LineTo(x1-r, y0)
		p.file.CurveBezierCubicTo(x1-k, y0, x1, y0+k, x1, y0+r)
		p.file.LineTo(x1, y1-r)
		p.file.CurveBezierCubicTo(x1, y1-k, x1-k, y1, x1-r, y1)
		p.file.LineTo(x0+r, y1)
		p.file.CurveBezierCubicTo(x0+k, y1, x0, y1-k, x0, y1-r)
		p.file.LineTo(x0, y0+r)
		p.file.CurveBezierCubicTo(x0, y0+k, x0+k, y0, x0+r, y0)
		p.file.ClosePath()
	}, stroke, fill)
}

func (p *pen) Circle(centre drawing.Point, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !drawing.Drawable(centre) || !(radius > 0 && radius < 1e6) {
		return
	}
	x, y, r, k := centre.X, centre.Y, radius, radius*drawing.Quarter
	p.paint(func() {
		p.file.MoveTo(x+r, y)
		p.file.CurveBezierCubicTo(x+r, y+k, x+k, y+r, x, y+r)
		p.file.CurveBezierCubicTo(x-k, y+r, x-r, y+k, x-r, y)
		p.file.CurveBezierCubicTo(x-r, y-k, x-k, y-r, x, y-r)
		p.file.CurveBezierCubicTo(x+k, y-r, x+r, y-k, x+r, y)
		p.file.ClosePath()
	}, stroke, fill)
}

func (p *pen) Picture(picture image.Image, box drawing.Box) {
	place, ok := drawing.Place(picture, box)
	if !ok || !drawing.Drawable(place.Min, place.Max) {
		return
	}
	encoded, err := p.document.pictures.Encode(picture, place.Max.X-place.Min.X)
	if err != nil {
		p.document.fail(err)
		return
	}
	options := fpdf.ImageOptions{ImageType: "png", AllowNegativePosition: true}
	if encoded.JPEG {
		options.ImageType = "jpg"
	}
	p.opaque(255)
	p.file.RegisterImageOptionsReader(encoded.Name, options, bytes.NewReader(encoded.Bytes))
	p.file.ImageOptions(encoded.Name, place.Min.X, place.Min.Y, place.Max.X-place.Min.X, place.Max.Y-place.Min.Y, false, options, 0, "")
}

func (p *pen) Link(box drawing.Box, name string) {
	if drawing.Drawable(box.Min, box.Max) {
		p.document.links = append(p.document.links, link{p.number, box, name})
	}
}

// Anchor: the first anchor of a name counts.
func (p *pen) Anchor(at drawing.Point, name, title string) {
	if _, there := p.document.anchors[name]; there || !drawing.Drawable(at) {
		return
	}
	p.document.anchors[name] = anchor{p.number, at.Y, title, len(p.document.anchors)}
}
