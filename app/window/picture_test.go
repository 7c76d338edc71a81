package window_test

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/room"
	"bellout/model"
)

// TestPlacesLookAsApproved compares every place of the window with an approved
// picture: on a machine of five devices, one of them failed, so that nothing
// proposed on the demo changes them. What differs lies in testdata/failed: look
// at it, and copy it where it is right.
func TestPlacesLookAsApproved(t *testing.T) {
	fail := func(h *hands) {
		h.desk.SetHealth("H1", model.HealthFailed, noon)
		h.desk.Say("")
	}
	failed := func(h *hands) {
		fail(h)
		h.desk.Select(session.Selection{Kind: session.Device, Name: "H1"})
	}
	contradict := func(h *hands) {
		fail(h)
		h.logAcross("G1:+", "F1:1", "OL")
		h.press(fyne.KeyReturn)
		h.window.Go(room.Findings)
		h.desk.Select(session.Selection{})
	}
	for _, c := range []struct {
		name  string
		dark  bool
		scale float32
		bring func(*hands)
	}{
		{"failed-device-day", false, 1, failed},
		{"failed-device-night-double", true, 2, failed},
		{"findings-day", false, 1, contradict},
		{"findings-night", true, 1, contradict},
		{"parts-day", false, 1, func(h *hands) { h.window.Go(room.Parts) }},
		{"parts-night", true, 1, func(h *hands) { h.window.Go(room.Parts) }},
		{"caution-day-double", false, 2, func(h *hands) { h.logAcross("G1:+", "F1:1", "b") }},
		{"caution-night", true, 1, func(h *hands) { h.logAcross("G1:+", "F1:1", "b") }},
		{"alarm-day", false, 1, func(h *hands) { h.live() }},
		{"alarm-night-double", true, 2, func(h *hands) { h.live(); h.window.Press("Ctrl B") }},
		{"keys-day", false, 1, func(h *hands) { h.window.Press("F1") }},
	} {
		t.Run(c.name, func(t *testing.T) { compare(t, basinFile(t), c.name, c.dark, c.scale, c.bring) })
	}
	t.Run("beginning-night", func(t *testing.T) { compare(t, emptyFile(t), "beginning-night", true, 1, func(*hands) {}) })
	t.Run("beginning-day", func(t *testing.T) { compare(t, emptyFile(t), "beginning-day", false, 1, func(*hands) {}) })
}

// small is a small window: what does not fit shows here.
var small = fyne.NewSize(900, 600)

func compare(t *testing.T, path, name string, dark bool, scale float32, bring func(*hands)) {
	t.Helper()
	app := test.NewTempApp(t)
	h := sit(t, app, path, small)
	defer h.window.Close()
	if dark {
		h.window.Press("Ctrl D")
	}
	h.canvas().(test.WindowlessCanvas).SetScale(scale)
	h.window.Fyne().Resize(small)
	bring(h)
	h.canvas().Unfocus() // a caret blinks
	test.AssertRendersToImage(t, name+".png", h.canvas())
}
