package window_test

import (
	"path/filepath"
	"slices"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/store"
)

// sampleFile writes a generated machine of about so many terminals into a new
// file, without readings.
func sampleFile(b testing.TB, terminals int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "large.bellout")
	file, err := store.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	machine := sample.Machine(1, terminals)
	edit := model.Edit{What: "a generated machine"}
	for _, d := range machine.Devices {
		edit.Changes = append(edit.Changes, model.Change{After: d})
	}
	for _, t := range machine.Terminals {
		edit.Changes = append(edit.Changes, model.Change{After: t})
	}
	for _, l := range machine.Links {
		edit.Changes = append(edit.Changes, model.Change{After: l})
	}
	for _, w := range machine.Wires {
		edit.Changes = append(edit.Changes, model.Change{After: w})
	}
	if err := file.Do(edit); err != nil {
		b.Fatal(err)
	}
	if err := file.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkKeys works a window at 5,000 terminals by its keyboard: how long the
// owner's goroutine is kept by a letter in a lead's field, by a reading that is
// logged, by a device that is looked at, and by whatever is delivered to it
// meanwhile, at the half and at 95 of 100; and how long it is from Enter to the answer. What
// the toolkit takes to paint is not in it. The plain way is the same window that
// does every job at once, as it would without a worker.
func BenchmarkKeys(b *testing.B) {
	path := sampleFile(b, 5000)
	app := test.NewTempApp(b)
	delivered := make(chan func(), 10000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	w := window.New(app, d)
	h := &hands{b, w, d}
	var kept []time.Duration
	until := func(holds func() bool) {
		for !holds() {
			f := <-delivered
			began := time.Now()
			f()
			kept = append(kept, time.Since(began))
		}
	}
	d.Open(path, func(err error) {
		if err != nil {
			b.Error(err)
		}
	})
	w.Fyne().Resize(fyne.NewSize(1400, 900))
	w.Show()
	until(func() bool { return d.View().Next != nil })
	settle := func() { // until nothing comes any more
		for {
			select {
			case f := <-delivered:
				f()
			case <-time.After(3 * time.Second):
				return
			}
		}
	}
	settle()
	h.logAcross(d.Machine().Wires[0].From.String(), d.Machine().Wires[0].To.String(), "b")
	h.press(fyne.KeyReturn) // the caution
	settle()
	kept = nil

	plain := session.New(session.Options{})
	plain.Open(sampleFile(b, 5000), nil)
	p := &hands{b, window.New(app, plain), plain}
	p.window.Fyne().Resize(fyne.NewSize(1400, 900))
	p.window.Show()
	p.logAcross(plain.Machine().Wires[0].From.String(), plain.Machine().Wires[0].To.String(), "b")
	p.press(fyne.KeyReturn)

	var letter, enter, answer, selected, atOnce []time.Duration
	at := 1
	timed := func(all *[]time.Duration, do func()) {
		began := time.Now()
		do()
		*all = append(*all, time.Since(began))
	}
	for b.Loop() {
		wire := d.Machine().Wires[at*31%len(d.Machine().Wires)]
		at++
		h.ctrl(fyne.KeyL)
		for _, lead := range []string{wire.From.String(), wire.To.String()} {
			for _, r := range lead {
				timed(&letter, func() { h.canvas().Focused().TypedRune(r) })
			}
			timed(&letter, func() { h.press(fyne.KeyReturn) })
		}
		h.write("b")
		before, began := d.Outcome(), time.Now()
		timed(&enter, func() { h.press(fyne.KeyReturn) })
		until(func() bool { return d.Outcome() != before })
		answer = append(answer, time.Since(began))
		timed(&selected, func() { d.Select(session.Selection{Kind: session.Device, Name: wire.From.Device}) })
		until(func() bool { return !d.Highlight().Empty() })

		p.ctrl(fyne.KeyL)
		p.write(wire.From.String())
		p.press(fyne.KeyReturn)
		p.write(wire.To.String())
		p.press(fyne.KeyReturn)
		p.write("b")
		timed(&atOnce, func() { p.press(fyne.KeyReturn) })
	}
	for name, all := range map[string][]time.Duration{"letter": letter, "enter": enter, "answer": answer, "select": selected, "delivered": kept, "enter-at-once": atOnce} {
		slices.Sort(all)
		b.ReportMetric(float64(all[len(all)/2].Microseconds())/1000, "ms-"+name+"-p50")
		b.ReportMetric(float64(all[len(all)*95/100].Microseconds())/1000, "ms-"+name+"-p95")
	}
	p.window.Close()
	w.Close()
}
