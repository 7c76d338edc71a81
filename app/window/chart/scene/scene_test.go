package scene

import (
	"context"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bellout/app/desk"
	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/assets"
	"bellout/graphs/place"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// day and night are palettes for tests; the window has its own.
var (
	day = Palette{
		Ground: rgb(0xE8E3D8), Box: rgb(0xFCFAF5), Ink: rgb(0x1B2226), Soft: rgb(0x4F5A62), Line: rgb(0xC4BCAC), Accent: rgb(0x0A5960),
		OnTint: rgb(0xFFFFFF), Bad: rgb(0xA3201A), Warn: rgb(0x7A4E00), Red: rgb(0xB3211B), Black: rgb(0x1B2226),
		Paths: [PathKinds]color.NRGBA{rgb(0x9CC9C6), rgb(0xE0A08A), rgb(0x8FB5E0), rgb(0x9CCB8C), rgb(0xD8B84A), rgb(0xC3A2DC)},
	}
	night = Palette{
		Ground: rgb(0x101517), Box: rgb(0x212A2E), Ink: rgb(0xF0ECE3), Soft: rgb(0xB4BDC0), Line: rgb(0x46535A), Accent: rgb(0x74CFC8),
		OnTint: rgb(0x0D1416), Bad: rgb(0xFF9184), Warn: rgb(0xF2C264), Red: rgb(0xFF8175), Black: rgb(0xF0ECE3),
		Paths: [PathKinds]color.NRGBA{rgb(0x2A5F62), rgb(0x7A3F2C), rgb(0x2C5484), rgb(0x36682C), rgb(0x6E5A14), rgb(0x5C3D78)},
	}
)

var background = context.Background()

// demo is Lantern Lock as it was found, on a desk, with its plan. It is made
// once: nothing changes it.
var demo = sync.OnceValues(func() (desk.View, *place.Plan) {
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
	d := desk.New(desk.Options{})
	d.Open(path, must)
	defer d.Close()
	return d.View(), placed(d.Machine())
})

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func placed(m *model.Machine) *place.Plan {
	plan, err := place.Compute(background, m, place.Options{Measure: measure})
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
