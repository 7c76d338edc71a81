package specimen

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"strconv"
	"testing"

	"bellout/app/drawing"
)

func number(v float64) string { return strconv.Itoa(int(v)) }

// greys returns a picture's lightness, each pixel the mean of the 3 by 3 around
// it, so that a line half a pixel aside weighs little and a letter out of place
// much.
func greys(picture image.Image) (soft []float64, width int) {
	bounds := picture.Bounds()
	width = bounds.Dx()
	hard := make([]float64, width*bounds.Dy())
	for y := range bounds.Dy() {
		for x := range width {
			r, g, b, _ := picture.At(bounds.Min.X+x, bounds.Min.Y+y).RGBA()
			hard[y*width+x] = (0.3*float64(r) + 0.59*float64(g) + 0.11*float64(b)) / 257
		}
	}
	soft = make([]float64, len(hard))
	for y := 1; y < bounds.Dy()-1; y++ {
		for x := 1; x < width-1; x++ {
			for _, dy := range []int{-width, 0, width} {
				i := y*width + x + dy
				soft[y*width+x] += (hard[i-1] + hard[i] + hard[i+1]) / 9
			}
		}
	}
	return soft, width
}

// apart returns how many of a hundred pixels of two pictures differ by more than
// a quarter of the way from black to white, and the mean difference of all.
func apart(t testing.TB, a, b image.Image) (percent, mean float64) {
	if a.Bounds().Size() != b.Bounds().Size() {
		t.Fatalf("pictures of %v and %v", a.Bounds().Size(), b.Bounds().Size())
	}
	first, _ := greys(a)
	second, _ := greys(b)
	for i := range first {
		difference := math.Abs(first[i] - second[i])
		mean += difference
		if difference > 64 {
			percent++
		}
	}
	return 100 * percent / float64(len(first)), mean / float64(len(first))
}

// What two pictures of the same page may differ by: rounding of lines to pixels on
// the screen and other ways of smoothing. A line of text that is 1 mm aside is
// beyond it, as TestPicturesTellApart shows.
const (
	mostPercent = 0.05
	mostMean    = 2.5
)

func TestThreePlacesOnePicture(t *testing.T) {
	window := onScreen(Draw)
	for name, picture := range map[string]image.Image{"PDF": onPaper(t, Draw), "SVG": inSVG(t, Draw)} {
		percent, mean := apart(t, window, picture)
		t.Logf("%s: %.3f %% of pixels differ, mean %.2f", name, percent, mean)
		if percent > mostPercent || mean > mostMean {
			t.Errorf("%s: %.3f %% of pixels differ, at most %g; mean %.2f, at most %g", name, percent, mostPercent, mean, mostMean)
		}
	}
}

// moved is a pen that does one thing wrong.
type moved struct{ drawing.Pen }

func (m moved) Text(text drawing.Text) {
	if text.Size > 3 && text.Size < 6 {
		text.At.X++
	}
	m.Pen.Text(text)
}

// The comparison is no use if it cannot tell a wrong page.
func TestPicturesTellApart(t *testing.T) {
	right := onScreen(Draw)
	for name, wrong := range map[string]func(drawing.Pen){
		"text 1 mm aside":  func(pen drawing.Pen) { Draw(moved{pen}) },
		"no shapes":        func(pen drawing.Pen) { lines(pen); words(pen) },
		"no lines":         func(pen drawing.Pen) { shapes(pen); words(pen) },
		"an empty page":    func(drawing.Pen) {},
		"without a letter": func(pen drawing.Pen) { lines(pen); shapes(pen) },
	} {
		if percent, mean := apart(t, right, onScreen(wrong)); percent <= mostPercent && mean <= mostMean {
			t.Errorf("%s goes unnoticed: %.3f %%, mean %.2f", name, percent, mean)
		}
	}
}

var update = flag.Bool("update", false, "write the approved picture anew")

// The window's page against a picture that somebody looked at and approved. It is
// compared softly: other processors round otherwise.
func TestApprovedPicture(t *testing.T) {
	const file = "testdata/screen.png"
	got := onScreenAt(2.5, Draw)
	if *update {
		var out bytes.Buffer
		if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, got); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if percent, mean := apart(t, load(t, file), got); percent > 0.01 || mean > 0.1 {
		t.Errorf("%.3f %% of pixels differ from %s, mean %.2f; look at it, then run with -update", percent, file, mean)
	}
}

// Hostile texts look the same everywhere too.
func TestHostileTextsLookTheSame(t *testing.T) {
	draw := func(pen drawing.Pen) {
		for i, text := range Hostile {
			at := drawing.Point{X: 4 + 76*float64(i%2), Y: 8 + 10*float64(i/2)}
			fitted := drawing.Fit(text, 4, drawing.Face(i%drawing.Faces), 72)
			pen.Text(drawing.Text{At: at, Text: fitted, Size: 4, Face: drawing.Face(i % drawing.Faces), Colour: Black})
		}
	}
	window := onScreen(draw)
	for name, picture := range map[string]image.Image{"PDF": onPaper(t, draw), "SVG": inSVG(t, draw)} {
		percent, mean := apart(t, window, picture)
		t.Logf("%s: %.3f %% of pixels differ, mean %.2f", name, percent, mean)
		if percent > mostPercent || mean > mostMean {
			t.Errorf("%s: %.3f %% of pixels differ, mean %.2f", name, percent, mean)
		}
	}
}
