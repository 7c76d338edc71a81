package screen

import (
	"bytes"
	"image/color"
	"testing"

	"pgregory.net/rapid"
)

// A picture that is shifted holds what it held, as far as that is still on it.
func TestShiftMovesWhatThereIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width, height := rapid.IntRange(1, 12).Draw(t, "width"), rapid.IntRange(1, 12).Draw(t, "height")
		right, down := rapid.IntRange(-14, 14).Draw(t, "right"), rapid.IntRange(-14, 14).Draw(t, "down")
		b := new(Buffer)
		b.Begin(width, height, white, 1, 0, 0)
		value := func(x, y int) color.RGBA { return color.RGBA{R: uint8(x), G: uint8(y), B: 7, A: 255} }
		for y := range height {
			for x := range width {
				b.Image().SetRGBA(x, y, value(x, y))
			}
		}
		b.Shift(right, down)
		for y := range height {
			for x := range width {
				if x-right < 0 || x-right >= width || y-down < 0 || y-down >= height {
					continue
				}
				if got, want := b.Image().RGBAAt(x, y), value(x-right, y-down); got != want {
					t.Fatalf("%d,%d of %d by %d shifted by %d,%d is %v, want %v", x, y, width, height, right, down, got, want)
				}
			}
		}
		if seen := b.Seen(); seen.Min.X != -float64(right) || seen.Min.Y != -float64(down) {
			t.Fatalf("shifted by %d, %d one sees %v", right, down, seen)
		}
	})
}

// Parts that are drawn apart and put together are the picture drawn at once.
func TestPutAndResume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const width, height = 40, 30
		cut := rapid.IntRange(1, height-1).Draw(t, "cut")
		whole, upper, lower := new(Buffer), new(Buffer), new(Buffer)
		whole.Begin(width, height, white, 1, 0, 0)
		upper.Begin(width, cut, white, 1, 0, 0)
		lower.Begin(width, height-cut, white, 1, 0, -float64(cut))
		whole2 := new(Buffer)
		whole2.Begin(width, height, black, 1, 0, 0)
		for _, b := range []*Buffer{whole, upper, lower} {
			b.Rectangle(box(3, 2, 30, 25), 0, line(3), red)
		}
		whole2.Put(upper, 0, 0)
		whole2.Put(lower, 0, cut)
		whole2.Put(lower, 5*width, cut) // beside it
		if !bytes.Equal(whole.Image().Pix, whole2.Image().Pix) {
			t.Fatalf("cut at %d the parts are not the whole", cut)
		}
		lower.Resume(whole2)
		if !bytes.Equal(whole.Image().Pix, lower.Image().Pix) || lower.Image().Rect != whole.Image().Rect {
			t.Fatal("a frame that goes on from another's picture does not show it")
		}
	})
}

// Thin dashes of whole pixels take a way of their own, with the same pixels.
func TestEvenDashesAreDashes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on, off := rapid.IntRange(1, 7).Draw(t, "on"), rapid.IntRange(1, 7).Draw(t, "off")
		whole := func(name string) float64 { return float64(rapid.IntRange(-30, 90).Draw(t, name)) }
		x0, y0 := whole("x"), whole("y")
		x1, y1 := whole("to x"), y0
		if rapid.Bool().Draw(t, "upright") {
			x1, y1 = x0, whole("to y")
		}
		if x0 == x1 && y0 == y1 {
			return // a run of no length has no dashes
		}
		phase := float64(rapid.IntRange(0, 40).Draw(t, "phase"))
		k := inkOf(rapid.SampledFrom([]color.NRGBA{black, {R: 200, G: 40, B: 40, A: 120}}).Draw(t, "colour"))
		quick, plain := frame(64, 64), frame(64, 64)
		quick.dashes(x0, y0, x1, y1, 1, []float64{float64(on), float64(off)}, phase, &k)
		// Of four lengths it is the same pattern, which takes the general way.
		plain.dashes(x0, y0, x1, y1, 1, []float64{float64(on), float64(off), float64(on), float64(off)}, phase, &k)
		if !bytes.Equal(quick.Image().Pix, plain.Image().Pix) {
			t.Fatalf("%d on, %d off from %v,%v to %v,%v at %v differ", on, off, x0, y0, x1, y1, phase)
		}
	})
}

// Stretched, a picture shows coarsely what is drawn at the new scale: the middle of
// a shape is there, and what the picture did not hold is background.
func TestStretchShowsTheSamePlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.Float64Range(0.25, 4).Draw(t, "scale")
		x, y := rapid.Float64Range(-60, 60).Draw(t, "x"), rapid.Float64Range(-60, 60).Draw(t, "y")
		b, from := new(Buffer), frame(80, 60)
		from.Rectangle(box(20, 10, 50, 40), 0, line(0), red)
		b.Stretch(from, black, scale, x, y)
		for row := range 60 {
			for column := range 80 {
				p := at((float64(column)+0.5-x)/scale, (float64(row)+0.5-y)/scale) // on the drawing
				want := white
				switch edge := 1.0; {
				case p.X < -edge || p.Y < -edge || p.X > 80+edge || p.Y > 60+edge:
					want = black
				case p.X > 20+edge && p.X < 50-edge && p.Y > 10+edge && p.Y < 40-edge:
					want = red
				case p.X < edge || p.Y < edge || p.X > 80-edge || p.Y > 60-edge,
					p.X > 20-edge && p.X < 50+edge && p.Y > 10-edge && p.Y < 40+edge:
					continue // at an edge either may be
				}
				if got := b.Image().RGBAAt(column, row); got.R != want.R || got.G != want.G {
					t.Fatalf("at scale %v the pixel %d,%d, of %v, is %v, want %v", scale, column, row, p, got, want)
				}
			}
		}
	})
}
