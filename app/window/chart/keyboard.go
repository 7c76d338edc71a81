package chart

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/app/window/keys"
)

// stride is how far one arrow key moves the chart, in units of the screen.
const stride = 80

// keyZoom is what one press of + or - does.
const keyZoom = 1.25

// FocusGained shows the frame.
func (s *sheet) FocusGained() { s.focused, s.shift = true, false; s.Refresh() }

// FocusLost ends it.
func (s *sheet) FocusLost() { s.focused, s.shift = false, false; s.Refresh() }

// AcceptsTab keeps Tab for walking while something is selected; without a
// selection it leads on to the next field, as everywhere.
func (s *sheet) AcceptsTab() bool {
	return s.chart.scene != nil && s.chart.room.Session.Selection().Kind != session.Nothing
}

// KeyDown follows the shift key: named keys come without modifiers.
func (s *sheet) KeyDown(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		s.shift = true
	}
}

// KeyUp follows the shift key.
func (s *sheet) KeyUp(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		s.shift = false
	}
}

// TypedRune zooms about the middle; other letters go to the bench.
func (s *sheet) TypedRune(r rune) {
	zooms := strings.ContainsRune("+=-_", r)
	if !zooms && r != ' ' && s.chart.room.Type != nil { // a value, typed with the tips on: the bench is where it belongs
		s.chart.room.Type(r)
		return
	}
	if s.chart.scene == nil {
		return
	}
	w, h := s.extent()
	centre := drawing.Point{X: w / 2, Y: h / 2}
	switch r {
	case '+', '=':
		s.chart.look(s.chart.keep.camera.Zoomed(centre, keyZoom))
	case '-', '_':
		s.chart.look(s.chart.keep.camera.Zoomed(centre, 1/keyZoom))
	}
}

var arrows = map[fyne.KeyName]scene.Direction{fyne.KeyLeft: scene.Left, fyne.KeyRight: scene.Right, fyne.KeyUp: scene.Up, fyne.KeyDown: scene.Down}

// TypedKey walks and pans; what it does not know goes to the list of keys.
// With something selected arrows step to its neighbours, with Shift they pan.
func (s *sheet) TypedKey(e *fyne.KeyEvent) {
	c := s.chart
	selection := c.room.Session.Selection()
	if to, is := arrows[e.Name]; is && c.scene != nil {
		if selection.Kind == session.Nothing || selection.Kind == session.Finding || s.shift {
			s.pan(to)
			return
		}
		s.walk(c.scene.Step(selection, to))
		return
	}
	switch e.Name {
	case fyne.KeyTab:
		if c.scene != nil {
			s.walk(c.scene.Next(selection, !s.shift))
		}
		return
	case fyne.KeyReturn, fyne.KeyEnter:
		if c.scene != nil {
			s.enter(selection)
		}
		return
	case fyne.KeyEscape:
		if selection.Kind != session.Nothing {
			c.choose(session.Selection{})
			return
		}
	}
	c.room.Keys.Press(keys.Plain(e.Name))
}

// enter puts a tip on a terminal, and leads into anything else. Without a
// selection it takes what is in the middle.
func (s *sheet) enter(selection session.Selection) {
	c := s.chart
	switch selection.Kind {
	case session.Terminal:
		tip := session.Red
		if s.shift {
			tip = session.Black
		}
		c.tip(tip, selection.Name)
		if tip == session.Red { // the walk goes on to where the black one goes
			c.focus(s)
		}
	case session.Nothing, session.Finding:
		w, h := s.extent()
		if first, there := c.scene.Middle(c.keep.camera.ToScene(drawing.Point{X: w / 2, Y: h / 2})); there {
			s.walk(first)
		}
	default:
		s.walk(c.scene.Into(selection))
	}
}

// walk selects and keeps what is selected in sight.
func (s *sheet) walk(to session.Selection) {
	s.chart.choose(to)
	box, there := s.chart.scene.Place(to)
	if !there {
		return
	}
	w, h := s.extent()
	camera := s.chart.keep.camera
	centre := drawing.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}
	at := camera.ToScreen(centre)
	if at.X < 30 || at.Y < 30 || at.X > w-30 || at.Y > h-30 {
		s.chart.look(camera.CentredOn(centre, w, h))
	}
}

func (s *sheet) pan(to scene.Direction) {
	by := map[scene.Direction][2]float64{scene.Left: {stride, 0}, scene.Right: {-stride, 0}, scene.Up: {0, stride}, scene.Down: {0, -stride}}[to]
	s.chart.look(s.chart.keep.camera.Panned(by[0], by[1]))
}
