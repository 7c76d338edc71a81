package book

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"bellout/app/drawing/screen"
	"bellout/assets"
)

// TestPictures holds a few pages, small, against pictures that were looked at and
// approved. BOOK_APPROVE=1 writes them anew: look at them before they are kept.
func TestPictures(t *testing.T) {
	for _, name := range []string{"doorcard", "connectors", "fusecheck"} {
		made, err := Make(t.Context(), Job{Title: "Lantern Lock", Machine: demo(t, assets.AsRepaired), State: "as repaired", Now: noon}, nil, name)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, filepath.Join("testdata", name+".png"), picture(Bind(made...), 1))
	}
}

// picture draws a page with 2.5 pixels a millimetre.
func picture(b *Bound, page int) *image.RGBA {
	const scale = 2.5
	width, height := b.Size(page)
	var buffer screen.Buffer
	buffer.Begin(int(width*scale), int(height*scale), color.NRGBA{R: 255, G: 255, B: 255, A: 255}, scale, 0, 0)
	b.Draw(page, &buffer)
	return buffer.Image()
}

func compare(t *testing.T, path string, got *image.RGBA) {
	t.Helper()
	if os.Getenv("BOOK_APPROVE") != "" {
		var out bytes.Buffer
		if err := png.Encode(&out, got); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	want, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	if want.Bounds() != got.Bounds() {
		t.Fatalf("%s: the page is %v, the approved picture %v", path, got.Bounds(), want.Bounds())
	}
	// A line that moved changes thousands of pixels much; another version of the
	// rasteriser changes many a little.
	different := 0
	for y := range got.Bounds().Dy() {
		for x := range got.Bounds().Dx() {
			r, g, b, _ := want.At(x, y).RGBA()
			c := got.RGBAAt(x, y)
			if apart(r>>8, c.R)+apart(g>>8, c.G)+apart(b>>8, c.B) > 120 {
				different++
			}
		}
	}
	if different > 150 {
		t.Errorf("%s: %d pixels differ from the approved picture", path, different)
	}
}

func apart(a uint32, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }
