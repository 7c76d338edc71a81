package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// cautions are what a person does before the first touch of the meter. They are
// common practice, and no substitute for local codes.
var cautions = []struct{ verb, rest string }{
	{"Isolate", "Mains plug out, or the isolator off and locked. Keep the key or the plug where you see it."},
	{"Discharge", "Wait for the capacitors of supplies and amplifiers; then read across them until they show 0 V."},
	{"Prove dead", "Read the meter on a known source, then the machine, then the source again: a dead meter shows 0 V too."},
	{batteriesOff, "Disconnect every battery and every second supply. Anything with its own power can feed back."},
	{"Live tests", "Volts alone are read on a running machine: extra-low-voltage side only, one hand, the return clipped first, nothing that can move."},
	{"Ask", "Work on the mains side is for licensed people, and local codes come first. Bellout never says that a circuit is safe."},
}

// batteriesOff is the line of the caution card that names what of this machine stays
// live.
const batteriesOff = "Batteries off"

// touch does something with the meter, after the caution card was answered once
// in this sitting.
func (w *Window) touch(do func()) {
	if w.cautious {
		do()
		return
	}
	w.waiting = do
	w.showCaution()
}

// cautionHolds is true for the keys of what lies behind the card while it asks: they
// would work on what cannot be seen, and take the keyboard from its Enter.
func (w *Window) cautionHolds(action *keys.Action) bool {
	return w.waiting != nil && w.overlay != nil && w.overlay.up() && action.Group != groupWindow
}

func (w *Window) showCaution() {
	t := look.Now()
	rows := container.New(layout.NewFormLayout())
	for _, caution := range cautions {
		verb := look.Line(caution.verb, t.Accent, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true})
		rows.Add(container.NewVBox(look.Inset(6, verb)))
		rest := caution.rest
		if everything := w.desk.Staying().Everything(); caution.verb == batteriesOff && everything != "" {
			rest += " " + everything
		}
		rows.Add(look.Prose(rest))
	}
	done := keys.NewButton(w.keys, "I have done this", "Enter", func() {
		do := w.waiting
		w.waiting, w.cautious = nil, true
		w.desk.NoteCaution()
		w.hideCard()
		if do != nil {
			do()
		}
	})
	done.Primary = true
	later := keys.NewButton(w.keys, "Cancel", "Esc", w.escape)
	w.showCard(container.NewVBox(
		look.Line("Before the first touch", t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}),
		spaced(), rows, spaced(),
		container.NewHBox(done, later, layout.NewSpacer(), container.NewCenter(look.Caption("The file keeps a note that this was shown."))),
	), 720, func() { w.waiting = nil })
	w.window.Canvas().Focus(done)
}

// escape puts away what lies on top; with nothing there it looks at nothing.
func (w *Window) escape() {
	switch {
	case w.opening.up():
		w.opening.task.Stop()
	case w.chooser != nil:
		w.chooser.Hide()
	case w.overlay.up():
		w.hideCard()
	case w.alone:
		w.toggleAlone()
	default:
		w.lookAtNothing()
	}
}
