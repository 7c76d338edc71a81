package chart

import (
	"math"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
)

// press is what the pointer does while a button is down.
type press struct {
	down    bool
	button  desktop.MouseButton
	at      fyne.Position
	hit     scene.Hit
	inset   bool // it began on the overview
	moved   bool
	moving  bool // a box, not the chart
	over    bool // what it was about is not there any more
	box     int  // that the pointer took; -1
	device  string
	by      drawing.Point
	dropped bool // the box waits for the new plan where it was let go
}

// slop is how far the pointer may go between down and up and still click.
const slop = 4

// ghost is the outline of a box that is being dragged or was just let go.
func (p *press) ghost(s *scene.Scene) (drawing.Box, bool) {
	if !p.moving && !p.dropped || p.box < 0 || p.box >= len(s.Plan.Boxes) {
		return drawing.Box{}, false
	}
	box := s.BoxOf(p.box)
	box.Min.X, box.Min.Y, box.Max.X, box.Max.Y = box.Min.X+p.by.X, box.Min.Y+p.by.Y, box.Max.X+p.by.X, box.Max.Y+p.by.Y
	return box, true
}

// forget ends what the pointer was about, when another chart is there: a drag that
// goes on is about nothing then.
func (s *sheet) forget() {
	s.press.dropped, s.press.moving, s.hover = false, false, noHit
	s.press.hit, s.press.box, s.press.over = noHit, -1, true
}

// replaced finds what the pointer is about on another plan of the same machine: a
// drag goes on, however soon after the last one it began.
func (s *sheet) replaced() {
	s.hover, s.press.dropped = noHit, false
	p := &s.press
	p.hit.Box, p.hit.Port, p.hit.Wire = -1, -1, -1 // a click goes by the name
	if p.device == "" {
		return
	}
	if at, there := s.chart.scene.Plan.Box(p.device); there {
		p.box = at
		return
	}
	p.box, p.device, p.moving, p.over = -1, "", false, true
}

// MouseDown notes where a click or a drag begins.
func (s *sheet) MouseDown(e *desktop.MouseEvent) {
	s.chart.focus(s)
	at := point(e.Position)
	s.press = press{down: true, button: e.Button, at: e.Position, hit: s.under(at), box: -1}
	if s.chart.scene != nil && !s.overInset(at) {
		// From afar a box is hardly more than its terminals and their wires: whoever
		// drags on it means the box, whatever a click would mean.
		s.press.box = s.chart.scene.Under(s.chart.keep.camera.ToScene(at), s.press.hit)
		if s.press.box >= 0 {
			s.press.device = s.chart.scene.Plan.Boxes[s.press.box].Device
		}
	}
	if s.overInset(at) {
		s.press.inset = true
		s.goTo(at)
	}
}

// MouseUp clicks, if nothing was dragged.
func (s *sheet) MouseUp(e *desktop.MouseEvent) {
	p := s.press
	s.press.down = false
	if !p.down || p.moved || p.inset || p.over || e.Button != desktop.MouseButtonPrimary {
		return
	}
	switch p.hit.Kind {
	case session.Terminal:
		if e.Modifier&fyne.KeyModifierShift != 0 {
			s.chart.tip(session.Black, p.hit.Name)
		} else {
			s.chart.tip(session.Red, p.hit.Name)
		}
	default:
		s.chart.choose(p.hit.Selection())
	}
}

// Dragged moves the box that the pointer took, or the whole chart.
func (s *sheet) Dragged(e *fyne.DragEvent) {
	p := &s.press
	if !p.down && !p.moved {
		// Up comes before the end of a drag: a late move belongs to it still.
		return
	}
	camera := s.chart.keep.camera
	switch {
	case p.over:
		return
	case p.inset:
		s.goTo(point(e.Position))
		return
	case !p.moved:
		if math.Hypot(float64(e.Position.X-p.at.X), float64(e.Position.Y-p.at.Y)) < slop {
			return
		}
		p.moved = true
		p.moving = p.button == desktop.MouseButtonPrimary && p.box >= 0
		s.point(noHit)
		if !p.moving { // what was let pass as a click is made up for
			s.chart.look(camera.Panned(float64(e.Position.X-p.at.X), float64(e.Position.Y-p.at.Y)))
			return
		}
	}
	if p.moving {
		p.by = drawing.Point{X: float64(e.Position.X-p.at.X) / camera.Scale, Y: float64(e.Position.Y-p.at.Y) / camera.Scale}
		s.Refresh()
		return
	}
	s.chart.look(camera.Panned(float64(e.Dragged.DX), float64(e.Dragged.DY)))
}

// DragEnd stores where a box was let go.
func (s *sheet) DragEnd() {
	p := &s.press
	if p.moving && s.chart.scene != nil && (p.by.X != 0 || p.by.Y != 0) {
		p.moving, p.dropped = false, true
		s.chart.put(p.box, p.by)
	}
	p.moving, p.moved, p.down = false, false, false
	s.Refresh()
}

// Scrolled zooms about the pointer. One notch of a wheel is 25 units on Linux.
func (s *sheet) Scrolled(e *fyne.ScrollEvent) {
	if s.chart.scene == nil || e.Scrolled.DY == 0 {
		return
	}
	// The first notch is drawn sharply, however long it takes; of those that follow
	// at once the last one is.
	s.hasty = time.Since(s.turned) < rest
	s.turned = time.Now()
	turn := min(max(float64(e.Scrolled.DY), -150), 150)
	s.chart.look(s.chart.keep.camera.Zoomed(point(e.Position), math.Pow(1.2, turn/25)))
	s.point(s.under(point(e.Position)))
}

// MouseIn begins to follow the pointer.
func (s *sheet) MouseIn(e *desktop.MouseEvent) { s.MouseMoved(e) }

// MouseMoved marks what the pointer is over.
func (s *sheet) MouseMoved(e *desktop.MouseEvent) {
	if !s.press.moved {
		s.point(s.under(point(e.Position)))
	}
}

// MouseOut ends it.
func (s *sheet) MouseOut() { s.point(noHit) }

// Cursor tells what a click would do.
func (s *sheet) Cursor() desktop.Cursor {
	switch s.hover.Kind {
	case session.Terminal:
		return desktop.CrosshairCursor
	case session.Nothing:
		return desktop.DefaultCursor
	}
	return desktop.PointerCursor
}

// under is what lies under a point of the sheet.
func (s *sheet) under(at drawing.Point) scene.Hit {
	if s.chart.scene == nil || s.overInset(at) {
		return noHit
	}
	return s.chart.scene.At(s.chart.keep.camera.ToScene(at), s.chart.keep.camera.Scale)
}

func (s *sheet) point(hit scene.Hit) {
	if s.hover == hit {
		return
	}
	s.hover = hit
	s.Refresh()
	s.chart.say()
}

// overInset says that a point lies on the overview.
func (s *sheet) overInset(at drawing.Point) bool {
	w, h := s.extent()
	if !s.overview(w, h) {
		return false
	}
	_, on := s.chart.scene.OverviewAt(at, w, h)
	return on
}

// goTo puts what lies under a point of the overview in the middle.
func (s *sheet) goTo(at drawing.Point) {
	w, h := s.extent()
	if s.chart.scene == nil {
		return
	}
	if p, on := s.chart.scene.OverviewAt(at, w, h); on {
		s.chart.look(s.chart.keep.camera.CentredOn(p, w, h))
	}
}
