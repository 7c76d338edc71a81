package screen

import (
	"image/color"
	"math"

	"bellout/app/drawing"
)

// Rectangle draws a box with corners rounded by a radius.
func (b *Buffer) Rectangle(box drawing.Box, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !finite(box.Min) || !finite(box.Max) {
		return
	}
	x0, y0, x1, y1 := b.x(box.Min.X), b.y(box.Min.Y), b.x(box.Max.X), b.y(box.Max.Y)
	x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
	width := 0.0
	if stroke.Width > 0 && stroke.Colour.A > 0 {
		width = max(stroke.Width*b.scale, 1)
	}
	if !b.seen(x0, y0, x1, y1, width+1) {
		return
	}
	round := min(radius*b.scale, (x1-x0)/2, (y1-y0)/2)
	if !(round >= 1) { // also a radius that is none
		if fill.A > 0 {
			k := inkOf(fill)
			left, top := px(x0), px(y0)
			b.block(left, top, max(px(x1), left+1), max(px(y1), top+1), &k)
		}
		if width > 0 {
			corners := [4]drawing.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}
			b.corners = corners
			b.stroke(b.corners[:], stroke, true)
		}
		return
	}
	// On whole pixels, so that the straight sides are sharp. The line's outer edge is
	// half its width outside the box.
	line := 0
	if width > 0 {
		line = max(px(width), 1)
	}
	half := float64(line) / 2
	left, top, right, bottom := px(x0-half), px(y0-half), px(x1-half)+line, px(y1-half)+line
	if line == 0 {
		right, bottom = px(x1), px(y1)
	}
	small := round+half <= largestStamp
	if fill.A > 0 {
		inset := line / 2 // under the middle of the line
		b.roundBox(left+inset, top+inset, right-inset, bottom-inset, round, 0, small, fill)
	}
	if line == 0 {
		return
	}
	if gaps := b.dashed(stroke.Dash, width); gaps != nil {
		b.shape.reset()
		b.shape.rounded(float64(left)+half, float64(top)+half, float64(right)-half, float64(bottom)-half, round, false)
		b.outline(float64(line), stroke, gaps)
		return
	}
	b.roundBox(left, top, right, bottom, round+half, line, small, stroke.Colour)
}

// roundBox fills a box on whole pixels whose corners are rounded, or draws round
// it inside its edge, line pixels thick, where line is not 0.
func (b *Buffer) roundBox(x0, y0, x1, y1 int, radius float64, line int, small bool, colour color.NRGBA) {
	if small {
		k := inkOf(colour)
		b.cornered(x0, y0, x1, y1, radius, line, &k)
		return
	}
	left, top, right, bottom, w := float64(x0), float64(y0), float64(x1), float64(y1), float64(line)
	b.shape.reset()
	b.shape.rounded(left, top, right, bottom, radius, false)
	if line > 0 {
		b.shape.rounded(left+w, top+w, right-w, bottom-w, max(radius-w, 0), true)
	}
	b.fill(colour)
}

// Circle draws a circle.
func (b *Buffer) Circle(centre drawing.Point, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !finite(centre) || !(radius > 0) || math.IsInf(radius, 1) {
		return
	}
	x, y, r := b.x(centre.X), b.y(centre.Y), radius*b.scale
	width := 0.0
	if stroke.Width > 0 && stroke.Colour.A > 0 {
		width = max(stroke.Width*b.scale, 1)
	}
	if !b.seen(x-r, y-r, x+r, y+r, width+1) {
		return
	}
	r = max(r, 0.5)
	small := r+width/2 <= largestStamp
	if fill.A > 0 {
		b.round(x, y, r, 0, small, fill)
	}
	if width == 0 {
		return
	}
	if gaps := b.dashed(stroke.Dash, width); gaps != nil {
		b.shape.reset()
		b.shape.arc(x, y, r, 0, 2*math.Pi)
		b.outline(width, stroke, gaps)
		return
	}
	b.round(x, y, r, width, small, stroke.Colour)
}

// round fills a disc or, where line is not 0, a ring.
func (b *Buffer) round(x, y, radius, line float64, small bool, colour color.NRGBA) {
	if small {
		k := inkOf(colour)
		b.disc(x, y, radius, line, &k)
		return
	}
	b.shape.reset()
	b.shape.ring(x, y, radius, line)
	b.fill(colour)
}

// outline draws the one contour that the shape holds as a dashed line.
func (b *Buffer) outline(width float64, stroke drawing.Stroke, gaps []float64) {
	way := append(b.way[:0], b.shape.points...)
	b.way = way
	if len(way) == 0 {
		return
	}
	way = append(way, way[0])
	b.way = way
	b.shape.reset()
	phase := 0.0
	for i := 1; i < len(way); i++ {
		from, to := way[i-1], way[i]
		length := math.Hypot(to.X-from.X, to.Y-from.Y)
		if length == 0 {
			continue
		}
		step := drawing.Point{X: (to.X - from.X) / length, Y: (to.Y - from.Y) / length}
		start, end := b.within(from, to, width)
		b.pieces(gaps, phase, start*length, end*length, func(a, z float64) {
			b.shape.quad(along(from, step, a), along(from, step, z), width/2)
		})
		phase += length
	}
	b.fill(stroke.Colour)
}

// rounded adds a box with round corners, as a hole if it turns backwards.
func (s *shape) rounded(x0, y0, x1, y1, radius float64, hole bool) {
	if x0 >= x1 || y0 >= y1 {
		return
	}
	const quarter = math.Pi / 2
	if hole {
		s.arc(x0+radius, y0+radius, radius, 3*quarter, 2*quarter)
		s.arc(x0+radius, y1-radius, radius, 2*quarter, quarter)
		s.arc(x1-radius, y1-radius, radius, quarter, 0)
		s.arc(x1-radius, y0+radius, radius, 0, -quarter)
	} else {
		s.arc(x0+radius, y0+radius, radius, 2*quarter, 3*quarter)
		s.arc(x1-radius, y0+radius, radius, 3*quarter, 4*quarter)
		s.arc(x1-radius, y1-radius, radius, 0, quarter)
		s.arc(x0+radius, y1-radius, radius, quarter, 2*quarter)
	}
	s.close()
}
