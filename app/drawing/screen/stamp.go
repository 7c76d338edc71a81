package screen

import "math"

// A chart has thousands of terminals and boxes of a few sizes: discs, rings and
// round corners are kept as dots, as glyphs are.

// stampKey names one. Lengths are in eighths of a pixel.
type stampKey struct {
	radius, line int // line is 0 for a filled one
	x, y         int // of the centre past a pixel, for discs and rings
	corner       int // 0, or which one of a box: 1 upper left, then clockwise
}

// stamp is one, ready to be laid over pixels.
type stamp struct {
	dots   []dot
	bounds bounds
}

// Larger ones are filled each time. maxStamps bounds what is kept.
const (
	largestStamp = 32
	maxStamps    = 4096
	eighths      = 8
)

// stampOf returns a stamp, drawn into the shape around the origin at first use.
func (b *Buffer) stampOf(key stampKey, x0, y0, x1, y1 int, draw func()) *stamp {
	if found := b.stamps[key]; found != nil {
		return found
	}
	if b.stamps == nil || len(b.stamps) >= maxStamps {
		b.stamps = map[stampKey]*stamp{}
	}
	b.shape.reset()
	draw()
	b.shape.close()
	made := new(stamp)
	made.dots, made.bounds = dotted(nil, b.covered(x0, y0, x1, y1), x0, y0, x1-x0)
	b.stamps[key] = made
	return made
}

// disc lays a disc, or a ring where line is not 0, over the pixels, its centre to
// the quarter of a pixel.
func (b *Buffer) disc(x, y, radius, line float64, k *ink) {
	x, y = math.Floor(x*4+0.5)/4, math.Floor(y*4+0.5)/4
	column, row := math.Floor(x), math.Floor(y)
	key := stampKey{radius: eighth(radius), line: eighth(line), x: eighth(x - column), y: eighth(y - row)}
	reach := int(math.Ceil(radius+line/2)) + 1
	made := b.stampOf(key, -reach, -reach, reach+1, reach+1, func() {
		r, w := float64(key.radius)/eighths, float64(key.line)/eighths
		b.shape.ring(float64(key.x)/eighths, float64(key.y)/eighths, r, w)
	})
	b.blit(made.dots, made.bounds, int(column), int(row), k)
}

func eighth(v float64) int { return int(v*eighths + 0.5) }

// ring adds a disc, or a ring where line is not 0.
func (s *shape) ring(x, y, radius, line float64) {
	s.arc(x, y, radius+line/2, 0, 2*math.Pi)
	s.close()
	if line > 0 && radius > line/2 {
		s.arc(x, y, radius-line/2, 2*math.Pi, 0)
		s.close()
	}
}

// cornered is roundBox made of blocks and stamps.
func (b *Buffer) cornered(x0, y0, x1, y1 int, radius float64, line int, k *ink) {
	n := max(int(math.Ceil(radius)), line)
	if line == 0 {
		b.block(x0+n, y0, x1-n, y1, k)
		b.block(x0, y0+n, x0+n, y1-n, k)
		b.block(x1-n, y0+n, x1, y1-n, k)
	} else {
		b.block(x0+n, y0, x1-n, y0+line, k)
		b.block(x0+n, y1-line, x1-n, y1, k)
		b.block(x0, y0+n, x0+line, y1-n, k)
		b.block(x1-line, y0+n, x1, y1-n, k)
	}
	for corner := 1; corner <= 4; corner++ {
		x, y, left, top := x0, y0, 0, 0
		if corner == 2 || corner == 3 {
			x, left = x1, -n
		}
		if corner >= 3 {
			y, top = y1, -n
		}
		key := stampKey{radius: eighth(radius), line: line * eighths, corner: corner}
		made := b.stampOf(key, left, top, left+n, top+n, func() {
			// A box far larger than the corner, which lies at the origin.
			size := 4 * float64(n)
			dx, dy := 0.0, 0.0
			if left < 0 {
				dx = -size
			}
			if top < 0 {
				dy = -size
			}
			r, w := float64(key.radius)/eighths, float64(line)
			b.shape.rounded(dx, dy, dx+size, dy+size, r, false)
			if line > 0 {
				b.shape.rounded(dx+w, dy+w, dx+size-w, dy+size-w, max(r-w, 0), true)
			}
		})
		b.blit(made.dots, made.bounds, x, y, k)
	}
}
