package scene

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/app/session"
	"bellout/faults"
	"bellout/graphs/layout"
	"bellout/model"
)

// strewn is a chart of so many wires of three runs each over a sheet as large as
// a window, every second one proven, in the colours of the trade: the case in
// which all of them are seen at once.
func strewn(t testing.TB, wires int, width, height float64) *Scene {
	t.Helper()
	m := model.NewMachine()
	plan := &layout.Plan{Bounds: layout.Rect{Max: layout.Point{X: width, Y: height}}}
	proven := map[string]bool{}
	edit := model.Edit{What: "strewn"}
	random := uint64(1)
	next := func(below float64) float64 {
		random = random*6364136223846793005 + 1442695040888963407
		return float64(random>>40) / (1 << 24) * below
	}
	devices := (wires + 9) / 10
	for i := range devices {
		ref := fmt.Sprintf("X%d", i+1)
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: ref, Kind: model.KindTerminalBlock, Health: model.HealthOK}})
		at := layout.Point{X: next(width - 30), Y: next(height - 30)}
		box := layout.Box{Device: ref, Kind: model.KindTerminalBlock, Shape: layout.Strip, Rect: layout.Rect{Min: at, Max: layout.Point{X: at.X + 24, Y: at.Y + 24}}, Layer: -1}
		box.Body = box.Rect
		for j := range 20 {
			mark := fmt.Sprint(j + 1)
			edit.Changes = append(edit.Changes, model.Change{After: model.Terminal{Device: ref, Mark: mark, Role: model.RolePass}})
			box.Ports = append(box.Ports, layout.Port{Terminal: model.TerminalRef{Device: ref, Mark: mark}, At: at, Far: at, Label: -1})
		}
		plan.Boxes = append(plan.Boxes, box)
	}
	colours := []model.Colour{"RD", "BK", "WH", "BU", "GNYE", "OG", "YE", "BN"}
	for i := range wires {
		name := fmt.Sprintf("W%d", i+1)
		from, to := layout.End{Box: i / 10, Port: i % 10}, layout.End{Box: (i/10 + 7) % devices, Port: 10 + i%10}
		edit.Changes = append(edit.Changes, model.Change{After: model.Wire{
			Name: name, From: plan.Boxes[from.Box].Ports[from.Port].Terminal, To: plan.Boxes[to.Box].Ports[to.Port].Terminal,
			Colour: colours[i%len(colours)], Basis: model.BasisSeen,
		}})
		proven[name] = i%2 == 0
		a, z := layout.Point{X: next(width), Y: next(height)}, layout.Point{Y: next(height)}
		z.X = min(max(a.X-300+next(600), 0), width) // as long as wires are in a cabinet: a third of the window
		x := (a.X + z.X) / 2
		plan.Wires = append(plan.Wires, layout.Route{Wire: name, From: from, To: to, Points: []layout.Point{a, {X: x, Y: a.Y}, {X: x, Y: z.Y}, z}, Label: -1})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return New(plan, session.View{Machine: m, Report: &faults.Report{}, Proven: proven})
}

// BenchmarkPanFrame draws one frame after another while the chart is panned, of
// which the kept picture is shifted; BenchmarkZoomFrame while it is zoomed, which
// draws all of it each time, sharply; in the window frames of a turning wheel that
// take too long are coarse, and hasty measures those. Beside it stands the least that there is to do: the ground, and one bare line of two
// pixels for every wire, seen or not. The ratio is what status, colours, devices
// and names cost on top of that (below 1: what leaving out saves).
func BenchmarkPanFrame(b *testing.B) {
	for _, wires := range []int{1000, 10000, 50000} {
		b.Run(fmt.Sprintf("wires-%d", wires), func(b *testing.B) {
			s := strewn(b, wires, 1400, 900)
			pan(b, s, Camera{Scale: 1})
		})
	}
	b.Run("demo-all-of-it", func(b *testing.B) {
		s := demoScene()
		pan(b, s, Fitted(s.Bounds(), 1400, 900, 14, 1.5))
	})
	b.Run("demo-near", func(b *testing.B) {
		s := demoScene()
		camera := Camera{Scale: 1}
		at, _ := s.Place(session.Selection{Kind: session.Device, Name: "J7"})
		pan(b, s, camera.CentredOn(middle(at), 1400, 900))
	})
}

// BenchmarkZoomFrame: see BenchmarkPanFrame.
func BenchmarkZoomFrame(b *testing.B) {
	for name, hasty := range map[string]bool{"wires-1000": false, "wires-10000": false, "wires-50000": false, "hasty-wires-50000": true} {
		b.Run(name, func(b *testing.B) {
			wires, _ := strconv.Atoi(name[strings.LastIndexByte(name, '-')+1:])
			s := strewn(b, wires, 1400, 900)
			factor := 1.01
			frames(b, s, Camera{Scale: 1}, hasty, func(c Camera) Camera {
				if c.Scale > 1.03 || c.Scale < 0.97 {
					factor = 1 / factor
				}
				return c.Zoomed(drawing.Point{X: 700, Y: 450}, factor)
			})
		})
	}
}

func pan(b *testing.B, s *Scene, camera Camera) {
	step := 5.0 // pixels a frame: a hand that moves at 300 pixels a second
	frames(b, s, camera, false, func(c Camera) Camera {
		if math.Abs(c.Origin.X-camera.Origin.X)*c.Scale > 60 {
			step = -step
		}
		return c.Panned(step, step/5)
	})
}

func frames(b *testing.B, s *Scene, camera Camera, hasty bool, next func(Camera) Camera) {
	var moving Moving
	var other screen.Buffer
	f := &Frame{Camera: camera, Width: 1400, Height: 900, Palette: &day, Lit: &Lit{}}
	moving.Frame(s, f, 1400, 900, 1)
	f.Hasty = hasty
	var ours, bare time.Duration
	for b.Loop() {
		f.Camera = next(f.Camera)
		t0 := time.Now()
		moving.Frame(s, f, 1400, 900, 1)
		t1 := time.Now()
		other.Begin(1400, 900, day.Ground, f.Scale, -f.Origin.X*f.Scale, -f.Origin.Y*f.Scale)
		for i := range s.wires {
			other.Line(s.wires[i].points, drawing.Stroke{Colour: day.Ink, Width: f.px(2)})
		}
		ours, bare = ours+t1.Sub(t0), bare+time.Since(t1)
	}
	b.ReportMetric(float64(ours.Microseconds())/1000/float64(b.N), "ms/frame")
	b.ReportMetric(float64(ours)/float64(bare), "x-bare-lines")
}

// BenchmarkHit points at places all over a chart of 10,000 wires, and beside it
// the plain way, which asks everything on the chart.
func BenchmarkHit(b *testing.B) {
	s := strewn(b, 10000, 5600, 3600)
	whole := s.grid
	plainly := &grid{columns: 1, rows: 1, first: []int32{0, int32(len(everything(s)))}, items: everything(s)}
	at := drawing.Point{X: 17, Y: 23}
	var ours, plain time.Duration
	for b.Loop() {
		at.X, at.Y = math.Mod(at.X+137, 5600), math.Mod(at.Y+89, 3600)
		t0 := time.Now()
		got := s.At(at, 1)
		t1 := time.Now()
		s.grid = plainly
		want := s.At(at, 1)
		s.grid = whole
		ours, plain = ours+t1.Sub(t0), plain+time.Since(t1)
		if got.Kind != want.Kind {
			b.Fatalf("at %v lies %+v, a plain search finds %+v", at, got, want)
		}
	}
	b.ReportMetric(float64(plain)/float64(ours), "x-plain")
}
