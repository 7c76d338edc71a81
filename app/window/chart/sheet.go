package chart

import (
	"image"
	"image/color"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/app/window/look"
	"bellout/model"
)

// sheet is the widget: one picture that is drawn anew when something changed, and
// over it a few marks that follow the pointer, for which the picture stays.
type sheet struct {
	widget.BaseWidget
	chart   *Chart
	palette scene.Palette
	bare    screen.Buffer // as long as there is no chart
	moving  scene.Moving
	raster  *canvas.Raster
	// proposed says where the next probe puts the tips; a test of pictures, which
	// must not change with the planner, puts another in its place.
	proposed func(*session.Session) [2]model.TerminalRef

	hover   scene.Hit
	focused bool
	shift   bool
	press   press
	hasty   bool        // the wheel goes on to turn
	turned  time.Time   // when it did last
	resting *time.Timer // until it rests
}

var (
	_ desktop.Mouseable  = (*sheet)(nil)
	_ desktop.Hoverable  = (*sheet)(nil)
	_ desktop.Cursorable = (*sheet)(nil)
	_ desktop.Keyable    = (*sheet)(nil)
	_ fyne.Scrollable    = (*sheet)(nil)
	_ fyne.Draggable     = (*sheet)(nil)
	_ fyne.Tabbable      = (*sheet)(nil)
)

func newSheet(c *Chart) *sheet {
	s := &sheet{chart: c, palette: paletteOf(look.Now()), hover: noHit, proposed: proposed}
	s.raster = canvas.NewRaster(s.draw)
	s.ExtendBaseWidget(s)
	return s
}

var noHit = scene.Hit{Box: -1, Port: -1, Wire: -1}

// extent is the size of the sheet.
func (s *sheet) extent() (width, height float64) {
	size := s.Size()
	return float64(max(size.Width, 1)), float64(max(size.Height, 1))
}

// redraw has the picture drawn with the next repaint of the window; several calls
// before it cost one drawing.
func (s *sheet) redraw() {
	s.raster.Refresh()
	s.Refresh()
}

// draw is the picture's generator; width and height are pixels.
func (s *sheet) draw(width, height int) image.Image {
	w, h := s.extent()
	pixels := float64(width) / w
	c := s.chart
	if c.scene == nil {
		s.bare.Begin(width, height, s.palette.Ground, 1, 0, 0)
		return s.bare.Image()
	}
	picture := s.moving.Frame(c.scene, s.frame(w, h), width, height, pixels).Image()
	if s.moving.Coarse {
		s.sharpen()
	}
	return picture
}

// rest is how long a wheel has to stand still to have been let go.
const rest = 120 * time.Millisecond

// sharpen draws sharply what was drawn in haste, once the wheel rests.
func (s *sheet) sharpen() {
	if s.resting != nil {
		s.resting.Stop()
	}
	s.resting = time.AfterFunc(rest, func() {
		fyne.Do(func() {
			s.hasty = false
			s.redraw()
		})
	})
}

func (s *sheet) frame(w, h float64) *scene.Frame {
	c := s.chart
	d := c.room.Session
	f := &scene.Frame{
		Camera: c.keep.camera, Width: w, Height: h, Palette: &s.palette, Lit: c.lit,
		Selected: d.Selection(), Tips: [2]model.TerminalRef{d.Tip(session.Red), d.Tip(session.Black)},
		Proposed: s.proposed(d), Overview: s.overview(w, h), Gone: c.highlight().Gone,
		Hasty: s.hasty,
	}
	f.Legend = s.showsLegend(f)
	return f
}

// showsLegend says whether the legend is shown: as the person decided, and until
// then where it covers nothing of the whole chart.
func (s *sheet) showsLegend(f *scene.Frame) bool {
	keep := s.chart.keep
	if keep.decided {
		return keep.legend
	}
	return keep.whole && s.chart.scene.LegendFits(f)
}

// proposed is where the next probe would put the tips.
func proposed(d *session.Session) [2]model.TerminalRef {
	if next := d.View().Next; next != nil && next.Probe != nil {
		return [2]model.TerminalRef{next.Probe.Red, next.Probe.Black}
	}
	return [2]model.TerminalRef{}
}

// overview says whether the overview is shown: when a good part of the chart is
// out of sight, and there is room for it.
func (s *sheet) overview(w, h float64) bool {
	if s.chart.scene == nil || w < 470 || h < 300 {
		return false
	}
	seen, all := s.chart.keep.camera.Seen(w, h), s.chart.scene.Bounds()
	overlap := func(a, b, c, d float64) float64 { return max(min(b, d)-max(a, c), 0) }
	share := overlap(seen.Min.X, seen.Max.X, all.Min.X, all.Max.X) / max(all.Max.X-all.Min.X, 1) *
		overlap(seen.Min.Y, seen.Max.Y, all.Min.Y, all.Max.Y) / max(all.Max.Y-all.Min.Y, 1)
	return share < 0.85
}

// refit shows the whole chart.
func (s *sheet) refit() {
	if s.chart.scene == nil {
		return
	}
	w, h := s.extent()
	s.chart.keep.camera = scene.Fitted(s.chart.scene.Bounds(), w, h, 14, nearest)
}

