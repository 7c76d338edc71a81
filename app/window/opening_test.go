package window_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window"
)

// A file that opens for long shows how far it is, and Escape stops it; the card
// of files is there as it was.
func TestALongOpeningIsShownAndStopped(t *testing.T) {
	app := test.NewTempApp(t)
	delivered := make(chan func(), 10000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	w := window.New(app, d)
	h := &hands{t, w, d}
	until := func(what string, holds func() bool) {
		t.Helper()
		for late := time.After(30 * time.Second); !holds(); {
			select {
			case f := <-delivered:
				f()
			case <-late:
				t.Fatalf("%s: not in 30 s; the window says %q", what, h.texts())
			}
		}
	}
	says := func(words string) func() bool { return func() bool { return strings.Contains(h.texts(), words) } }
	w.Fyne().Resize(fyne.NewSize(1400, 900))
	w.Show()
	large := sampleFile(t, 60000)
	d.Open(large, w.Opened)
	if strings.Contains(h.texts(), "No file is open") {
		t.Error("while the first file is opened the window says that none is open")
	}
	until("the card", says("Opening large"))
	until("how far", says(" %"))
	h.press(fyne.KeyEscape)
	until("stopped", says("Opening large: stopped"))
	if !strings.Contains(h.texts(), "No file is open") {
		t.Errorf("stopped, the window says %q", h.texts())
	}

	h.ctrl(fyne.KeyO)
	h.write(large)
	h.press(fyne.KeyReturn)
	h.press(fyne.KeyReturn) // impatient: that is no second opening
	if n := len(d.Tasks()); n != 1 {
		t.Errorf("Enter twice began %d openings", n)
	}
	until("the card", says("\nStop\nEsc"))
	h.press(fyne.KeyReturn) // the button that has the keyboard
	until("stopped", func() bool { return len(d.Tasks()) == 0 })
	if !strings.Contains(h.texts(), "Open a file") {
		t.Errorf("the card of files is gone: %q", h.texts())
	}
	h.press(fyne.KeyReturn) // what was typed is still there, and has the keyboard
	flashed := false
	until("opened", func() bool {
		flashed = flashed || len(d.Tasks()) == 0 && d.View().Path == ""
		return d.View().Path == large
	})
	if flashed {
		t.Error("between the opening and the file the window says that no file is open")
	}
	until("told", func() bool { return len(d.Tasks()) == 0 || !strings.HasPrefix(d.Tasks()[0].Name, "Opening") })
	until("shown", says("of"))
	if strings.Contains(h.texts(), "Opening large") || strings.Contains(h.texts(), "Open a file") {
		t.Errorf("opened, the window says %q", h.texts())
	}
	w.Close()
	if err := w.Err(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(large); err != nil {
		t.Error(err)
	}
}

// A file that took long has the keyboard on its bench, as one that did not: what
// had it before the card of the opening is not there any more.
func TestALongOpeningLeavesTheKeyboardOnTheBench(t *testing.T) {
	app := test.NewTempApp(t)
	delivered := make(chan func(), 10000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	w := window.New(app, d)
	h := &hands{t, w, d}
	w.Fyne().Resize(fyne.NewSize(1400, 900))
	w.Show()
	large := sampleFile(t, 60000)
	d.Open(large, w.Opened)
	carded := false
	for late := time.After(30 * time.Second); d.View().Path != large || len(d.Tasks()) > 0 && d.Tasks()[0].Opening; {
		select {
		case f := <-delivered:
			f()
			carded = carded || strings.Contains(h.texts(), "\nStop\nEsc")
		case <-late:
			t.Fatalf("not open in 30 s; the window says %q", h.texts())
		}
	}
	if !carded {
		t.Fatal("the file opened before the card was shown: that tries nothing")
	}
	if on, ok := h.canvas().Focused().(fyne.CanvasObject); !ok || !h.sees(on) {
		t.Errorf("the keyboard is on a %T", h.canvas().Focused())
	}
	w.Close()
	if err := w.Err(); err != nil {
		t.Error(err)
	}
}
