package screen

import (
	"math"
	"slices"

	"bellout/app/drawing"
)

// miterLimit is how far the tip of a corner may stick out, in widths of the line;
// a sharper corner is cut off. It is SVG's, where 4 is the default.
const miterLimit = 4

// slanted draws a line of which some run is along no axis.
func (b *Buffer) slanted(way []drawing.Point, width float64, stroke drawing.Stroke, gaps []float64, closed bool) {
	half := max(width, 1) / 2
	b.shape.reset()
	count := len(way)
	last := count - 1
	if closed {
		last = count
	}
	phase := 0.0
	for i := 0; i < last; i++ {
		from, to := way[i], way[(i+1)%count]
		length := math.Hypot(to.X-from.X, to.Y-from.Y)
		if length == 0 {
			continue
		}
		if gaps != nil {
			start, end := b.within(from, to, width)
			step := drawing.Point{X: (to.X - from.X) / length, Y: (to.Y - from.Y) / length}
			b.pieces(gaps, phase, start*length, end*length, func(a, z float64) {
				b.shape.quad(along(from, step, a), along(from, step, z), half)
			})
			phase += length
			continue
		}
		b.shape.quad(from, to, half)
		if i < last-1 || closed {
			b.shape.corner(from, to, way[(i+2)%count], half)
		}
	}
	b.fill(stroke.Colour)
}

func along(p, step drawing.Point, length float64) drawing.Point {
	return drawing.Point{X: p.X + step.X*length, Y: p.Y + step.Y*length}
}

// quad adds a run of a line as a rectangle.
func (s *shape) quad(from, to drawing.Point, half float64) {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length == 0 {
		return
	}
	nx, ny := -(to.Y-from.Y)/length*half, (to.X-from.X)/length*half
	s.to(from.X+nx, from.Y+ny)
	s.to(from.X-nx, from.Y-ny)
	s.to(to.X-nx, to.Y-ny)
	s.to(to.X+nx, to.Y+ny)
	s.turn()
	s.close()
}

// corner fills the wedge that two runs leave open on the outer side of the corner.
func (s *shape) corner(from, at, to drawing.Point, half float64) {
	ax, ay := unit(at.X-from.X, at.Y-from.Y)
	bx, by := unit(to.X-at.X, to.Y-at.Y)
	turn := ax*by - ay*bx
	if turn == 0 || (bx == 0 && by == 0) {
		return
	}
	side := half
	if turn > 0 {
		side = -half
	}
	first := drawing.Point{X: at.X - ay*side, Y: at.Y + ax*side}
	second := drawing.Point{X: at.X - by*side, Y: at.Y + bx*side}
	// The tip lies on the bisector, at half/cos(angle/2) from the corner.
	cos := math.Sqrt(max((1+ax*bx+ay*by)/2, 0))
	wedge := [4]drawing.Point{at, first, second, second}
	count := 3
	if cos > 1.0/miterLimit {
		mx, my := unit(-(ay + by), ax+bx)
		wedge[2], count = drawing.Point{X: at.X + mx*side/cos, Y: at.Y + my*side/cos}, 4
	}
	for _, p := range wedge[:count] {
		s.to(p.X, p.Y)
	}
	s.turn()
	s.close()
}

// turn makes the contour that is not closed yet turn the one way that all parts of
// a line turn, so that they fill as one where they overlap.
func (s *shape) turn() {
	contour := s.points[s.start():]
	area := 0.0
	for i, p := range contour {
		q := contour[(i+1)%len(contour)]
		area += p.X*q.Y - q.X*p.Y
	}
	if area < 0 {
		slices.Reverse(contour)
	}
}

func unit(x, y float64) (float64, float64) {
	length := math.Hypot(x, y)
	if length == 0 {
		return 0, 0
	}
	return x / length, y / length
}

// within returns the part of a run that can be seen, as two fractions of it
// (Liang and Barsky 1984, from memory).
func (b *Buffer) within(from, to drawing.Point, margin float64) (start, end float64) {
	start, end = 0, 1
	edge := func(step, room float64) {
		switch t := room / step; {
		case step == 0:
			if room < 0 {
				end = start
			}
		case step < 0:
			start = max(start, t)
		default:
			end = min(end, t)
		}
	}
	edge(from.X-to.X, from.X+margin)
	edge(to.X-from.X, float64(b.width)+margin-from.X)
	edge(from.Y-to.Y, from.Y+margin)
	edge(to.Y-from.Y, float64(b.height)+margin-from.Y)
	return start, max(start, end)
}
