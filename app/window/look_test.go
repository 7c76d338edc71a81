package window_test

import (
	"os"
	"testing"

	"bellout/app/session"
)

// TestPictures saves a picture of each place, for whoever works on the window.
func TestPictures(t *testing.T) {
	if os.Getenv("BELLOUT_PICTURES") == "" {
		t.Skip("BELLOUT_PICTURES names no folder")
	}
	w, d := open(t, demoFile(t))
	save(t, w, "place-chart")
	w.Go("Findings")
	save(t, w, "place-findings")
	w.Go("Parts")
	save(t, w, "place-parts")
	w.Press("Ctrl B")
	save(t, w, "alone")
	w.Press("Esc")
	w.Press("F1")
	save(t, w, "keys")
	w.Press("Esc")
	w.Press("Ctrl O")
	save(t, w, "files")
	w.Press("Esc")
	w.Press("Ctrl D")
	w.Go("Chart")
	d.Select(session.Selection{Kind: session.Device, Name: "A2"})
	save(t, w, "night-device")
	w.Press("Ctrl +")
	w.Press("Ctrl +")
	save(t, w, "night-large")
	w2, _ := open(t, "")
	save(t, w2, "no-file")
}
