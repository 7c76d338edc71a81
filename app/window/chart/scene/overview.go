package scene

import (
	"math"

	"bellout/app/drawing"
)

// How large the overview is, in units of the screen, and its distance from the
// corner.
const (
	overviewWidth  = 190.0
	overviewHeight = 150.0
	overviewAside  = 10.0
)

// OverviewBox returns where the overview lies on a screen of that size, and the
// scale of the chart in it.
func (s *Scene) OverviewBox(width, height float64) (box drawing.Box, scale float64) {
	bounds := s.Bounds()
	w, h := max(bounds.Max.X-bounds.Min.X, 1), max(bounds.Max.Y-bounds.Min.Y, 1)
	scale = min(overviewWidth/w, overviewHeight/h)
	corner := drawing.Point{X: width - overviewAside, Y: height - overviewAside}
	return drawing.Box{Min: drawing.Point{X: corner.X - w*scale, Y: corner.Y - h*scale}, Max: corner}, scale
}

// OverviewAt returns the point of the chart under a point of the screen that lies
// on the overview; false beside it.
func (s *Scene) OverviewAt(at drawing.Point, width, height float64) (drawing.Point, bool) {
	box, scale := s.OverviewBox(width, height)
	if !within(box, at) {
		return drawing.Point{}, false
	}
	bounds := s.Bounds()
	return drawing.Point{X: bounds.Min.X + (at.X-box.Min.X)/scale, Y: bounds.Min.Y + (at.Y-box.Min.Y)/scale}, true
}

// overview draws the whole chart in a corner: boxes only, and what is seen of
// them.
func (d *drawer) overview() {
	box, scale := d.OverviewBox(d.Width, d.Height)
	inside := drawing.Box{Min: d.ToScene(box.Min), Max: d.ToScene(box.Max)}
	d.pen.Rectangle(grown(inside, d.px(4)), 0, d.stroke(d.Palette.Line, 1), d.Palette.Box)
	bounds := d.Bounds()
	place := func(b drawing.Box) drawing.Box {
		f := scale / d.Scale
		return drawing.Box{
			Min: drawing.Point{X: inside.Min.X + (b.Min.X-bounds.Min.X)*f, Y: inside.Min.Y + (b.Min.Y-bounds.Min.Y)*f},
			Max: drawing.Point{X: inside.Min.X + (b.Max.X-bounds.Min.X)*f, Y: inside.Min.Y + (b.Max.Y-bounds.Min.Y)*f},
		}
	}
	// A machine of thousands is a grey field at this size: every so many boxes is
	// enough to tell where it is dense.
	every := max(1, int(math.Ceil(float64(len(d.boxes))/1500)))
	for i := 0; i < len(d.boxes); i += every {
		b := &d.boxes[i]
		if !b.here {
			continue
		}
		c := mixed(d.Palette.Soft, d.Palette.Box, 0.35)
		switch {
		case b.health == "failed":
			c = d.Palette.Bad
		case d.Lit.On() && d.Lit.boxes[i]:
			c = d.Palette.Accent
		}
		at := place(b.outline)
		at.Max.X, at.Max.Y = max(at.Max.X, at.Min.X+d.px(1.5)), max(at.Max.Y, at.Min.Y+d.px(1.5))
		d.pen.Rectangle(at, 0, none, c)
	}
	view := place(d.Seen(d.Width, d.Height))
	view.Min.X, view.Min.Y = max(view.Min.X, inside.Min.X), max(view.Min.Y, inside.Min.Y)
	view.Max.X, view.Max.Y = min(view.Max.X, inside.Max.X), min(view.Max.Y, inside.Max.Y)
	if view.Max.X > view.Min.X && view.Max.Y > view.Min.Y {
		d.pen.Rectangle(view, 0, d.stroke(d.Palette.Accent, 2), noFill)
	}
}
