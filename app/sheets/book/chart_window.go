package book

import (
	"image"
	"image/color"

	"bellout/app/drawing"
)

// window is a pen that shows a part of a drawing on a page, at a scale: lines and
// shapes end at its edge, a text that does not lie within is left out.
type window struct {
	pen   drawing.Pen
	part  drawing.Box   // of the drawing
	on    drawing.Point // where its upper left corner lies on the page
	scale float64

	plate   func()                   // a plate that waits for its word
	plateOn drawing.Box              // of the drawing
	words   []drawing.Box            // texts that were written, and places kept for others
	said    map[string][]drawing.Box // by text: where it was written
}

// settle draws the plate that waits.
func (w *window) settle() {
	if w.plate != nil {
		w.plate()
		w.plate = nil
	}
}

func (w *window) at(p drawing.Point) drawing.Point {
	return at(w.on.X+(p.X-w.part.Min.X)*w.scale, w.on.Y+(p.Y-w.part.Min.Y)*w.scale)
}

func (w *window) box(b drawing.Box) drawing.Box {
	return drawing.Box{Min: w.at(b.Min), Max: w.at(b.Max)}
}

func (w *window) stroke(s drawing.Stroke) drawing.Stroke {
	s.Width *= w.scale
	if s.Dash != nil {
		dash := make([]float64, len(s.Dash))
		for i, length := range s.Dash {
			dash[i] = length * w.scale
		}
		s.Dash = dash
	}
	return s
}

func (w *window) holds(p drawing.Point) bool {
	return p.X >= w.part.Min.X && p.X <= w.part.Max.X && p.Y >= w.part.Min.Y && p.Y <= w.part.Max.Y
}

func (w *window) holdsBox(b drawing.Box) bool { return w.holds(b.Min) && w.holds(b.Max) }

func (w *window) misses(b drawing.Box) bool {
	return b.Max.X < w.part.Min.X || b.Min.X > w.part.Max.X || b.Max.Y < w.part.Min.Y || b.Min.Y > w.part.Max.Y
}

// Line draws the pieces that lie within.
func (w *window) Line(points []drawing.Point, stroke drawing.Stroke) {
	w.settle()
	w.line(points, stroke)
}

func (w *window) line(points []drawing.Point, stroke drawing.Stroke) {
	stroke = w.stroke(stroke)
	var piece []drawing.Point
	flush := func() {
		if len(piece) > 1 {
			w.pen.Line(piece, stroke)
		}
		piece = nil
	}
	for i := 1; i < len(points); i++ {
		from, to, seen := w.clip(points[i-1], points[i])
		if !seen {
			flush()
			continue
		}
		if from != points[i-1] {
			flush()
		}
		if len(piece) == 0 {
			piece = append(piece, w.at(from))
		}
		piece = append(piece, w.at(to))
		if to != points[i] {
			flush()
		}
	}
	flush()
}

// clip cuts a line to the window (Liang and Barsky 1984, cited from memory).
func (w *window) clip(from, to drawing.Point) (drawing.Point, drawing.Point, bool) {
	first, last := 0.0, 1.0
	dx, dy := to.X-from.X, to.Y-from.Y
	for _, edge := range [4][2]float64{
		{-dx, from.X - w.part.Min.X}, {dx, w.part.Max.X - from.X}, {-dy, from.Y - w.part.Min.Y}, {dy, w.part.Max.Y - from.Y},
	} {
		p, q := edge[0], edge[1]
		switch {
		case p == 0 && q < 0:
			return from, to, false
		case p < 0:
			first = max(first, q/p)
		case p > 0:
			last = min(last, q/p)
		}
	}
	if first > last {
		return from, to, false
	}
	a, b := from, to
	if first > 0 {
		a = at(from.X+first*dx, from.Y+first*dy)
	}
	if last < 1 {
		b = at(from.X+last*dx, from.Y+last*dy)
	}
	return a, b, true
}

// Polygon draws a polygon that lies within, and of others what the edge leaves.
func (w *window) Polygon(points []drawing.Point, stroke drawing.Stroke, fill color.NRGBA) {
	w.settle()
	inside := true
	for _, p := range points {
		inside = inside && w.holds(p)
	}
	if inside {
		moved := make([]drawing.Point, len(points))
		for i, p := range points {
			moved[i] = w.at(p)
		}
		w.pen.Polygon(moved, w.stroke(stroke), fill)
		return
	}
	if len(points) > 2 && stroke.Width > 0 {
		w.line(append(append([]drawing.Point{}, points...), points[0]), stroke)
	}
}

