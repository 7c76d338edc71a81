package book

import (
	"context"
	"fmt"
	"image/color"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/graphs/layout"
	"bellout/model"
)

// chartScales are how many millimetres a unit of the chart may take: the names of
// wires, nine units high, are then 1.8 mm, about 5 points, or a little less where
// that saves a page; smaller is hard to read without a lens (common practice).
var chartScales = []float64{0.2, 0.195, 0.19, 0.185, 0.18}

// chartPlan is the chart cut into pages.
type chartPlan struct {
	plan     *layout.Plan
	scene    *scene.Scene
	tiles    []*tile
	scale    float64
	overview bool // a page that shows how the others lie stands before them
}

// tile is the part of the chart that one page shows.
type tile struct {
	number int         // from 1
	part   drawing.Box // of the chart
	on     drawing.Box // where it lies on the paper, as large as it is
	width  float64     // of the page
	height float64
	scale  float64
}

// placeChart works out where everything stands, and where to cut.
func (f *facts) placeChart(ctx context.Context) error {
	plan, err := f.plan(ctx)
	if err != nil {
		return err
	}
	proven := map[string]bool{}
	for i := range f.wires {
		proven[f.wires[i].Name] = f.wires[i].Proven
	}
	view := session.View{Machine: f.machine(), Report: f.report, Proven: proven, Against: f.report.Blamed()}
	for _, scale := range chartScales {
		c := &chartPlan{plan: plan, scale: scale}
		c.cut(f.job.Paper)
		if f.chart == nil || len(c.tiles) < len(f.chart.tiles) {
			f.chart = c
		}
	}
	f.chart.scene = scene.New(plan, view)
	return nil
}

// plan places the machine, with the boxes that somebody dragged where they are.
func (f *facts) plan(ctx context.Context) (*layout.Plan, error) {
	options := layout.Options{
		Measure: func(text string, size float64, bold bool) float64 {
			if bold {
				return drawing.Measure(text, size, drawing.Bold)
			}
			return drawing.Measure(text, size, drawing.Regular)
		},
		Progress: func(done float64, _ string) { f.progress("Chart", int(100*done), 100) },
	}
	return layout.Arrange(ctx, f.machine(), options)
}

// chartPalette is the chart's on paper.
var chartPalette = func() scene.Palette {
	p := scene.Palette{
		Ground: paper, Box: paper, Ink: ink, Soft: soft, Line: hair, Accent: ink, OnTint: paper,
		Bad: alarm, Warn: drawing.RGB(0x8A5A00), Red: alarm, Black: ink,
	}
	for i := range p.Paths {
		p.Paths[i] = shade
	}
	return p
}()

// makeChart draws the chart.
func makeChart(ctx context.Context, f *facts, s *Sheet) error {
	c := f.chart
	if c.overview {
		f.drawOverview(s)
	}
	for i, t := range c.tiles {
		if err := ctx.Err(); err != nil {
			return err
		}
		f.progress("Chart pages", i, len(c.tiles))
		p := s.newPage(true)
		p.zones = true
		if len(c.tiles) > 1 {
			p.part = fmt.Sprintf("part %d of %d", t.number, len(c.tiles))
		}
		p.anchor(chartAnchor(t.number), t.on.Min.X, t.on.Min.Y, "")
		f.drawTile(p, t)
		f.drawExits(p, t)
		p.legend()
	}
	for i := range c.plan.Boxes {
		b := &c.plan.Boxes[i]
		if t := c.tileAt(middleOf(b.Rect)); t != nil {
			at := t.paper(middleOf(b.Rect))
			page := s.pages[len(s.pages)-len(c.tiles)+t.number-1]
			page.anchor(onChart(b.Device), at.X, max(page.area.Min.Y, at.Y-10), "")
		}
	}
	return nil
}

func onChart(device string) string { return "on the chart " + device }

func middleOf(r layout.Rect) drawing.Point {
	return at((r.Min.X+r.Max.X)/2, (r.Min.Y+r.Max.Y)/2)
}

// paper returns where a point of the chart lies on the page.
func (t *tile) paper(p drawing.Point) drawing.Point {
	return at(t.on.Min.X+(p.X-t.part.Min.X)*t.scale, t.on.Min.Y+(p.Y-t.part.Min.Y)*t.scale)
}

