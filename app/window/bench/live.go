package bench

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// What is said of a machine that was taken for dead and is not. Common practice;
// it stands in no place of local codes or of a licensed person.
const (
	liveDo    = "It is live: stop, isolate, discharge, prove dead."
	liveClear = "Clears when you log about 0 V here, in the same range. Proved dead another way? Press F12 twice."
	liveSure  = "Only if it is true: isolated, drained, and the meter checked on a known source before and after. F12 again to confirm."
)

// liveWords say what was read, and where.
func liveWords(live session.Live) string {
	if live.Unread != "" {
		return "What the file keeps of a live pair cannot be read: " + live.Unread
	}
	value := judge.ValueText(model.Reading{Mode: live.Mode, Value: model.Value{Kind: model.ShowsNumber, Number: live.Volts}})
	words := fmt.Sprintf("%s from %s to %s", value, live.Red, live.Black)
	if live.TakenBack {
		words += fmt.Sprintf(" (reading %d, taken back since: it was there all the same)", live.Reading)
	}
	if live.Earlier {
		words += ", as the file has it, and not proven dead since"
	}
	return words
}

// deadTest is true of a range that may be used on a dead circuit only.
func deadTest(mode model.Mode) bool {
	return !mode.Volts()
}

// alarm stands before every dead test while something is live; volts that can hurt
// stand above the whole window already.
func (d boarder) alarm(now touch) fyne.CanvasObject {
	list := d.bench.desk.Live()
	if _, hurts := d.bench.desk.View().Report.Live(); hurts {
		return nil
	}
	if len(list) == 0 || !deadTest(now.mode) {
		return nil
	}
	t := look.Now()
	newest := list[len(list)-1]
	bold := fyne.TextStyle{Bold: true}
	what := d.small(liveWords(newest), t.Ink)
	head := container.New(&look.Beside{Gap: d.size.text * 0.8, Down: d.size.word * 0.36, Least: d.size.small * 8}, sideText("LIVE", d.size.word, t.Bad), what)
	if d.brief == mostBrief {
		line := look.NewParagraph("LIVE: "+liveWords(newest)+". Stop, isolate, discharge, prove dead.", d.size.small, t.Bad, bold)
		return framed(t.Bad, 4, t.Raised, d.size, d.signed(look.SignFault, line))
	}
	lines := container.New(&look.Rows{Gap: 2}, head, look.NewParagraph(liveDo, d.size.text, t.Ink, bold))
	if len(list) > 1 {
		lines.Add(d.small(fmt.Sprintf("and %d more pairs that read volts", len(list)-1), t.Ink))
	}
	if d.brief < 2 {
		lines.Add(d.small(liveClear, t.Soft))
	} else {
		lines.Add(d.small("0 V there, or F12 twice, ends this.", t.Soft))
	}
	body := container.New(&look.Leading{Gap: d.size.text * 0.8, Down: 1}, look.SignFault.Image(d.size.word*1.5), lines)
	return framed(t.Bad, 4, t.Raised, d.size, body)
}

// told is true where the alarm says what the last reading was: its answer then
// stands below.
func (d boarder) told(now touch) bool {
	outcome := d.bench.desk.Outcome()
	return outcome != nil && !deadTest(outcome.Reading.Mode) && d.alarm(now) != nil && d.bench.draft.waiting == ""
}

// liveDoubt asks about a dead test while something is live; empty if nothing is.
func (b *Bench) liveDoubt(entry session.Entry) string {
	list := b.desk.Live()
	if len(list) == 0 || !deadTest(entry.Mode) {
		return ""
	}
	return fmt.Sprintf("Not stored yet: %s. Ohms and beeps on a live circuit are worthless, and a danger to the meter and to you. %s Enter again stores it all the same.",
		liveWords(list[len(list)-1]), liveDo)
}

// provenDead takes the alarm back, once it was asked for twice.
func (b *Bench) provenDead() {
	if !b.draft.sureDead {
		b.draft.sureDead = true
		b.panel.say(saidCaution, liveSure)
		return
	}
	b.draft.sureDead = false
	b.desk.ProvenDead()
	b.panel.say(saidHint, "Marked dead (your confirmation).")
	b.panel.showBoard()
}
