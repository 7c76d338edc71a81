package screen

import (
	"math"

	"bellout/app/drawing"
)

// dashed returns the dash pattern, or nil for a line that is drawn whole: one
// without gaps, with lengths that are none, or so small on the screen that its
// gaps would only flicker, or wider than the picture.
func (b *Buffer) dashed(dash []float64, width float64) []float64 {
	if width > float64(b.width+b.height) {
		return nil
	}
	period := 0.0
	for _, length := range dash {
		if !(length >= 0) || math.IsInf(length, 1) {
			return nil
		}
		period += length
	}
	if len(dash) < 2 || period*b.scale < 3 {
		return nil
	}
	return dash
}

// pieces calls draw for each piece of ink between from and to, which are distances
// along a line whose pattern has run for phase already, all in pixels.
func (b *Buffer) pieces(gaps []float64, phase, from, to float64, draw func(from, to float64)) {
	period := 0.0
	for _, length := range gaps {
		period += length * b.scale
	}
	if len(gaps)%2 == 1 { // ink and gap change places in every second round
		period *= 2
	}
	// Reckoned from from on, and not further than one can see: far away a dash would
	// be lost in the rounding of its place.
	at, end := -math.Mod(phase+from, period), min(to-from, 4*float64(b.width+b.height))
	for i := 0; at < end; i++ {
		length := gaps[i%len(gaps)] * b.scale
		if i%2 == 0 && at+length > 0 && length > 0 {
			draw(from+max(at, 0), from+min(at+length, end))
		}
		at += length
	}
}

// uprightDashes draws a line whose runs lie along the axes in pieces.
func (b *Buffer) uprightDashes(way []drawing.Point, thick int, gaps []float64, closed bool, k *ink) {
	phase := 0.0
	for i := range way {
		from, to := way[i], way[(i+1)%len(way)]
		if i == len(way)-1 && !closed {
			return
		}
		b.dashes(from.X, from.Y, to.X, to.Y, thick, gaps, phase, k)
		phase += math.Abs(to.X-from.X) + math.Abs(to.Y-from.Y)
	}
}

// dashes draws one run along an axis in pieces. Only what is on the picture is
// cut up, however long the run.
func (b *Buffer) dashes(x0, y0, x1, y1 float64, thick int, gaps []float64, phase float64, k *ink) {
	half := float64(thick) / 2
	if on, period, even := b.even(gaps); thick == 1 && even {
		b.evenDashes(x0, y0, x1, y1, on, period, px(math.Mod(phase, float64(period))), k)
		return
	}
	if math.Abs(y1-y0) < math.Abs(x1-x0) {
		top := px(y0 - half)
		from, to := window(x0, x1, float64(b.width))
		b.pieces(gaps, phase, from, to, func(from, to float64) {
			if x1 < x0 {
				from, to = -to, -from
			}
			b.block(px(x0+from), top, px(x0+to), top+thick, k)
		})
		return
	}
	left := px(x0 - half)
	from, to := window(y0, y1, float64(b.height))
	b.pieces(gaps, phase, from, to, func(from, to float64) {
		if y1 < y0 {
			from, to = -to, -from
		}
		b.block(left, px(y0+from), left+thick, px(y0+to), k)
	})
}

// even says that ink and gap take whole pixels, and how many.
func (b *Buffer) even(gaps []float64) (on, period int, even bool) {
	if len(gaps) != 2 {
		return 0, 0, false
	}
	inked, bare := gaps[0]*b.scale, gaps[1]*b.scale
	on, period = px(inked), px(inked)+px(bare)
	return on, period, on > 0 && period > on && math.Abs(inked-float64(on)) < 1e-9 && math.Abs(bare-float64(period-on)) < 1e-9
}

// evenDashes draws one run a pixel wide along an axis in pieces of whole pixels,
// as dashes does, in one pass: charts of very many wires are made of these.
func (b *Buffer) evenDashes(x0, y0, x1, y1 float64, on, period, phase int, k *ink) {
	level := math.Abs(y1-y0) < math.Abs(x1-x0)
	from, to, across, room, beside, stride, step := y0, y1, px(x0-0.5), b.height, b.width, 1, b.width
	if level {
		from, to, across, room, beside, stride, step = x0, x1, px(y0-0.5), b.width, b.height, b.width, 1
	}
	if across < 0 || across >= beside {
		return
	}
	start, end, back := px(from), px(to), false
	if back = end < start; back { // the pattern runs the other way, from the pixel before
		start, end = end, start
	}
	low, high := max(start, 0), min(end, room)
	if low >= high {
		return
	}
	at := (phase + low - start) % period
	if back {
		at = (phase + end - 1 - low) % period
	}
	for i := across*stride + low*step; low < high; low, i = low+1, i+step {
		if at < on {
			if k.opaque {
				b.pixels[i] = k.pixel
			} else {
				b.pixels[i] = over(k.spread, b.pixels[i], k.cover(255))
			}
		}
		switch {
		case back && at == 0:
			at = period - 1
		case back:
			at--
		case at == period-1:
			at = 0
		default:
			at++
		}
	}
}

// window returns which distances along a run from a to b lie between 0 and size.
func window(a, b, size float64) (from, to float64) {
	if b >= a {
		return max(0, -a), min(b-a, size-a)
	}
	return max(0, a-size), min(a-b, a)
}
