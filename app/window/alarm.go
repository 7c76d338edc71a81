package window

import (
	"fmt"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// alarm is the band above everything, cards too, while volts stand that can hurt.
// Nobody puts it away: it goes with the reading that shows them gone, which the
// bench below takes as ever.
type alarm struct {
	object *fyne.Container
	window *Window
	shown  string // what it says; empty: it is down
}

// alarmKey puts the tips on the two that are live, for the reading that ends it.
var alarmKey = keys.CtrlShift(fyne.KeyZ)

func newAlarm(w *Window) *alarm {
	a := &alarm{object: container.New(&look.Rows{}), window: w}
	w.keys.Add(keys.Action{Name: "Tips on the two that are live", Group: groupWindow, Key: alarmKey,
		Do: a.measure, Able: func() bool { _, live := w.desk.View().Report.Live(); return live && !w.desk.View().ReadOnly }})
	w.room.Listen(func(what session.Changed) {
		if what.Has(session.File | session.Map | session.Readings | session.Findings) {
			a.show()
		}
	})
	a.show()
	return a
}

// show puts the band up or takes it down, as the findings are.
func (a *alarm) show() {
	finding, live := a.window.desk.View().Report.Live()
	says := ""
	if live {
		says = finding.Headline + finding.Message
	}
	if says == a.shown {
		return
	}
	a.shown = says
	a.object.RemoveAll()
	if live {
		a.object.Add(a.band(finding))
	}
	a.object.Refresh()
	if frame := a.window.frame; frame != nil {
		frame.Refresh()
	}
}

// band is what it says: what to do, what is live, and what ends it.
func (a *alarm) band(finding faults.Finding) fyne.CanvasObject {
	t := look.Now()
	line := func(text string, size fyne.ThemeSizeName, bold bool) *look.Paragraph {
		return look.NewParagraph(text, t.Size(size), t.OnTint, fyne.TextStyle{Bold: bold})
	}
	words := container.New(&look.Rows{Gap: 3},
		line("Hands off, plug out. "+finding.Headline+".", theme.SizeNameHeadingText, true),
		line("An electrician before the plug goes in again. Batteries and other plugs off too.", theme.SizeNameSubHeadingText, true),
	)
	if r, there := a.reading(finding); there {
		words.Add(line(a.endsWith(r), theme.SizeNameText, false))
		if !a.window.desk.View().ReadOnly {
			words.Add(container.NewHBox(look.NewPress("Tips on these two", "Ctrl Shift Z", a.measure)))
		}
	}
	ground := canvas.NewRectangle(t.Bad)
	body := container.New(&look.Leading{Gap: 14, Down: 2}, look.SignFault.OnTint(t.Size(theme.SizeNameHeadingText)*1.6), words)
	return container.NewStack(ground, container.New(layout.NewCustomPaddedLayout(10, 10, 16, 16), body))
}

// endsWith says which reading it is, and what ends the alarm.
func (a *alarm) endsWith(r model.Reading) string {
	text := fmt.Sprintf("Reading %d: %s from %s to %s. ", r.Number, judge.ValueText(r), r.Red, r.Black)
	bound := judge.LiveProbeAC
	if r.Mode == model.ModeVoltsDC {
		bound = judge.LiveProbeDC
	}
	if math.Abs(r.Value.Number) < bound {
		return text + "It ends when someone qualified reads the same two as sound, or when the reading is struck out as a slip."
	}
	return text + fmt.Sprintf("It ends when someone qualified reads less than %v V on the same two, or when the reading is struck out as a slip. Read with the plug out: note the plug as unplugged first (F9).", bound)
}

// reading is the one that the alarm is about: the last of its evidence.
func (a *alarm) reading(finding faults.Finding) (last model.Reading, there bool) {
	for _, number := range finding.Readings {
		if r, known := a.window.desk.Machine().Reading(number); known && r.Number >= last.Number {
			last, there = r, true
		}
	}
	return last, there
}

// measure puts the tips on the two, with the range that it was read in.
func (a *alarm) measure() {
	finding, live := a.window.desk.View().Report.Live()
	r, there := a.reading(finding)
	if !live || !there {
		return
	}
	probe := nextprobe.Probe{Red: r.Red, Black: r.Black, Mode: r.Mode, Conditions: a.window.desk.Conditions()}
	a.window.desk.TakeFor(probe, "The reading that ends the alarm: "+finding.Headline+".", faults.HandsOff+" Only someone qualified measures there.")
	a.window.overlay.hide()
	a.window.bringBench()
	a.window.bench.Focus()
}
