package window_test

import (
	"os"
	"testing"

	"bellout/app/desk"
)

// TestPictures saves a picture of each place, for whoever works on the window.
func TestPictures(t *testing.T) {
	if os.Getenv("BELLOUT_PICTURES") == "" {
		t.Skip("BELLOUT_PICTURES names no folder")
	}
	w, d := open(t, demoFile(t))
	look(t, w, "place-chart")
	w.Go("Findings")
	look(t, w, "place-findings")
	w.Go("Parts")
	look(t, w, "place-parts")
	w.Press("Ctrl B")
	look(t, w, "alone")
	w.Press("Esc")
	w.Press("F1")
	look(t, w, "keys")
	w.Press("Esc")
	w.Press("Ctrl O")
	look(t, w, "files")
	w.Press("Esc")
	w.Press("Ctrl D")
	w.Go("Chart")
	d.Select(desk.Selection{Kind: desk.Device, Name: "A2"})
	look(t, w, "night-device")
	w.Press("Ctrl +")
	w.Press("Ctrl +")
	look(t, w, "night-large")
	w2, _ := open(t, "")
	look(t, w2, "no-file")
}
