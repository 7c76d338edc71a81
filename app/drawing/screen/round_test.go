package screen

import (
	"image"
	"math"
	"testing"

	"bellout/app/drawing"

	"pgregory.net/rapid"
)

func TestBoxesLieOnPixels(t *testing.T) {
	b := frame(40, 40)
	b.Rectangle(box(10.2, 10.2, 29.8, 19.7), 0, drawing.Stroke{}, black)
	if ink, area := dark(b); ink != 200 || area != image.Rect(10, 10, 30, 20) {
		t.Errorf("a box covers %g pixels in %v", ink, area)
	}
	b = frame(40, 40)
	b.Rectangle(box(30, 20, 10, 10), 0, line(2), none) // corners the other way about
	if ink, area := dark(b); ink != 2*(22+22+8+8) || area != image.Rect(9, 9, 31, 21) {
		t.Errorf("a frame covers %g pixels in %v", ink, area)
	}
	b = frame(40, 40)
	b.Rectangle(box(10, 10, 10, 10), 0, drawing.Stroke{}, black) // far away boxes stay visible
	if ink, _ := dark(b); ink != 1 {
		t.Errorf("a box of no size covers %g pixels", ink)
	}
}

// A rounded box covers its area less the corners, whether its corners come from
// stamps or, larger, from the rasteriser, and its frame covers the rest.
func TestRoundBoxesCoverTheirArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := float64(rapid.IntRange(5, 20).Draw(t, "x")), float64(rapid.IntRange(5, 20).Draw(t, "y"))
		w, h := float64(rapid.IntRange(10, 160).Draw(t, "w")), float64(rapid.IntRange(10, 160).Draw(t, "h"))
		radius := rapid.Float64Range(1, 60).Draw(t, "radius")
		width := float64(2 * rapid.IntRange(0, 3).Draw(t, "half line"))
		b := frame(200, 200)
		if width > 0 {
			b.Rectangle(box(x, y, x+w, y+h), radius, line(width), black)
		} else {
			b.Rectangle(box(x, y, x+w, y+h), radius, drawing.Stroke{}, black)
		}
		r := min(radius, w/2, h/2)
		outer := r + width/2
		want := (w+width)*(h+width) - (4-math.Pi)*outer*outer
		if ink, _ := dark(b); math.Abs(ink-want) > 3+0.01*want {
			t.Fatalf("%g pixels, want %g", ink, want)
		}
	})
}

func TestARoundFrameIsOpen(t *testing.T) {
	b := frame(60, 60)
	b.Rectangle(box(10, 10, 50, 40), 6, line(2), none)
	if got := b.Image().RGBAAt(30, 25); got.G != 255 {
		t.Errorf("its middle is %v", got)
	}
	outer := 42*32 - (4-math.Pi)*7*7
	inner := 38*28 - (4-math.Pi)*5*5
	if ink, area := dark(b); math.Abs(ink-(outer-inner)) > 3 || area != image.Rect(9, 9, 51, 41) {
		t.Errorf("%g pixels in %v, want %g", ink, area, outer-inner)
	}
}

func TestCirclesCoverTheirArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(1, 60).Draw(t, "radius")
		width := rapid.SampledFrom([]float64{0, 1, 2.5, 6}).Draw(t, "width")
		b := frame(160, 160)
		want := math.Pi * radius * radius
		if width == 0 {
			b.Circle(at(rapid.Float64Range(70, 90).Draw(t, "x"), 80.3), radius, drawing.Stroke{}, black)
		} else {
			b.Circle(at(80.7, 79.1), radius, line(width), none)
			outer, inner := radius+width/2, max(radius-width/2, 0)
			want = math.Pi * (outer*outer - inner*inner)
		}
		if ink, _ := dark(b); math.Abs(ink-want) > 0.05*want+1.5 {
			t.Fatalf("%g pixels, want %g", ink, want)
		}
	})
}

func TestCirclesAtTheEdgeAreCut(t *testing.T) {
	for _, radius := range []float64{6, 40} {
		b := frame(100, 100)
		b.Circle(at(0, 100), radius, drawing.Stroke{}, black)
		want := math.Pi * radius * radius / 4
		if ink, _ := dark(b); math.Abs(ink-want) > 0.03*want+1 {
			t.Errorf("a quarter of a circle of %g covers %g, want %g", radius, ink, want)
		}
	}
}

func TestPolygonsFill(t *testing.T) {
	b := frame(100, 300)
	b.Polygon([]drawing.Point{at(10, 10), at(90, 10), at(50, 290)}, drawing.Stroke{}, black) // over several bands
	if ink, _ := dark(b); math.Abs(ink-80*280/2) > 10 {
		t.Errorf("a triangle covers %g, want %d", ink, 80*280/2)
	}
	for y := 12; y < 240; y++ { // no seam between bands
		if got := b.Image().RGBAAt(50, y); got.G != 0 {
			t.Fatalf("row %d of the triangle is %v", y, got)
		}
	}
	b = frame(50, 50)
	b.Polygon([]drawing.Point{at(-1e6, -1e6), at(1e6, -1e6), at(1e6, 1e6), at(-1e6, 1e6)}, drawing.Stroke{}, black)
	if ink, _ := dark(b); ink != 2500 {
		t.Errorf("a polygon around all of it covers %g of 2500", ink)
	}
}
