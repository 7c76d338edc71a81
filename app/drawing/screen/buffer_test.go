package screen

import (
	"image"
	"image/color"
	"math"
	"testing"

	"bellout/app/drawing"

	"pgregory.net/rapid"
)

var (
	white = color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	black = color.NRGBA{A: 255}
	red   = color.NRGBA{R: 255, A: 255}
	none  = color.NRGBA{}
)

func at(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) drawing.Box { return drawing.Box{Min: at(x0, y0), Max: at(x1, y1)} }

func line(width float64, dash ...float64) drawing.Stroke {
	return drawing.Stroke{Colour: black, Width: width, Dash: dash}
}

// frame begins a white picture of one pixel a unit.
func frame(width, height int) *Buffer {
	b := new(Buffer)
	b.Begin(width, height, white, 1, 0, 0)
	return b
}

// dark returns how much ink lies on a picture, in whole black pixels, and its box.
func dark(b *Buffer) (ink float64, box image.Rectangle) {
	picture := b.Image()
	width := picture.Rect.Dx()
	for i := 1; i < len(picture.Pix); i += 4 {
		if g := picture.Pix[i]; g < 255 {
			ink += float64(255-g) / 255
			x, y := i/4%width, i/4/width
			box = box.Union(image.Rect(x, y, x+1, y+1))
		}
	}
	return ink, box
}

func TestBeginFillsAndReuses(t *testing.T) {
	b := frame(37, 11)
	before := b.Image()
	for y := range 11 {
		for x := range 37 {
			if got := b.Image().RGBAAt(x, y); got != (color.RGBA{255, 255, 255, 255}) {
				t.Fatalf("pixel %d,%d is %v", x, y, got)
			}
		}
	}
	b.Begin(37, 11, color.NRGBA{R: 1, G: 2, B: 3, A: 9}, 1, 0, 0)
	if b.Image() != before {
		t.Error("a frame of the same size has another picture")
	}
	if got := b.Image().RGBAAt(36, 10); got != (color.RGBA{1, 2, 3, 255}) {
		t.Errorf("the background is %v", got)
	}
	b.Begin(0, -5, white, 1, 0, 0) // a window that has no size yet
	if b.Image().Rect.Dx() != 1 {
		t.Errorf("a picture of no size is %v", b.Image().Rect)
	}
}

func TestSeenFollowsTheView(t *testing.T) {
	var b Buffer
	b.Begin(200, 100, white, 4, -40, 20)
	if got, want := b.Seen(), box(10, -5, 60, 20); got != want {
		t.Errorf("seen is %v, want %v", got, want)
	}
}

// blend is the plain way of laying a colour over another.
func blend(under, over uint8, cover float64) float64 {
	return float64(under) + (float64(over)-float64(under))*cover
}

func TestInkMixesAsItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		byteOf := func(name string) uint8 { return rapid.Uint8().Draw(t, name) }
		under := color.NRGBA{R: byteOf("r"), G: byteOf("g"), B: byteOf("b"), A: 255}
		c := color.NRGBA{R: byteOf("R"), G: byteOf("G"), B: byteOf("B"), A: byteOf("A")}
		b := new(Buffer)
		b.Begin(4, 4, under, 1, 0, 0)
		b.Rectangle(box(1, 1, 3, 3), 0, drawing.Stroke{}, c)
		got := b.Image().RGBAAt(1, 1)
		for _, v := range [][3]uint8{{under.R, c.R, got.R}, {under.G, c.G, got.G}, {under.B, c.B, got.B}} {
			if want := blend(v[0], v[1], float64(c.A)/255); math.Abs(want-float64(v[2])) > 2 {
				t.Fatalf("%d over %d with alpha %d is %d, want %.1f", v[1], v[0], c.A, v[2], want)
			}
		}
		if got.A != 255 {
			t.Fatalf("one sees through the picture: alpha %d", got.A)
		}
		if outside := b.Image().RGBAAt(0, 0); outside.R != under.R {
			t.Fatalf("ink beside the box: %v", outside)
		}
	})
}

// Nothing that is drawn, wherever and however, may write beside the picture or
// stop the program; what lies wholly outside leaves no ink.
func TestAnythingGoes(t *testing.T) {
	number := rapid.OneOf(
		rapid.Float64Range(-100, 200),
		rapid.SampledFrom([]float64{0, 50, -1, 1e9, -1e9, 1e300, -1e300, math.Inf(1), math.Inf(-1), math.NaN(), math.SmallestNonzeroFloat64}),
	)
	point := rapid.Custom(func(t *rapid.T) drawing.Point { return at(number.Draw(t, "x"), number.Draw(t, "y")) })
	rapid.Check(t, func(t *rapid.T) {
		b := new(Buffer)
		b.Begin(rapid.IntRange(1, 90).Draw(t, "width"), rapid.IntRange(1, 90).Draw(t, "height"), white, number.Draw(t, "scale"), number.Draw(t, "dx"), number.Draw(t, "dy"))
		for range rapid.IntRange(1, 8).Draw(t, "things") {
			stroke := drawing.Stroke{Colour: color.NRGBA{A: rapid.Uint8().Draw(t, "alpha")}, Width: number.Draw(t, "stroke"), Dash: rapid.SliceOfN(number, 0, 3).Draw(t, "dash")}
			fill := color.NRGBA{R: 255, A: rapid.Uint8().Draw(t, "fill")}
			switch rapid.IntRange(0, 5).Draw(t, "kind") {
			case 0:
				b.Line(rapid.SliceOfN(point, 0, 5).Draw(t, "points"), stroke)
			case 1:
				b.Polygon(rapid.SliceOfN(point, 0, 5).Draw(t, "points"), stroke, fill)
			case 2:
				b.Rectangle(drawing.Box{Min: point.Draw(t, "min"), Max: point.Draw(t, "max")}, number.Draw(t, "radius"), stroke, fill)
			case 3:
				b.Circle(point.Draw(t, "centre"), number.Draw(t, "radius"), stroke, fill)
			case 4:
				b.Text(drawing.Text{At: point.Draw(t, "at"), Text: rapid.String().Draw(t, "text"), Size: number.Draw(t, "size"),
					Face: drawing.Face(rapid.IntRange(-1, 5).Draw(t, "face")), Align: drawing.Align(rapid.IntRange(0, 3).Draw(t, "align")),
					Upward: rapid.Bool().Draw(t, "upward"), Colour: fill})
			case 5:
				b.Picture(image.NewGray(image.Rect(0, 0, 3, 2)), drawing.Box{Min: point.Draw(t, "min"), Max: point.Draw(t, "max")})
			}
		}
		for i := 3; i < len(b.Image().Pix); i += 4 {
			if b.Image().Pix[i] != 255 {
				t.Fatal("one sees through the picture")
			}
		}
	})
}
