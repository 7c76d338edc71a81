package screen

import (
	"image/color"
	"image/draw"
	"math"

	"bellout/app/drawing"
)

// shape is a set of closed contours on the picture, filled where they wind
// around. Contours that overlap and turn the same way fill as one.
type shape struct {
	points []drawing.Point
	ends   []int // of each contour, in points
}

func (s *shape) reset() { s.points, s.ends = s.points[:0], s.ends[:0] }

func (s *shape) to(x, y float64) {
	s.points = append(s.points, drawing.Point{X: tame(x), Y: tame(y)})
}

// tame keeps a coordinate so small that cutting can reckon with it; beyond is out
// of sight by far. What is no number becomes one.
func tame(v float64) float64 {
	const far = 1e12
	if v < far && v > -far {
		return v
	}
	if v != v {
		return 0
	}
	return math.Copysign(far, v)
}

// close ends a contour; what follows is another one.
func (s *shape) close() {
	if len(s.points) > s.start() {
		s.ends = append(s.ends, len(s.points))
	}
}

// start is where the contour begins that is not closed yet.
func (s *shape) start() int {
	if len(s.ends) == 0 {
		return 0
	}
	return s.ends[len(s.ends)-1]
}

// arc adds points on a circle from one angle to another, in radians.
func (s *shape) arc(x, y, radius, from, to float64) {
	// So many chords that none is more than a tenth of a pixel off the circle.
	steps := math.Ceil(math.Abs(to-from) / math.Acos(1-min(0.1/max(radius, 0.1), 0.5)))
	steps = min(max(steps, 1), 360)
	for i := 0.0; i <= steps; i++ {
		sin, cos := math.Sincos(from + (to-from)*i/steps)
		s.to(x+radius*cos, y+radius*sin)
	}
}

// Band is how many rows are rasterised at once: a long slanted line has a
// large bounding box, its bands have small ones.
const Band = 64

// fill fills the shape, clipped to the picture.
func (b *Buffer) fill(colour color.NRGBA) {
	b.shape.close()
	if len(b.shape.points) == 0 || colour.A == 0 {
		return
	}
	top, bottom := math.Inf(1), math.Inf(-1)
	for _, p := range b.shape.points {
		top, bottom = min(top, p.Y), max(bottom, p.Y)
	}
	y0, y1 := max(0, int(max(top, 0))), min(b.height, int(min(bottom, float64(b.height)))+1)
	k := inkOf(colour)
	for y := y0; y < y1; y = (y/Band + 1) * Band {
		b.band(y, min((y/Band+1)*Band, y1), &k)
	}
}

// band fills the rows from y0 up to y1 of the shape.
func (b *Buffer) band(y0, y1 int, k *ink) {
	left, right := math.Inf(1), math.Inf(-1)
	b.clipped(0, y0, b.width, y1, func(points []drawing.Point) {
		for _, p := range points {
			left, right = min(left, p.X), max(right, p.X)
		}
	})
	if !(left < right) {
		return
	}
	x0, x1 := int(left), min(int(right)+1, b.width)
	if x0 >= x1 {
		return
	}
	mask := b.covered(x0, y0, x1, y1)
	for y := y0; y < y1; y++ {
		b.stamp(mask[(y-y0)*(x1-x0):(y-y0+1)*(x1-x0)], y*b.width+x0, k)
	}
}

// covered returns how far the shape covers the pixels of a rectangle, row by row,
// in a scratch slice.
func (b *Buffer) covered(x0, y0, x1, y1 int) []byte {
	b.raster.Reset(x1-x0, y1-y0)
	b.raster.DrawOp = draw.Src
	b.clipped(x0, y0, x1, y1, func(points []drawing.Point) {
		for i, p := range points {
			x, y := float32(p.X-float64(x0)), float32(p.Y-float64(y0))
			if i == 0 {
				b.raster.MoveTo(x, y)
			} else {
				b.raster.LineTo(x, y)
			}
		}
		b.raster.ClosePath()
	})
	return b.masked(x1-x0, y1-y0)
}

// stamp lays ink over a row of pixels from an index on, through a row of a mask.
func (b *Buffer) stamp(mask []byte, at int, k *ink) {
	row := b.pixels[at : at+len(mask)]
	row = row[:len(mask)] // so that the loops need not check
	colour := k.spread
	if k.opaque {
		for i, m := range mask {
			if m != 0 {
				cover := uint64(m)
				row[i] = over(colour, row[i], cover+cover>>7)
			}
		}
		return
	}
	for i, m := range mask {
		if m != 0 {
			row[i] = over(colour, row[i], k.cover(m))
		}
	}
}

// clipped calls use with each contour cut to a rectangle, which keeps the winding
// inside as it was.
func (b *Buffer) clipped(x0, y0, x1, y1 int, use func([]drawing.Point)) {
	left, top, right, bottom := float64(x0), float64(y0), float64(x1), float64(y1)
	start := 0
	for _, end := range b.shape.ends {
		points := b.shape.points[start:end]
		start = end
		points = cut(points, &b.strip[0], func(p drawing.Point) float64 { return p.Y - top })
		points = cut(points, &b.strip[1], func(p drawing.Point) float64 { return bottom - p.Y })
		points = cut(points, &b.strip[0], func(p drawing.Point) float64 { return p.X - left })
		points = cut(points, &b.strip[1], func(p drawing.Point) float64 { return right - p.X })
		for i, p := range points { // far away, cutting rounds beside the edge
			points[i] = drawing.Point{X: min(max(p.X, left), right), Y: min(max(p.Y, top), bottom)}
		}
		if len(points) > 2 {
			use(points)
		}
	}
}

// cut keeps the part of a contour where inside is not negative (Sutherland and
// Hodgman 1974, from memory), in a scratch slice.
func cut(points []drawing.Point, scratch *[]drawing.Point, inside func(drawing.Point) float64) []drawing.Point {
	out := (*scratch)[:0]
	if len(points) == 0 {
		return nil
	}
	from := points[len(points)-1]
	was := inside(from)
	for _, to := range points {
		is := inside(to)
		if (was < 0) != (is < 0) {
			t := was / (was - is)
			out = append(out, drawing.Point{X: from.X + t*(to.X-from.X), Y: from.Y + t*(to.Y-from.Y)})
		}
		if is >= 0 {
			out = append(out, to)
		}
		from, was = to, is
	}
	*scratch = out
	return out
}
