package chart

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/model"
)

// TestTheOldPlanStaysUntilTheNewOneIsThere drives a desk with a worker: the test
// is the owner, and runs what is delivered when it wants to.
func TestTheOldPlanStaysUntilTheNewOneIsThere(t *testing.T) {
	delivered := make(chan func(), 1000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	path := demoFile(t)
	d.Open(path, func(err error) { check(t, err) })
	pump := func(what string, until func() bool) {
		t.Helper()
		deadline := time.After(time.Minute)
		for !until() {
			select {
			case f := <-delivered:
				f()
			case <-deadline:
				t.Fatalf("a minute without %s", what)
			}
		}
	}
	pump("the file", func() bool { return d.View().Path != "" })

	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.New(false, look.Near))
	var window fyne.Window
	c := New(&room.Room{
		Session: d, Keys: &keys.Map{}, Canvas: func() fyne.Canvas { return window.Canvas() }, Memory: map[string]any{},
		Listen: func(f func(session.Changed)) { d.Listen(f) },
	}).(*Chart)
	window = test.NewTempWindow(t, c.Object())
	if c.scene != nil || c.task == nil || c.hint.Text == "" {
		t.Fatalf("placing has not begun, or says nothing: %q", c.hint.Text)
	}
	pump("a chart", func() bool { return c.scene != nil })

	first := c.scene.Plan
	wire, _ := d.Machine().Wire("W206")
	gone := wire
	gone.Removed = true
	d.Do(model.Edit{What: "W206 taken out", Changes: []model.Change{{Before: wire, After: gone}}}, func(err error) { check(t, err) })
	pump("the edit", func() bool { w, _ := d.Machine().Wire("W206"); return w.Removed })
	if c.scene == nil || c.scene.Plan != first {
		t.Fatal("the old plan went before the new one was there")
	}
	at, _ := first.Wire("W206")
	if c.scene.Runs(at) != nil {
		t.Error("a wire that is gone is still drawn while the new plan is worked out")
	}
	pump("the new plan", func() bool { return c.scene.Plan != first })

	// Stopped by hand, the chart stays as it is.
	second := c.scene.Plan
	d.Undo()
	pump("the undo", func() bool { return c.task != nil })
	task := c.task
	task.Stop()
	pump("the end of the work", func() bool { return c.task == nil })
	if c.scene.Plan != second && c.keep.stamp != stampOf(d.View()) {
		t.Error("a plan that was stopped is shown")
	}

	closed := make(chan error, 1)
	go func() { closed <- d.Close() }()
	for open := true; open; {
		select {
		case f := <-delivered: // what the worker still brings must not block it
			f()
		case err := <-closed:
			check(t, err)
			open = false
		case <-time.After(time.Minute):
			t.Fatal("a minute without the close")
		}
	}
}

// TestAReadingPlacesNothing: what changes no place keeps the plan.
func TestAReadingPlacesNothing(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	plan := h.scene.Plan
	wire := h.desk.Machine().Wires[0]
	h.desk.PutTip(session.Red, wire.From)
	h.desk.PutTip(session.Black, wire.To)
	entry, err := session.ReadEntry("b")
	check(t, err)
	check(t, h.desk.Log(entry))
	h.desk.SetHealth("A1", model.HealthFailed, time.Time{})
	if h.scene.Plan != plan {
		t.Error("the chart was placed anew")
	}
	if h.scene.View().ProvenBy[wire.Name] == nil {
		t.Error("the chart draws an old view: the wire that was just proven is not proven on it")
	}
}
