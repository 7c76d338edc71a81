package sheets

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/room"
)

// linked are three pages; the first one's box leads to the third.
func linked() *recording {
	r := &recording{}
	first := r.Page(210, 297, "")
	first.Link(drawing.Box{Min: drawing.Point{X: 100, Y: 100}, Max: drawing.Point{X: 120, Y: 110}}, "far")
	r.Page(210, 297, "").Text(drawing.Text{At: drawing.Point{X: 10, Y: 10}, Text: "two", Size: 4, Colour: color.NRGBA{A: 255}})
	r.Page(297, 210, "").Anchor(drawing.Point{X: 5, Y: 5}, "far", "")
	return r
}

func previewOf(t *testing.T, pages pages) (*preview, fyne.Window) {
	t.Helper()
	test.NewTempApp(t)
	d := session.New(session.Options{})
	p := New(&room.Room{Session: d, Keys: &keys.Map{}, Canvas: func() fyne.Canvas { return nil }, Memory: map[string]any{}, Listen: func(func(session.Changed)) {}})
	p.made = made{name: "doorcard", pages: pages}
	w := test.NewTempWindow(t, p.preview)
	w.Resize(fyne.NewSize(500, 700))
	p.preview.show()
	w.Canvas().Capture()
	return p.preview, w
}

func TestALinkLeadsToItsPage(t *testing.T) {
	v, _ := previewOf(t, linked())
	at := func(x, y float64) fyne.Position {
		return fyne.NewPos(float32(v.view.x+x*v.view.scale), float32(v.view.y+y*v.view.scale))
	}
	v.Tapped(&fyne.PointEvent{Position: at(50, 50)})
	if v.page != 1 {
		t.Fatalf("a tap beside the link leads to page %d", v.page)
	}
	v.Tapped(&fyne.PointEvent{Position: at(110, 105)})
	if v.page != 3 {
		t.Errorf("the link leads to page %d, want 3", v.page)
	}
}

func TestPagesAndZoomStayWithinBounds(t *testing.T) {
	v, w := previewOf(t, linked())
	for _, name := range []fyne.KeyName{fyne.KeyPageUp, fyne.KeyPageDown, fyne.KeyPageDown, fyne.KeyPageDown} {
		v.TypedKey(&fyne.KeyEvent{Name: name})
	}
	if v.page != 3 {
		t.Errorf("page %d of 3", v.page)
	}
	for range 40 {
		v.TypedRune('+')
	}
	if v.zoom != 12 {
		t.Errorf("zoom %v", v.zoom)
	}
	v.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if w.Canvas().Capture() == nil || v.x <= 0.5 {
		t.Errorf("nothing moved: %v", v.x)
	}
	if v.TypedRune('0'); v.zoom != 1 || v.x != 0.5 {
		t.Errorf("zoom %v at %v", v.zoom, v.x)
	}
}
