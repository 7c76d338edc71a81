package screen

import (
	"image/color"
	"math"

	"bellout/app/drawing"
)

// Line draws along points. Runs along the axes are drawn on whole pixels, sharp
// and at least one pixel wide; others are smoothed.
func (b *Buffer) Line(points []drawing.Point, stroke drawing.Stroke) {
	b.stroke(points, stroke, false)
}

// Polygon closes the way through points.
func (b *Buffer) Polygon(points []drawing.Point, stroke drawing.Stroke, fill color.NRGBA) {
	if fill.A > 0 && len(points) > 2 {
		b.shape.reset()
		for _, p := range points {
			if !finite(p) {
				return
			}
			b.shape.to(b.x(p.X), b.y(p.Y))
		}
		b.fill(fill)
	}
	b.stroke(points, stroke, true)
}

func (b *Buffer) stroke(points []drawing.Point, stroke drawing.Stroke, closed bool) {
	if len(points) < 2 || !(stroke.Width > 0) || stroke.Colour.A == 0 {
		return
	}
	width := stroke.Width * b.scale
	if !b.touches(points, width) {
		return
	}
	gaps := b.dashed(stroke.Dash)
	if !upright(points, closed) {
		b.slanted(points, width, stroke, gaps, closed)
		return
	}
	k := inkOf(stroke.Colour)
	thick := max(px(width), 1)
	half := float64(thick) / 2
	phase := 0.0
	last := len(points) - 1
	if closed {
		last++
	}
	for i := 0; i < last; i++ {
		from, to := points[i], points[(i+1)%len(points)]
		x0, y0, x1, y1 := b.x(from.X), b.y(from.Y), b.x(to.X), b.y(to.Y)
		length := math.Abs(x1-x0) + math.Abs(y1-y0)
		// A run reaches over the corner into the next one; at the ends of the line
		// it stops where it should.
		before, after := i > 0 || closed, i < last-1 || closed
		if gaps != nil {
			b.dashes(x0, y0, x1, y1, thick, gaps, phase, &k)
			phase += length
			continue
		}
		b.run(x0, y0, x1, y1, thick, half, before, after, k)
	}
}

// run fills one run along an axis.
func (b *Buffer) run(x0, y0, x1, y1 float64, thick int, half float64, before, after bool, k ink) {
	if y0 == y1 || math.Abs(y1-y0) < math.Abs(x1-x0) {
		if x0 > x1 {
			x0, x1, before, after = x1, x0, after, before
		}
		top := px(y0 - half)
		left, right := px(x0), px(x1)
		if before {
			left = px(x0 - half)
		}
		if after {
			right = px(x1-half) + thick
		}
		b.block(left, top, max(right, left+1), top+thick, &k)
		return
	}
	if y0 > y1 {
		y0, y1, before, after = y1, y0, after, before
	}
	left := px(x0 - half)
	top, bottom := px(y0), px(y1)
	if before {
		top = px(y0 - half)
	}
	if after {
		bottom = px(y1-half) + thick
	}
	b.block(left, top, left+thick, max(bottom, top+1), &k)
}

// touches says whether a line can be seen. Points that are no places are not.
func (b *Buffer) touches(points []drawing.Point, width float64) bool {
	x0, y0 := points[0].X, points[0].Y
	x1, y1 := x0, y0
	for _, p := range points {
		if !finite(p) {
			return false
		}
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	return b.seen(b.x(x0), b.y(y0), b.x(x1), b.y(y1), width+1)
}

// seen says whether a box on the picture, widened by a margin, is on it.
func (b *Buffer) seen(x0, y0, x1, y1, margin float64) bool {
	return x1 >= -margin && y1 >= -margin && x0 <= float64(b.width)+margin && y0 <= float64(b.height)+margin
}

// upright says that every run lies along an axis.
func upright(points []drawing.Point, closed bool) bool {
	for i := 1; i < len(points); i++ {
		if points[i].X != points[i-1].X && points[i].Y != points[i-1].Y {
			return false
		}
	}
	first, last := points[0], points[len(points)-1]
	return !closed || first.X == last.X || first.Y == last.Y
}
