package screen

import (
	"image"
	"math"
	"testing"

	"bellout/app/drawing"

	"pgregory.net/rapid"
)

func TestUprightLinesAreSharp(t *testing.T) {
	for _, c := range []struct {
		what   string
		points []drawing.Point
		stroke drawing.Stroke
		ink    float64
		box    image.Rectangle
	}{
		{"two pixels wide", []drawing.Point{at(5, 10), at(25, 10)}, line(2), 40, image.Rect(5, 9, 25, 11)},
		{"backwards", []drawing.Point{at(25, 10), at(5, 10)}, line(2), 40, image.Rect(5, 9, 25, 11)},
		{"thin lines are a pixel wide", []drawing.Point{at(10, 5), at(10, 25)}, line(0.01), 20, image.Rect(10, 5, 11, 25)},
		{"off the pixels", []drawing.Point{at(5.2, 10.3), at(24.9, 10.3)}, line(1), 20, image.Rect(5, 10, 25, 11)},
		{"a corner is filled", []drawing.Point{at(5, 10), at(20, 10), at(20, 20)}, line(4), 4*17 + 4*12 - 16, image.Rect(5, 8, 22, 20)},
		{"from outside to outside", []drawing.Point{at(-1000, 10), at(1000, 10)}, line(2), 64, image.Rect(0, 9, 32, 11)},
		{"partly outside", []drawing.Point{at(5, 0), at(25, 0)}, line(2), 20, image.Rect(5, 0, 25, 1)},
		{"outside", []drawing.Point{at(5, -9), at(25, -9)}, line(2), 0, image.Rectangle{}},
		{"no width", []drawing.Point{at(5, 10), at(25, 10)}, line(0), 0, image.Rectangle{}},
		{"one point", []drawing.Point{at(5, 10)}, line(2), 0, image.Rectangle{}},
		{"dashes", []drawing.Point{at(0, 10), at(30, 10)}, line(1, 6, 4), 18, image.Rect(0, 10, 26, 11)},
		{"dashes backwards", []drawing.Point{at(30, 10), at(0, 10)}, line(1, 6, 4), 18, image.Rect(4, 10, 30, 11)},
		{"dashes from far away", []drawing.Point{at(-1e7, 10), at(30, 10)}, line(1, 6, 4), 18, image.Rect(0, 10, 26, 11)},
		{"dashes run on round a corner", []drawing.Point{at(0, 10), at(8, 10), at(8, 30)}, line(1, 6, 4), 18, image.Rect(0, 10, 9, 28)},
		{"dashes of no length", []drawing.Point{at(0, 10), at(30, 10)}, line(1, 0, 0), 30, image.Rect(0, 10, 30, 11)},
		{"dashes too fine to be seen", []drawing.Point{at(0, 10), at(30, 10)}, line(1, 1, 1), 30, image.Rect(0, 10, 30, 11)},
	} {
		b := frame(32, 32)
		b.Line(c.points, c.stroke)
		if ink, box := dark(b); math.Abs(ink-c.ink) > 1e-9 || box != c.box {
			t.Errorf("%s: %g pixels in %v, want %g in %v", c.what, ink, box, c.ink, c.box)
		}
	}
}

// A slanted line covers its length times its width, wherever it lies and whatever
// angle it has; corners and overlaps are covered once.
func TestSlantedLinesCoverTheirArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(20, 180)
		from, to := at(place.Draw(t, "x0"), place.Draw(t, "y0")), at(place.Draw(t, "x1"), place.Draw(t, "y1"))
		width := rapid.Float64Range(1, 12).Draw(t, "width")
		length := math.Hypot(to.X-from.X, to.Y-from.Y)
		if length < 1 || from.X == to.X || from.Y == to.Y {
			return
		}
		b := frame(200, 200)
		b.Line([]drawing.Point{from, to}, line(width))
		if ink, _ := dark(b); math.Abs(ink-length*width) > 0.02*length*width+1 {
			t.Fatalf("%g pixels, want %g", ink, length*width)
		}
	})
}

func TestCornersOfSlantedLines(t *testing.T) {
	// A right angle turned by 45 degrees: two arms and a square tip, once each.
	b := frame(100, 100)
	b.Line([]drawing.Point{at(20, 70), at(50, 40), at(80, 70)}, line(8))
	arm := 30 * math.Sqrt2
	if ink, _ := dark(b); math.Abs(ink-(2*arm*8)) > 8 { // the overlap inside makes up for the tip outside
		t.Errorf("%g pixels, want %g", ink, 2*arm*8)
	}
	for _, p := range []image.Point{{50, 40}, {50, 36}, {50, 43}} {
		if got := b.Image().RGBAAt(p.X, p.Y); got.G != 0 {
			t.Errorf("the corner has a hole at %v: %v", p, got)
		}
	}
	// So sharp a corner is cut off and does not stick out of the picture.
	b = frame(200, 40)
	b.Line([]drawing.Point{at(20, 15), at(100, 20), at(20, 25)}, line(4))
	if _, box := dark(b); box.Max.X > 106 {
		t.Errorf("a sharp corner reaches %v", box)
	}
}

// A frame of lines, boxes, circles and labels allocates nothing once its glyphs
// are known.
func TestAFrameAllocatesNothing(t *testing.T) {
	ways, strokes := wires(200)
	texts := make([]drawing.Text, len(ways))
	for i := range texts {
		texts[i] = drawing.Text{At: ways[i][0], Text: "W228 → X20:1", Size: 11, Colour: black, Upward: i%3 == 0, Align: drawing.Align(i % 3)}
	}
	dash := []float64{5, 3}
	slanted := []drawing.Point{at(10, 10), at(700, 333), at(100, 800)}
	var b Buffer
	draw := func() {
		b.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
		for i, way := range ways {
			stroke := strokes[i]
			if i%4 == 0 {
				stroke.Dash = dash
			}
			b.Line(way, stroke)
			b.Circle(way[0], 3, stroke, white)
			b.Rectangle(drawing.Box{Min: way[0], Max: at(way[0].X+40, way[0].Y+60)}, float64(i%2)*4, strokes[i], white)
			b.Text(texts[i])
		}
		b.Line(slanted, line(3))
		b.Polygon(slanted, line(1, 6, 3), red)
	}
	draw()
	if count := testing.AllocsPerRun(5, draw); count > 0 {
		t.Errorf("a frame allocates %g times", count)
	}
}
