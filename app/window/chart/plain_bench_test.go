package chart

import (
	"image/color"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/software"

	"bellout/app/drawing/screen"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/faults"
	"bellout/graphs/layout"
	"bellout/model"
)

// BenchmarkPanAgainstOneLineEach draws a frame of 1,000 three-run wires, and beside
// it the plain way: one canvas.Line for each run, painted by the toolkit's
// software canvas. Both draw every run; the ratio is what one picture drawn in one
// go is worth. (The toolkit's GL canvas, at 10,000 such objects, was measured at
// 4 to 6 frames a second, one picture at 39 to 56.)
func BenchmarkPanAgainstOneLineEach(b *testing.B) {
	const wires, width, height = 1000, 1400, 900
	m := model.NewMachine()
	plan := &layout.Plan{Bounds: layout.Rect{Max: layout.Point{X: width, Y: height}}}
	random := uint64(1)
	next := func(below float64) float64 {
		random = random*6364136223846793005 + 1442695040888963407
		return float64(random>>40) / (1 << 24) * below
	}
	edit := model.Edit{What: "strewn", Changes: []model.Change{
		{After: model.Device{Ref: "X1", Kind: model.KindTerminalBlock, Health: model.HealthOK}},
		{After: model.Terminal{Device: "X1", Mark: "1"}}, {After: model.Terminal{Device: "X1", Mark: "2"}},
	}}
	one, two := model.TerminalRef{Device: "X1", Mark: "1"}, model.TerminalRef{Device: "X1", Mark: "2"}
	plan.Boxes = []layout.Box{{Device: "X1", Rect: layout.Rect{Max: layout.Point{X: 20, Y: 20}}, Ports: []layout.Port{{Terminal: one, Label: -1}, {Terminal: two, Label: -1}}}}
	proven := map[string]bool{}
	var objects []fyne.CanvasObject
	for i := range wires {
		name := "W" + string(rune('A'+i/676)) + string(rune('A'+i/26%26)) + string(rune('A'+i%26))
		edit.Changes = append(edit.Changes, model.Change{After: model.Wire{Name: name, From: one, To: two, Colour: "RD", Basis: model.BasisSeen}})
		proven[name] = true
		a := layout.Point{X: next(width), Y: next(height)}
		z := layout.Point{X: next(width), Y: next(height)}
		x := (a.X + z.X) / 2
		points := []layout.Point{a, {X: x, Y: a.Y}, {X: x, Y: z.Y}, z}
		plan.Wires = append(plan.Wires, layout.Route{Wire: name, To: layout.End{Port: 1}, Points: points, Label: -1})
		for j := 1; j < len(points); j++ {
			line := canvas.NewLine(color.NRGBA{R: 200, A: 255})
			line.StrokeWidth = 2
			line.Position1 = fyne.NewPos(float32(points[j-1].X), float32(points[j-1].Y))
			line.Position2 = fyne.NewPos(float32(points[j].X), float32(points[j].Y))
			objects = append(objects, line)
		}
	}
	check(b, m.Apply(edit))
	s := scene.New(plan, session.View{Machine: m, Report: &faults.Report{}, Proven: proven})
	palette := scene.Palette{Ground: color.NRGBA{R: 240, G: 240, B: 240, A: 255}}
	f := &scene.Frame{Camera: scene.Camera{Scale: 1}, Width: width, Height: height, Palette: &palette, Lit: &scene.Lit{}}
	var buffer screen.Buffer

	sheet := container.NewWithoutLayout(objects...)
	plainCanvas := software.NewCanvas()
	plainCanvas.SetPadded(false)
	plainCanvas.SetContent(sheet)
	plainCanvas.Resize(fyne.NewSize(width, height))

	var ours, plain time.Duration
	for b.Loop() {
		t0 := time.Now()
		buffer.Begin(width, height, palette.Ground, 1, 0, 0)
		s.Draw(&buffer, f)
		t1 := time.Now()
		picture := plainCanvas.Capture()
		ours, plain = ours+t1.Sub(t0), plain+time.Since(t1)
		if buffer.Image().Bounds() != picture.Bounds() {
			b.Fatalf("%v and %v", buffer.Image().Bounds(), picture.Bounds())
		}
	}
	b.ReportMetric(float64(ours.Microseconds())/1000/float64(b.N), "ms/frame")
	b.ReportMetric(float64(plain)/float64(ours), "x-line-each")
}
