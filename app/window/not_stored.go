package window

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/desk"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// mostKept is how many readings that are not stored the card lists.
const mostKept = 6

// followNotStored shows what the file does not take as soon as it is known, and
// puts that card away when it takes all.
func (w *Window) followNotStored(what desk.Changed) {
	switch {
	case !what.Has(desk.NotStored):
	case w.desk.Unstored().Why != "":
		if w.elsewhere != keptWords(w.desk.Unstored()) { // else what was typed there stays
			w.askElsewhere()
		}
	case w.elsewhere != "":
		w.overlay.hide()
		w.focus()
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

func keptWords(kept desk.Unstored) string { return kept.Why + "\n" + strings.Join(kept.Words(), "\n") }

// closing is the close button of the window: with readings that are not stored it
// asks first, and closes when it is pressed again.
func (w *Window) closing() {
	if len(w.desk.Unstored().Readings) > 0 && w.elsewhere == "" {
		w.askElsewhere()
		return
	}
	w.Close()
}
