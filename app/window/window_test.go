package window_test

import (
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window"
	"bellout/assets/lantern"
)

// demoFile is Lantern Lock, as it was found, in a new file.
func demoFile(t testing.TB) string { t.Helper(); return lantern.File(t) }

// open opens a window on a file, with a desk whose jobs are done at once.
func open(t testing.TB, path string) (*window.Window, *session.Session) {
	t.Helper()
	app := test.NewTempApp(t)
	d := session.New(session.Options{})
	w := window.New(app, d)
	if path != "" {
		d.Open(path, func(err error) {
			if err != nil {
				t.Fatal(err)
			}
		})
	}
	w.Fyne().Resize(fyne.NewSize(1400, 900))
	w.Show()
	t.Cleanup(w.Close)
	return w, d
}

// save saves a picture of the window where BELLOUT_PICTURES names a folder, for
// whoever works on it.
func save(t testing.TB, w *window.Window, name string) {
	folder := os.Getenv("BELLOUT_PICTURES")
	if folder == "" {
		return
	}
	file, err := os.Create(filepath.Join(folder, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(file, w.Fyne().Canvas().Capture()); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestTheWindowOpensOnTheDemoMachine(t *testing.T) {
	w, d := open(t, demoFile(t))
	if got, want := w.Fyne().Title(), "lantern-lock - Bellout"; got != want {
		t.Errorf("the title is %q, want %q", got, want)
	}
	w.Go("Findings")
	save(t, w, "open")
	d.Select(session.Selection{Kind: session.Device, Name: "B7"})
	save(t, w, "device")
	d.Select(session.Selection{Kind: session.Finding, Finding: 0})
	save(t, w, "finding")
}
