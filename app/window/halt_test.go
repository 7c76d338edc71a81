package window_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window"
)

// The key stops the long work that it stands beside; a file that is being opened,
// which has a card and a key of its own, only where there is no other.
func TestTheKeyStopsTheWorkThatItStandsBeside(t *testing.T) {
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
	demo := demoFile(t)
	d.Open(demo, w.Opened)
	until("open", func() bool { return d.View().Path == demo && len(d.Tasks()) == 0 })

	d.Task("Counting", func(ctx context.Context, _ func(done, of int)) error {
		<-ctx.Done()
		return ctx.Err()
	}, nil)
	until("the work and its key", says("Counting\nStop\nCtrl H"))
	d.Open(sampleFile(t, 60000), w.Opened)
	until("the card", says("\nStop\nEsc"))
	h.ctrl(fyne.KeyH)
	until("the work is stopped", says("Counting: stopped"))
	if tasks := d.Tasks(); len(tasks) != 1 || !tasks[0].Opening {
		t.Errorf("under way are %d, want the opening", len(tasks))
	}
	h.ctrl(fyne.KeyH)
	until("the opening is stopped", says("Opening large: stopped"))
	w.Close()
	if err := w.Err(); err != nil {
		t.Error(err)
	}
}
