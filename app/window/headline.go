package window

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/look"
)

// headline is the line at the top: the file, the places, how much is proven.
type headline struct {
	object fyne.CanvasObject
	tabs   []*look.Press
	name   *canvas.Text
	full   string // the name, which name cuts where there is no room
	marks  *canvas.Text
	proven *canvas.Text
	window *Window
}

func newHeadline(w *Window) *headline {
	t := look.Now()
	h := &headline{
		window: w,
		name:   look.Line("", t.Ink, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}),
		marks:  look.Line("", t.Warn, theme.SizeNameCaptionText, fyne.TextStyle{Bold: true}),
		proven: look.Line("", t.Soft, theme.SizeNameText, fyne.TextStyle{}),
	}
	tabs := container.NewHBox()
	for _, place := range w.places {
		name := place.Name()
		tab := look.NewPress(name, string(placeKeys[name]), func() { w.goTo(name) })
		tab.Chosen = name == w.shown
		h.tabs = append(h.tabs, tab)
		tabs.Add(tab)
	}
	files := look.NewPress("Files", "Ctrl O", w.askOpen)
	help := look.NewPress("Keys", "F1", w.listKeys)
	left := container.New(&named{headline: h}, h.name, h.marks)
	proven := container.NewCenter(h.proven)
	right := container.New(&spareFirst{}, proven, files, help)
	line := container.New(&threeParts{}, left, tabs, right)
	under := canvas.NewRectangle(t.Line)
	under.SetMinSize(fyne.NewSize(1, 1))
	h.object = container.NewBorder(nil, under, nil, nil, container.New(layout.NewCustomPaddedLayout(6, 6, 14, 14), line))
	w.room.Listen(func(what session.Changed) {
		if what.Has(session.File | session.Map | session.Readings | session.Findings) {
			h.tell()
		}
	})
	h.tell()
	return h
}

func (h *headline) tell() {
	view := h.window.desk.View()
	h.full = view.Name()
	if h.full == "" {
		h.full = "Bellout"
	}
	h.name.Text = h.full
	h.marks.Text = ""
	if view.ReadOnly {
		h.marks.Text = "READ ONLY"
	}
	h.proven.Text = ""
	if of := view.Report.Proven.OfWires; of > 0 {
		h.proven.Text = fmt.Sprintf("%d of %d wires proven", view.Report.Proven.Wires, of)
	}
	for _, text := range []*canvas.Text{h.name, h.marks, h.proven} {
		text.Refresh()
	}
	if h.object != nil {
		h.object.Refresh()
	}
}
