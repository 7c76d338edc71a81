package book

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"bellout/app/drawing"
)

// recorder is a pen that notes what would lie outside its page or over another
// text.
type recorder struct {
	page       drawing.Box
	texts      []drawing.Text
	boxes      []drawing.Box
	complaints []string
	links      []string
}

const hairBreadth = 0.02 // mm

func (r *recorder) inside(what string, b drawing.Box) {
	if b.Min.X < r.page.Min.X-hairBreadth || b.Min.Y < r.page.Min.Y-hairBreadth || b.Max.X > r.page.Max.X+hairBreadth || b.Max.Y > r.page.Max.Y+hairBreadth ||
		math.IsNaN(b.Min.X+b.Min.Y+b.Max.X+b.Max.Y) {
		r.complaints = append(r.complaints, fmt.Sprintf("%s leaves the page: %v", what, b))
	}
}

func (r *recorder) Line(points []drawing.Point, _ drawing.Stroke) {
	for _, p := range points {
		r.inside("a line", drawing.Box{Min: p, Max: p})
	}
}

func (r *recorder) Polygon(points []drawing.Point, s drawing.Stroke, _ color.NRGBA) {
	r.Line(points, s)
}

func (r *recorder) Rectangle(b drawing.Box, _ float64, _ drawing.Stroke, _ color.NRGBA) {
	r.inside("a box", b)
}

func (r *recorder) Circle(c drawing.Point, radius float64, _ drawing.Stroke, _ color.NRGBA) {
	r.inside("a circle", box(c.X-radius, c.Y-radius, c.X+radius, c.Y+radius))
}

func (r *recorder) Text(t drawing.Text) {
	if t.Text == "" {
		return
	}
	b := inkBox(t)
	r.inside(fmt.Sprintf("text %.60q", t.Text), b)
	if t.Text == "!" || t.Text == "?" {
		return // a sign on what a finding blames, which may stand on its mark
	}
	for i, there := range r.boxes {
		if b.Min.X < there.Max.X-hairBreadth && there.Min.X < b.Max.X-hairBreadth && b.Min.Y < there.Max.Y-hairBreadth && there.Min.Y < b.Max.Y-hairBreadth {
			r.complaints = append(r.complaints, fmt.Sprintf("text %.60q lies over %.60q at %.1f, %.1f", t.Text, r.texts[i].Text, b.Min.X, b.Min.Y))
		}
	}
	r.texts, r.boxes = append(r.texts, t), append(r.boxes, b)
}

// inkBox is what the letters of a line cover, from the height of its capitals to a
// little below the base line, which tails of letters may leave.
func inkBox(t drawing.Text) drawing.Box {
	start, length := t.Extent()
	up, down := t.Size*drawing.CapHeight(), t.Size*0.1
	if t.Upward {
		return box(t.At.X-up, t.At.Y-start-length, t.At.X+down, t.At.Y-start)
	}
	return box(t.At.X+start, t.At.Y-up, t.At.X+start+length, t.At.Y+down)
}

func (r *recorder) Picture(_ image.Image, b drawing.Box) { r.inside("a picture", b) }
func (r *recorder) Link(b drawing.Box, anchor string) {
	r.inside("a link", b)
	r.links = append(r.links, anchor)
}
func (r *recorder) Anchor(p drawing.Point, name, _ string) {
	r.inside("anchor "+name, drawing.Box{Min: p, Max: p})
}
