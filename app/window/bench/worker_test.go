package bench

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/look"
)

// TestNothingWaitsForTheWorker: with a worker beside it, what was typed is shown
// as being stored until it is on the disk, and the next probe as being worked
// out until it is known; the fields work all the while.
func TestNothingWaitsForTheWorker(t *testing.T) {
	path := demoFile(t)
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.New(false, look.Near))
	delivered := make(chan func(), 1000)
	s := &sitting{t: t, desk: session.New(session.Options{Deliver: func(f func()) { delivered <- f }})}
	t.Cleanup(func() {
		if err := s.desk.Close(); err != nil {
			t.Error(err)
		}
	})
	pump := func(until func() bool) {
		t.Helper()
		deadline := time.After(time.Minute)
		for !until() {
			select {
			case f := <-delivered:
				f()
			case <-deadline:
				t.Fatal("nothing came for a minute")
			}
		}
	}
	s.window = test.NewTempWindow(t, container.NewStack())
	s.build()
	s.desk.Open(path, nil)
	pump(func() bool { return s.desk.View().Path != "" })
	s.lay(s.bench.Object(), fyne.NewSize(440, 820))
	if s.desk.View().Next == nil {
		if words := read(s.bench.panel.upper); !strings.Contains(words, "worked out") {
			t.Errorf("while the probe is worked out the board says %q", words)
		}
	}
	pump(func() bool { return s.desk.View().Next != nil && s.bench.index != nil && s.bench.index.Len() > 0 })
	before := s.readings()
	s.press(fyne.KeyReturn)
	s.write("s")
	s.press(fyne.KeyReturn)
	if words := read(s.bench.panel.upper); !strings.Contains(words, "Storing s") || strings.Contains(words, "AGREES") {
		t.Errorf("before it is on the disk the board says %q", words)
	}
	s.ctrl(fyne.KeyK)
	s.write("x1")
	if !s.bench.panel.choices.open() {
		t.Error("the list waits for the worker")
	}
	pump(func() bool { return s.desk.Outcome() != nil && s.readings() == before+1 })
	if words := read(s.bench.panel.upper); strings.Contains(words, "Storing") {
		t.Errorf("after it is stored the board says %q", words)
	}
	if got := s.bench.panel.leads[session.Black].entry.Text; got != "x1" {
		t.Errorf("the answer took what was typed: %q", got)
	}
}
