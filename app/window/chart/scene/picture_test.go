package scene

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"bellout/app/drawing/screen"
	"bellout/app/session"
	"bellout/app/window/chart/scene/specimen"
	"bellout/faults"
	"bellout/model"
)

var update = flag.Bool("update", false, "take what is drawn now as right")

func specimenScene(t testing.TB) *Scene {
	t.Helper()
	m := model.NewMachine()
	if err := m.Apply(specimen.Edit()); err != nil {
		t.Fatal(err)
	}
	view := session.View{
		Machine: m, Report: &faults.Report{Findings: []faults.Finding{{Rule: "open", Wires: []string{specimen.Blamed}, Message: "W9 is open"}}},
		Proven: map[string]bool{}, Against: map[string]int{specimen.Blamed: 0},
	}
	for _, name := range specimen.Proven {
		view.Proven[name] = true
	}
	return New(placed(m), view)
}

// TestPictures compares what is drawn with pictures that somebody looked at. They
// are drawn without Fyne and hold on every machine. A plan that stands elsewhere
// changes them: look at them, and approve with -update.
func TestPictures(t *testing.T) {
	s := specimenScene(t)
	for name, palette := range map[string]*Palette{"day": &day, "night": &night} {
		for _, pixels := range []float64{1, 2} {
			f := &Frame{
				Camera: Fitted(s.Bounds(), 680, 400, 10, 1), Width: 680, Height: 400, Palette: palette, Lit: &Lit{},
				Tips: [2]model.TerminalRef{{Device: "G1", Mark: "+"}, {Device: "X1", Mark: "1"}},
			}
			compare(t, fmt.Sprintf("specimen-%s-%v.png", name, pixels), paint(s, f, pixels))
		}
		f := &Frame{
			Camera: Fitted(s.Bounds(), 420, 260, 10, 1), Width: 420, Height: 260, Palette: palette,
			Selected: session.Selection{Kind: session.Device, Name: "M1"},
		}
		f.Lit = s.Light(f.Selected, session.Highlight{Strands: []session.Strand{
			{Kind: "feed", Wires: []string{"W9", "W6"}}, {Kind: "return", Wires: []string{"W12", "W5"}}, {Kind: "mains", Wires: []string{"W1", "W2"}},
		}})
		compare(t, "paths-"+name+".png", paint(s, f, 1))
		f.Lit, f.Legend, f.Overview = s.Light(session.Selection{}, session.Highlight{}), true, true
		f.Width, f.Height, f.Selected = 520, 300, session.Selection{}
		f.Camera = Camera{Scale: 2}.CentredOn(middle(s.Bounds()), 520, 300)
		compare(t, "legend-"+name+".png", paint(s, f, 1))
	}
}

func compare(t *testing.T, name string, b *screen.Buffer) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		var out bytes.Buffer
		if err := png.Encode(&out, b.Image()); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatalf("%v; look at what is drawn and approve it with -update", err)
	}
	defer file.Close()
	want, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	if off := different(b.Image(), want); off > 0 {
		failed := filepath.Join("testdata", "failed")
		if err := os.MkdirAll(failed, 0o755); err != nil {
			t.Fatal(err)
		}
		save(t, b, filepath.Join(failed, name))
		t.Errorf("%s: %d pixels differ; what was drawn lies in testdata/failed", name, off)
	}
}

// different counts pixels that differ by more than rounding.
func different(a, b image.Image) int {
	if a.Bounds() != b.Bounds() {
		return a.Bounds().Dx() * a.Bounds().Dy()
	}
	count := 0
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			r, g, bl, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			far := func(u, v uint32) bool { return max(u, v)-min(u, v) > 0x0300 }
			if far(r, r2) || far(g, g2) || far(bl, b2) {
				count++
			}
		}
	}
	return count
}
