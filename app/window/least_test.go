package window_test

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/model"
)

// Whatever is shown, and in whatever type, a window of 900 x 600 holds it: the
// toolkit makes a window grow that asks for more, past the edge of a small screen.
func TestASmallWindowStaysSmall(t *testing.T) {
	for larger := range 3 {
		h := sit(t, test.NewTempApp(t), demoFile(t), small)
		for range larger {
			h.window.Press("Ctrl +")
		}
		h.desk.SetHealth("A2", model.HealthFailed, noon)
		for _, look := range []session.Selection{{}, {Kind: session.Device, Name: "A2"}, {Kind: session.Finding}} {
			for _, key := range []fyne.KeyName{fyne.KeyF2, fyne.KeyF3, fyne.KeyF4, fyne.KeyF5, fyne.KeyF1, fyne.KeyEscape} {
				h.press(key)
				h.desk.Select(look)
				if least := h.canvas().Content().MinSize(); least.Width > small.Width || least.Height > small.Height {
					t.Errorf("type %d, after %s, looking at %+v: it asks for %v", larger, key, look, least)
				}
			}
		}
		h.window.Close()
	}
}