// drawTile draws the part of the chart of one page.
func (f *facts) drawTile(p *page, t *tile) {
	p.do(func(pen drawing.Pen, _ *Bound) {
		// As sharp as at a zoom of 1.5: lines, flags and plates keep the size that they
		// have there. What the scene takes in beyond its frame stays within the part.
		const zoom, aside = 1.5, 8.0
		w := &window{pen: pen, part: t.part, on: t.on.Min, scale: t.scale}
		for _, label := range f.chart.plan.Labels { // places that are kept free for texts
			slack := 0.15 * (label.Max.Y - label.Min.Y)
			if b := box(label.Min.X, label.Min.Y+slack, label.Max.X, label.Max.Y-slack); w.holdsBox(b) {
				w.words = append(w.words, b)
			}
		}
		frame := scene.Frame{
			Camera: scene.Camera{Origin: at(t.part.Min.X+aside/zoom, t.part.Min.Y+aside/zoom), Scale: zoom},
			Width:  (t.part.Max.X-t.part.Min.X)*zoom - 2*aside, Height: (t.part.Max.Y-t.part.Min.Y)*zoom - 2*aside,
			Palette: &chartPalette,
		}
		f.chart.scene.Draw(w, &frame)
		w.settle()
	})
	if len(f.chart.tiles) > 1 {
		p.rectangle(t.on, 0, 0.1, hair, noFill)
	}
}

// tileAt returns the tile that shows a point of the chart; nil if none does.
func (c *chartPlan) tileAt(p drawing.Point) *tile {
	for _, t := range c.tiles {
		if p.X >= t.part.Min.X && p.X < t.part.Max.X && p.Y >= t.part.Min.Y && p.Y < t.part.Max.Y {
			return t
		}
	}
	return nil
}

// reference returns page and zone of a point of the chart, once pages are
// numbered; empty where the chart is not in the run.
func (c *chartPlan) reference(p drawing.Point) func(*Bound) string {
	t := c.tileAt(p)
	if t == nil {
		return func(*Bound) string { return "" }
	}
	zone := zoneAt(t.width, t.height, t.paper(p))
	return func(b *Bound) string {
		page, there := b.pageOf(chartAnchor(t.number))
		if !there {
			return ""
		}
		return fmt.Sprintf("%d/%s", page, zone)
	}
}

// chartCell leads to a wire on the chart: to its name where that has a place.
func (f *facts) chartCell(wire string) cell {
	at, there := f.chart.plan.Wire(wire)
	if !there {
		return cell{}
	}
	route := &f.chart.plan.Wires[at]
	point := drawing.Point(route.Points[0])
	if route.Label >= 0 {
		point = middleOf(f.chart.plan.Labels[route.Label].Rect)
	}
	c := cell{late: f.chart.reference(point)}
	if t := f.chart.tileAt(point); t != nil {
		c.link = chartAnchor(t.number)
	}
	return c
}

// deviceCell leads to a device on the chart.
func (f *facts) deviceCell(device string) cell {
	at, there := f.chart.plan.Box(device)
	if !there {
		return cell{}
	}
	return cell{late: f.chart.reference(middleOf(f.chart.plan.Boxes[at].Rect)), link: onChart(device)}
}

// reference of a terminal: that of its port.
func (f *facts) terminalReference(end layout.End, ref model.TerminalRef) func(*Bound) string {
	port := &f.chart.plan.Boxes[end.Box].Ports[end.Port]
	return f.chart.reference(drawing.Point(port.At))
}

// legend says at the foot of a page how the chart is drawn.
func (p *page) legend() {
	y := chartRoom(p.width, p.height).Max.Y + legendRoom - 1
	x := chartRoom(p.width, p.height).Min.X
	sample := func(width float64, c color.NRGBA, words string, dash ...float64) {
		p.line(x, y-0.7, x+9, y-0.7, width, c, dash...)
		p.text(x+10.5, y, tinySize, drawing.Regular, words, 80)
		x += 14 + drawing.Measure(words, tinySize, drawing.Regular)
	}
	sample(0.27, ink, "a reading proves it")
	sample(0.27, ink, "not proven", 0.8, 0.53)
	sample(0.4, ink, "rail, return, earth, mains")
	mark := x + 4.5
	sample(0.27, ink, "part of a fault")
	p.line(mark-0.8, y-1.5, mark+0.8, y+0.1, 0.22, alarm)
	p.line(mark-0.8, y+0.1, mark+0.8, y-1.5, 0.22, alarm)
	p.text(x, y, tinySize, drawing.Regular, "Beads on a line: colour not known. At the edge: wire, far end, page/zone where that is.", p.area.Max.X-x)
}
