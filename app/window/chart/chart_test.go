package chart

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/assets/lantern"
)

// demoFile is Lantern Lock, as it was found, in a new file.
func demoFile(t testing.TB) string { t.Helper(); return lantern.File(t) }

// demoDesk puts it on a desk whose jobs are done at once.
func demoDesk(t testing.TB) *session.Session {
	t.Helper()
	d := session.New(session.Options{})
	d.Open(demoFile(t), func(err error) { check(t, err) })
	t.Cleanup(func() { check(t, d.Close()) })
	return d
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// house is a chart in a window.
type house struct {
	*Chart
	window fyne.Window
	desk   *session.Session
	memory map[string]any
}

func open(t testing.TB, d *session.Session, dark bool, width, height float32) *house {
	t.Helper()
	h := &house{desk: d, memory: map[string]any{}}
	h.make(t, dark, width, height)
	return h
}

// make makes the place anew, as a change of the theme does.
func (h *house) make(t testing.TB, dark bool, width, height float32) {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.New(dark, look.Near))
	r := &room.Room{
		Session: h.desk, Keys: &keys.Map{}, Canvas: func() fyne.Canvas { return h.window.Canvas() }, Show: func(string) {},
		Touch: func(do func()) { do() }, Memory: h.memory, Listen: func(f func(session.Changed)) { h.desk.Listen(f) },
	}
	h.Chart = New(r).(*Chart)
	h.window = test.NewTempWindow(t, h.Object())
	h.window.SetPadded(false)
	h.window.Resize(fyne.NewSize(width, height))
	h.Focus()
}

// at is where a point of the chart lies on the sheet.
func (h *house) at(t testing.TB, selection session.Selection) fyne.Position {
	t.Helper()
	box, there := h.scene.Place(selection)
	if !there {
		t.Fatalf("%v is not on the chart", selection)
	}
	box.Min.X, box.Min.Y = (box.Min.X+box.Max.X)/2, (box.Min.Y+box.Max.Y)/2
	p := h.keep.camera.ToScreen(box.Min)
	return fyne.NewPos(float32(p.X), float32(p.Y))
}

func (h *house) click(at fyne.Position, with fyne.KeyModifier) {
	e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary, Modifier: with}
	h.sheet.MouseDown(e)
	h.sheet.MouseUp(e)
}

func (h *house) press(names ...fyne.KeyName) {
	for _, name := range names {
		h.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
	}
}

func button(at fyne.Position) *desktop.MouseEvent {
	return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary}
}

func mouse(at fyne.Position) *desktop.MouseEvent {
	return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}}
}
