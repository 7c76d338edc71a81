package chart

import (
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/chart/scene/specimen"
	"bellout/model"
	"bellout/model/store"
)

// specimenFile writes the specimen into a new file.
func specimenFile(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "specimen.bellout")
	file, err := store.Create(path)
	check(t, err)
	check(t, file.Do(specimen.Edit()))
	check(t, file.Close())
	return path
}

// specimenDesk is a desk with the specimen on it, and a reading that proves a wire.
func specimenDesk(t *testing.T) *session.Session {
	t.Helper()
	path := specimenFile(t)
	d := session.New(session.Options{})
	d.Open(path, func(err error) { check(t, err) })
	t.Cleanup(func() { check(t, d.Close()) })
	d.PutTip(session.Red, model.TerminalRef{Device: "G1", Mark: "+"})
	d.PutTip(session.Black, model.TerminalRef{Device: "F1", Mark: "1"})
	entry, err := session.ReadEntry("b")
	check(t, err)
	check(t, d.Log(entry))
	return d
}

// TestThePlaceLooksAsApproved compares the whole place with pictures that somebody
// looked at: by day and by night, at scale 1 and 2, with a failed device selected
// and with the finder open.
func TestThePlaceLooksAsApproved(t *testing.T) {
	for name, dark := range map[string]bool{"day": false, "night": true} {
		d := specimenDesk(t)
		h := open(t, d, dark, 620, 440)
		h.sheet.proposed = func(*session.Session) [2]model.TerminalRef { return [2]model.TerminalRef{} }
		d.Select(session.Selection{Kind: session.Device, Name: "M1"})
		h.sheet.redraw()
		test.AssertRendersToImage(t, "place-"+name+"-1.png", h.window.Canvas())
		d.Select(session.Selection{})
		h.find()
		h.finder.entry.SetText("pump")
		h.press(fyne.KeyReturn)
		h.focus(h.sheet) // a caret that blinks is in no picture
		canvas := h.window.Canvas().(test.WindowlessCanvas)
		canvas.SetScale(2)
		test.AssertRendersToImage(t, "place-"+name+"-2.png", canvas)
	}
}