// CreateRenderer lays the marks over the picture.
func (s *sheet) CreateRenderer() fyne.WidgetRenderer {
	r := &sheetRenderer{sheet: s}
	for range len(r.marks) {
		mark := canvas.NewRectangle(color.Transparent)
		mark.Hide()
		r.marks[len(r.objects)] = mark
		r.objects = append(r.objects, mark)
	}
	r.focus = canvas.NewRectangle(color.Transparent)
	r.focus.StrokeWidth = 2
	r.objects = append([]fyne.CanvasObject{s.raster}, append(r.objects, r.focus)...)
	r.Refresh()
	return r
}

// sheetRenderer places the marks: those round what the pointer is over, and the
// outline of a box that is being dragged.
type sheetRenderer struct {
	sheet   *sheet
	marks   [9]*canvas.Rectangle
	focus   *canvas.Rectangle
	objects []fyne.CanvasObject
}

func (r *sheetRenderer) MinSize() fyne.Size           { return fyne.NewSize(160, 120) }
func (r *sheetRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *sheetRenderer) Destroy()                     {}

func (r *sheetRenderer) Layout(size fyne.Size) {
	before := r.sheet.raster.Size()
	r.sheet.raster.Resize(size)
	r.focus.Resize(size)
	if before != size {
		r.sheet.resized(before)
	}
	r.sheet.chart.say()
}

// resized goes on to show the whole chart, or what it showed. When a page about
// what is selected opens beside the sheet, the whole chart would become too small
// to read: then what is selected stays in sight at the scale it has, with all that
// stands out where that costs little.
func (s *sheet) resized(before fyne.Size) {
	c := s.chart
	if c.scene == nil {
		return
	}
	const page = 100 // a page beside the sheet takes more, a hand on the window's edge less
	selection := c.room.Session.Selection()
	paged := before.Width-s.Size().Width > page && selection.Kind != session.Nothing
	// The paths of a failed device lead all over the chart: they are seen whole.
	device, _ := c.room.Session.Machine().Device(selection.Name)
	wide := selection.Kind == session.Device && device.Health == model.HealthFailed
	switch {
	case c.keep.whole && (wide || !paged):
		s.refit()
		return
	case !paged:
		return
	}
	box, there := c.scene.Place(selection)
	if !there || !inside(box, c.keep.camera.Seen(float64(before.Width), float64(before.Height))) {
		return
	}
	w, h := s.extent()
	camera := c.keep.camera
	if lit, on := c.scene.LitBounds(c.lit); on {
		if fitted := scene.Fitted(lit, w, h, 30, camera.Scale); fitted.Scale >= 0.75*camera.Scale {
			c.keep.camera = fitted
			return
		}
	}
	if !inside(box, camera.Seen(w, h)) {
		c.keep.camera = camera.CentredOn(drawing.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}, w, h)
	}
}

func (r *sheetRenderer) Refresh() {
	s := r.sheet
	r.focus.StrokeColor = color.Transparent
	if s.focused {
		r.focus.StrokeColor = s.palette.Accent
	}
	r.focus.Refresh()
	used := 0
	add := func(box drawing.Box, fill, line color.Color, width float32) {
		if used == len(r.marks) {
			return
		}
		mark := r.marks[used]
		used++
		camera := s.chart.keep.camera
		from, to := camera.ToScreen(box.Min), camera.ToScreen(box.Max)
		// What reaches beyond the sheet would be drawn over the rest of the window.
		w, h := s.extent()
		from.X, from.Y, to.X, to.Y = max(from.X, 0), max(from.Y, 0), min(to.X, w), min(to.Y, h)
		if to.X <= from.X || to.Y <= from.Y {
			used--
			return
		}
		mark.FillColor, mark.StrokeColor, mark.StrokeWidth, mark.CornerRadius = fill, line, width, 2
		mark.Move(fyne.NewPos(float32(from.X), float32(from.Y)))
		mark.Resize(fyne.NewSize(float32(to.X-from.X), float32(to.Y-from.Y)))
		mark.Show()
		mark.Refresh()
	}
	s.eachMark(add)
	for _, mark := range r.marks[used:] {
		if mark.Visible() {
			mark.Hide()
		}
	}
}

// eachMark calls add with each mark, in units of the chart.
func (s *sheet) eachMark(add func(box drawing.Box, fill, line color.Color, width float32)) {
	c := s.chart
	if c.scene == nil {
		return
	}
	accent := s.palette.Accent
	px := 1 / c.keep.camera.Scale
	if box, dragged := s.press.ghost(c.scene); dragged {
		veil := accent
		veil.A = 40
		add(box, veil, accent, 2)
		return
	}
	veil := accent
	veil.A = 90
	switch s.hover.Kind {
	case session.Terminal:
		if at, there := c.scene.Port(s.hover.Name); there {
			add(around(at, at, max(6, 7*px)), color.Transparent, accent, 2)
		}
	case session.Device:
		box := c.scene.BoxOf(s.hover.Box)
		add(around(box.Min, box.Max, 3*px), color.Transparent, accent, 1.5)
	case session.Wire:
		runs := c.scene.Runs(s.hover.Wire)
		for i := 1; i < len(runs); i++ {
			add(around(runs[i-1], runs[i], 4*px), veil, color.Transparent, 0)
		}
	}
}

func around(a, b drawing.Point, by float64) drawing.Box {
	return drawing.Box{
		Min: drawing.Point{X: min(a.X, b.X) - by, Y: min(a.Y, b.Y) - by},
		Max: drawing.Point{X: max(a.X, b.X) + by, Y: max(a.Y, b.Y) + by},
	}
}
