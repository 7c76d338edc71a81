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
		way, _ := b.project(points, 0)
		b.shape.reset()
		for _, p := range way {
			b.shape.to(p.X, p.Y)
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
	way, upright := b.project(points, width)
	if way == nil {
		return
	}
	if closed {
		if way[0] == way[len(way)-1] && len(way) > 2 {
			way = way[:len(way)-1]
		}
		upright = upright && (way[0].X == way[len(way)-1].X || way[0].Y == way[len(way)-1].Y)
	}
	gaps := b.dashed(stroke.Dash, width)
	if !upright {
		b.slanted(way, width, stroke, gaps, closed)
		return
	}
	k := inkOf(stroke.Colour)
	thick := max(px(width), 1)
	half := float64(thick) / 2
	if gaps != nil {
		b.uprightDashes(way, thick, gaps, closed, &k)
		return
	}
	last := len(way) - 1
	for i := 0; i < last; i++ {
		// A run reaches over the corner into the next one; at the ends of the line
		// it stops where it should.
		b.run(way[i].X, way[i].Y, way[i+1].X, way[i+1].Y, thick, half, i > 0 || closed, i < last-1 || closed, &k)
	}
	if closed {
		b.run(way[last].X, way[last].Y, way[0].X, way[0].Y, thick, half, true, true, &k)
	}
}

// project returns the points' places on the picture, in a scratch slice, and
// whether every run between them lies along an axis; nil for what cannot be seen
// or has a point that is no place.
func (b *Buffer) project(points []drawing.Point, width float64) (way []drawing.Point, upright bool) {
	scale, dx, dy := b.scale, b.dx, b.dy
	way = b.way[:0]
	x0, y0 := math.Inf(1), math.Inf(1)
	x1, y1 := math.Inf(-1), math.Inf(-1)
	upright = true
	for i, p := range points {
		q := drawing.Point{X: p.X*scale + dx, Y: p.Y*scale + dy}
		if q.X-q.X != 0 || q.Y-q.Y != 0 {
			return nil, false
		}
		if i > 0 && p.X != points[i-1].X && p.Y != points[i-1].Y {
			upright = false
		}
		x0, x1 = less(x0, q.X), more(x1, q.X)
		y0, y1 = less(y0, q.Y), more(y1, q.Y)
		way = append(way, q)
	}
	b.way = way
	if !b.seen(x0, y0, x1, y1, width+1) {
		return nil, false
	}
	return way, upright
}

// less and more are min and max of numbers known to be some, which is quicker.
func less(a, b float64) float64 {
	if b < a {
		return b
	}
	return a
}

func more(a, b float64) float64 {
	if b > a {
		return b
	}
	return a
}

// run fills one run along an axis.
func (b *Buffer) run(x0, y0, x1, y1 float64, thick int, half float64, before, after bool, k *ink) {
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
		b.block(left, top, max(right, left+1), top+thick, k)
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
	b.block(left, top, left+thick, max(bottom, top+1), k)
}

// seen says whether a box on the picture, widened by a margin, is on it.
func (b *Buffer) seen(x0, y0, x1, y1, margin float64) bool {
	return x1 >= -margin && y1 >= -margin && x0 <= float64(b.width)+margin && y0 <= float64(b.height)+margin
}
