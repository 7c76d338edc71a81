package window_test

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// The keys of a place that is not seen do nothing: a field that nobody sees would
// take what is typed next.
func TestKeysOfAPlaceThatIsNotSeenAreRefused(t *testing.T) {
	h := sit(t, test.NewTempApp(t), demoFile(t), usual)
	defer h.window.Close()
	h.press(fyne.KeyF4, fyne.KeyF5, fyne.KeyF2)
	before := h.canvas().Focused()
	for _, key := range []fyne.KeyName{fyne.KeyI, fyne.KeyE, fyne.KeyPageDown} {
		h.ctrl(key)
		if !strings.HasSuffix(h.desk.Notice().Text, ": not now.") || h.canvas().Focused() != before {
			t.Errorf("Ctrl %s on the chart: it says %q", key, h.desk.Notice().Text)
		}
	}
	h.press(fyne.KeyF4)
	h.ctrl(fyne.KeyZ) // something else may have come meanwhile: it is listed now
	h.ctrl(fyne.KeyI)
	if h.desk.Notice().Text == "Filter the table: not now." {
		t.Error("on the parts the filter is refused")
	}
}

// The focus goes to nothing that is not seen: the toolkit complains, and what is
// typed next is lost.
func TestTheFocusGoesOnlyToWhatIsSeen(t *testing.T) {
	app := test.NewTempApp(t)
	for _, path := range []string{"", emptyFile(t), basinFile(t)} {
		h := sit(t, app, path, small)
		look := func(after string) {
			t.Helper()
			if on, ok := h.canvas().Focused().(fyne.CanvasObject); ok && !h.sees(on) {
				t.Errorf("with %q, after %s the focus is on a %T that is not seen", path, after, on)
			}
		}
		look("the opening")
		for range 2 {
			for _, key := range []fyne.KeyName{fyne.KeyF1, fyne.KeyEscape, fyne.KeyF2, fyne.KeyF3, fyne.KeyF4, fyne.KeyEscape, fyne.KeyF5, fyne.KeyEscape, fyne.KeyF6, fyne.KeyF9, fyne.KeyF2} {
				h.press(key)
				look(string(key))
			}
			for _, key := range []fyne.KeyName{fyne.KeyB, fyne.KeyL, fyne.KeyK, fyne.KeyM, fyne.KeyB, fyne.KeyO, fyne.KeyD, fyne.KeyEqual, fyne.KeyF, fyne.KeyI, fyne.KeyE, fyne.KeyR, fyne.KeyG} {
				h.ctrl(key)
				look("Ctrl " + string(key))
				h.press(fyne.KeyEscape)
				look("Escape after Ctrl " + string(key))
			}
		}
		h.window.Close()
	}
}

// sees is true of what stands in the window and is not hidden.
func (h *hands) sees(wanted fyne.CanvasObject) bool {
	var walk func(fyne.CanvasObject) bool
	walk = func(object fyne.CanvasObject) bool {
		if object == nil || !object.Visible() {
			return false
		}
		if object == wanted {
			return true
		}
		switch o := object.(type) {
		case *fyne.Container:
			return slices.ContainsFunc(o.Objects, walk)
		case fyne.Widget:
			return slices.ContainsFunc(test.WidgetRenderer(o).Objects(), walk)
		}
		return false
	}
	return walk(h.canvas().Content())
}