// Rectangle draws what lies within, its edges only where they do.
func (w *window) Rectangle(b drawing.Box, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	w.settle()
	if w.misses(b) {
		return
	}
	if !w.holdsBox(b) && fill.A > 0 && b.Max.Y-b.Min.Y < plateHigh && b.Max.X-b.Min.X < plateWide {
		return // a plate whose word is cut off says nothing, and covers what runs there
	}
	if w.holdsBox(b) && fill.A > 0 && b.Max.Y-b.Min.Y < plateHigh { // with a word on it, perhaps
		w.plateOn = b
		w.plate = func() { w.pen.Rectangle(w.box(b), radius*w.scale, w.stroke(stroke), fill) }
		return
	}
	if w.holdsBox(b) {
		w.pen.Rectangle(w.box(b), radius*w.scale, w.stroke(stroke), fill)
		return
	}
	if fill.A > 0 {
		cut := box(max(b.Min.X, w.part.Min.X), max(b.Min.Y, w.part.Min.Y), min(b.Max.X, w.part.Max.X), min(b.Max.Y, w.part.Max.Y))
		w.pen.Rectangle(w.box(cut), 0, drawing.Stroke{}, fill)
	}
	if stroke.Width > 0 {
		w.line([]drawing.Point{b.Min, at(b.Max.X, b.Min.Y), b.Max, at(b.Min.X, b.Max.Y), b.Min}, stroke)
	}
}

// The most that a plate measures on which the name of a net stands.
const (
	plateHigh = 14
	plateWide = 120
)

// Circle draws a circle that lies within.
func (w *window) Circle(centre drawing.Point, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	w.settle()
	if w.holdsBox(box(centre.X-radius, centre.Y-radius, centre.X+radius, centre.Y+radius)) {
		w.pen.Circle(w.at(centre), radius*w.scale, w.stroke(stroke), fill)
	}
}

// Text writes a text that lies within. One on a plate that would cover another
// text is left out with its plate: the name of a net stands elsewhere too. So is
// one over the same words.
func (w *window) Text(text drawing.Text) {
	covers := textBox(text)
	if w.plate != nil && covers.Min.X >= w.plateOn.Min.X && covers.Max.X <= w.plateOn.Max.X {
		for _, there := range w.words {
			if there.Min.X < w.plateOn.Max.X && w.plateOn.Min.X < there.Max.X && there.Min.Y < w.plateOn.Max.Y && w.plateOn.Min.Y < there.Max.Y {
				w.plate = nil
				return
			}
		}
	}
	for _, there := range w.said[text.Text] {
		if there.Min.X < covers.Max.X && covers.Min.X < there.Max.X && there.Min.Y < covers.Max.Y && covers.Min.Y < there.Max.Y {
			w.plate = nil
			return
		}
	}
	w.settle()
	if w.holdsBox(covers) {
		if w.said == nil {
			w.said = map[string][]drawing.Box{}
		}
		w.said[text.Text] = append(w.said[text.Text], covers)
		w.words = append(w.words, covers)
		text.At, text.Size = w.at(text.At), text.Size*w.scale
		w.pen.Text(text)
	}
}

// textBox is what a text covers: from a little below the base line up to the
// height of tall letters.
func textBox(t drawing.Text) drawing.Box {
	start, length := t.Extent()
	up, down := t.Size*0.75, t.Size*0.2
	if t.Upward {
		return box(t.At.X-up, t.At.Y-start-length, t.At.X+down, t.At.Y-start)
	}
	return box(t.At.X+start, t.At.Y-up, t.At.X+start+length, t.At.Y+down)
}

// Picture, Link and Anchor are not used by the chart.
func (w *window) Picture(picture image.Image, b drawing.Box) {
	w.settle()
	if w.holdsBox(b) {
		w.pen.Picture(picture, w.box(b))
	}
}

// Link makes what lies within lead to an anchor.
func (w *window) Link(b drawing.Box, anchor string) {
	if w.holdsBox(b) {
		w.pen.Link(w.box(b), anchor)
	}
}

// Anchor names a point that lies within.
func (w *window) Anchor(p drawing.Point, name, title string) {
	if w.holds(p) {
		w.pen.Anchor(w.at(p), name, title)
	}
}
