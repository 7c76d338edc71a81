package scene

import (
	"context"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/app/session"
	"bellout/assets"
	"bellout/graphs/layout"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// day and night are palettes for tests; the window has its own.
var (
	day = Palette{
		Ground: drawing.RGB(0xE8E3D8), Box: drawing.RGB(0xFCFAF5), Ink: drawing.RGB(0x1B2226), Soft: drawing.RGB(0x4F5A62), Line: drawing.RGB(0xC4BCAC), Accent: drawing.RGB(0x0A5960),
		OnTint: drawing.RGB(0xFFFFFF), Bad: drawing.RGB(0xA3201A), Warn: drawing.RGB(0x7A4E00), Red: drawing.RGB(0xB3211B), Black: drawing.RGB(0x1B2226),
		Paths: [PathKinds]color.NRGBA{drawing.RGB(0x9CC9C6), drawing.RGB(0xE0A08A), drawing.RGB(0x8FB5E0), drawing.RGB(0x9CCB8C), drawing.RGB(0xD8B84A), drawing.RGB(0xC3A2DC)},
	}
	night = Palette{
		Ground: drawing.RGB(0x101517), Box: drawing.RGB(0x212A2E), Ink: drawing.RGB(0xF0ECE3), Soft: drawing.RGB(0xB4BDC0), Line: drawing.RGB(0x46535A), Accent: drawing.RGB(0x74CFC8),
		OnTint: drawing.RGB(0x0D1416), Bad: drawing.RGB(0xFF9184), Warn: drawing.RGB(0xF2C264), Red: drawing.RGB(0xFF8175), Black: drawing.RGB(0xF0ECE3),
		Paths: [PathKinds]color.NRGBA{drawing.RGB(0x2A5F62), drawing.RGB(0x7A3F2C), drawing.RGB(0x2C5484), drawing.RGB(0x36682C), drawing.RGB(0x6E5A14), drawing.RGB(0x5C3D78)},
	}
)

var background = context.Background()

// demo is Lantern Lock as it was found, on a desk, with its plan. It is made
// once: nothing changes it.
var demo = sync.OnceValues(func() (session.View, *layout.Plan) {
	folder, err := os.MkdirTemp("", "chart")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "lock.bellout")
	content, err := tables.ReadFS(background, assets.Demo(assets.AsFound), "the demo machine")
	must(err)
	file, err := store.Create(path)
	must(err)
	edit, err := content.EditFor(file.Machine())
	must(err)
	must(file.Do(edit))
	must(file.Close())
	d := session.New(session.Options{})
	d.Open(path, must)
	defer d.Close()
	return d.View(), placed(d.Machine())
})

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func placed(m *model.Machine) *layout.Plan {
	plan, err := layout.Compute(background, m, layout.Options{Measure: measure})
	must(err)
	return plan
}

func measure(text string, size float64, bold bool) float64 {
	if bold {
		return drawing.Measure(text, size, drawing.Bold)
	}
	return drawing.Measure(text, size, drawing.Regular)
}

func demoScene() *Scene {
	view, plan := demo()
	return New(plan, view)
}

// paint draws a frame into a buffer.
func paint(s *Scene, f *Frame, pixels float64) *screen.Buffer {
	var b screen.Buffer
	b.Begin(int(f.Width*pixels), int(f.Height*pixels), f.Palette.Ground, f.Scale*pixels, -f.Origin.X*f.Scale*pixels, -f.Origin.Y*f.Scale*pixels)
	s.Draw(&b, f)
	return &b
}

func save(t testing.TB, b *screen.Buffer, path string) {
	t.Helper()
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := png.Encode(file, b.Image()); err != nil {
		t.Fatal(err)
	}
}
