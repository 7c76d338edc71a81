package window

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// mostKept is how many readings that are not stored the card lists.
const mostKept = 6

// followNotStored shows what the file does not take as soon as it is known, and
// puts that card away when it takes all.
func (w *Window) followNotStored(what session.Changed) {
	switch {
	case !what.Has(session.NotStored):
	case w.desk.Unstored().Why != "":
		if w.elsewhere != keptWords(w.desk.Unstored()) { // else what was typed there stays
			w.askElsewhere()
		}
	case w.elsewhere != "":
		w.hideCard()
	}
}

// askElsewhere says what the file does not take and why, and asks where all of
// it is to go. The window goes on with the file that it then is in.
func (w *Window) askElsewhere() {
	t, kept := look.Now(), w.desk.Unstored()
	title := "The file takes nothing more"
	why := look.BadProse("")
	why.Set(kept.Why, t.Bad)
	first := container.NewVBox(why)
	if len(kept.Readings) > 0 {
		title = "Not stored, and kept here"
		first.Add(look.Gap(4))
		for at, words := range kept.Words() {
			if at == mostKept {
				first.Add(look.Caption("and more"))
				break
			}
			first.Add(look.Line(words, t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true, Monospace: true}))
		}
	}
	first.Add(look.Gap(4))
	first.Add(look.Prose("Save everything in a new file, with its history, and go on in that one:"))
	again := keys.NewButton(w.keys, "Try again", "", w.desk.StoreAgain)
	others := container.NewHBox(again, layout.NewSpacer())
	if len(kept.Readings) > 0 {
		others.Objects = []fyne.CanvasObject{again, keys.NewButton(w.keys, "Drop these readings", "", w.desk.DropUnstored), layout.NewSpacer()}
	}
	w.askPathAfter(title, first, "Save everything", freeBeside(w.desk.View().Path, "-saved"), func(path string, done func(error)) {
		w.desk.SaveElsewhere(ended(path), done)
	}, others)
	w.elsewhere = keptWords(kept)
	w.overlay.closed = func() { w.elsewhere = "" }
}

func keptWords(kept session.Unstored) string {
	return kept.Why + "\n" + strings.Join(kept.Words(), "\n")
}

// AskClose is the close button of the window: with readings that are not stored it
// asks first, and so with what is typed and not stored; it closes when it is pressed
// again.
func (w *Window) AskClose() {
	if len(w.desk.Unstored().Readings) > 0 && w.elsewhere == "" {
		w.askElsewhere()
		return
	}
	if half := w.halfTyped(); len(half) > 0 && !w.asking {
		w.askHalfTyped(half)
		return
	}
	w.Close()
}

// halfTyped lists what is typed anywhere in the window and is stored nowhere.
func (w *Window) halfTyped() []string { return append(w.bench.HalfTyped(), w.keys.HalfTyped()...) }

// askHalfTyped says what would be lost with the window.
func (w *Window) askHalfTyped(half []string) {
	t := look.Now()
	rows := container.NewVBox(look.Line("Typed, and not stored", t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}), spaced())
	for _, words := range half {
		rows.Add(look.Line(words, t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true}))
	}
	back := keys.NewButton(w.keys, "Go back to it", "Esc", w.escape)
	back.Primary = true
	drop := keys.NewButton(w.keys, "Close without it", "", w.Close)
	rows.Add(spaced())
	rows.Add(container.NewHBox(back, drop, layout.NewSpacer()))
	w.showCard(rows, 620, func() { w.asking = false })
	w.asking = true
	w.window.Canvas().Focus(back)
}
