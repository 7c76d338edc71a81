// Package window is Bellout's window: the bench at the left, one place at the
// right, and a line that says how things stand. It is a face over package desk:
// no rule and no query lives in it. It is given a fyne.App, so that tests run it
// without a display.
package window

import (
	"errors"
	"fmt"
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"

	"bellout/app/session"
	"bellout/app/window/bench"
	"bellout/app/window/inspect"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// Window is one window over one desk.
type Window struct {
	// Demo writes the demo machine where it is not there yet, and returns its path;
	// nil: the window does not offer it.
	Demo func() (path string, err error)

	app    fyne.App
	window fyne.Window
	desk   *session.Session
	keep   keeping
	memory map[string]any

	// What follows is made anew by build.
	keys       *keys.Map
	room       *room.Room
	stops      []func()
	bench      *bench.Bench
	places     []room.Place
	shown      string
	alone      bool
	empty      bool            // there is no device on the map
	bare       bool            // the first file is not there yet
	inspecting bool            // what is looked at stands beside the place
	frame      *fyne.Container // what the window holds: the work, and what lies over it
	work       *fyne.Container
	right      *fyne.Container // the place that is shown, and beside it what is looked at
	inspect    *inspect.Inspector
	overlay    *overlay
	opening    *opening
	alarm      *alarm
	tour       *tour
	status     *status
	headline   *headline
	cautious   bool // the caution card was answered in this sitting
	waiting    func()
	back       fyne.Focusable // what had the keyboard before the card that is up
	chooser    dialog.Dialog  // the toolkit's list of files, while it is up
	asking     bool           // the window was to be closed, and asks about what is typed
	elsewhere  string         // what the card says that asks where to save what the file does not take; empty: it is not up
	gone       bool           // the file was let go
	err        error
}

// New makes a window over a desk. It shows nothing yet.
func New(app fyne.App, d *session.Session) *Window {
	w := &Window{app: app, desk: d, keep: keeping{app.Preferences()}, memory: map[string]any{}, shown: room.Chart}
	app.Settings().SetTheme(look.New(w.keep.dark(), w.keep.textSize()))
	w.window = app.NewWindow("Bellout")
	w.window.SetPadded(false)
	w.build()
	w.window.Resize(w.keep.size())
	d.Listen(func(what session.Changed) {
		if what.Has(session.File) {
			w.fileChanged()
		}
		w.followNotStored(what)
	})
	w.window.SetCloseIntercept(w.AskClose)
	w.window.SetOnDropped(func(_ fyne.Position, files []fyne.URI) {
		var paths []string
		for _, file := range files {
			paths = append(paths, file.Path())
		}
		w.Drop(paths)
	})
	return w
}

// Fyne returns the toolkit's window.
func (w *Window) Fyne() fyne.Window { return w.window }

// Show opens the window, with the keyboard where a reading begins.
func (w *Window) Show() {
	w.window.Show()
	w.focus()
}

// build makes everything that the window holds, in the theme that is set.
func (w *Window) build() {
	for _, stop := range w.stops {
		stop()
	}
	w.stops = nil
	w.keys = &keys.Map{Refused: func(action *keys.Action) { w.desk.Say(action.Name + ": not now.") }}
	w.keys.Held = w.cautionHolds
	w.room = &room.Room{
		Session: w.desk, Keys: w.keys, Canvas: w.window.Canvas, Show: w.show, Touch: w.touch, Memory: w.memory,
		Bench:  w.bringBench,
		Choose: w.choose,
		Type:   func(letter rune) { w.bench.Type(letter) },
		Listen: func(f func(session.Changed)) { w.stops = append(w.stops, w.desk.Listen(f)) },
	}
	w.addActions()
	w.bench = bench.New(w.room)
	w.places = newPlaces(w.room)
	w.inspect = inspect.New(w.room)
	w.headline = newHeadline(w)
	w.status = newStatus(w)
	w.right = container.NewStack()
	w.work = container.NewStack()
	w.overlay = newOverlay()
	w.opening = newOpening(w)
	w.alarm = newAlarm(w)
	w.tour = newTour(w)
	w.frame = container.New(look.Above{}, container.New(&look.Rows{}, w.alarm.object, w.tour.object),
		container.NewStack(look.Ground(look.Now().Ground, w.work), w.overlay.object, w.opening.object))
	w.put(w.shown)
	w.lay()
	w.window.SetContent(w.frame)
	w.keys.Serve(w.window.Canvas())
	w.room.Listen(func(what session.Changed) {
		if what.Has(session.Selected) && w.inspecting != w.wantsInspector() {
			w.put(w.shown)
		}
		empty := len(w.desk.Machine().Devices) == 0
		if what.Has(session.Map) && empty != w.empty || what.Has(session.Tasks) && w.bare != w.nothingYet() {
			begins := w.begins()
			w.lay()
			if begins != w.begins() && !w.overlay.up() { // else what is not there any more keeps the keys
				w.focus()
			}
		}
	})
	w.opening.watch(0) // where the window is made anew meanwhile
}

// nothingYet is true while the first file is being opened: there is nothing to
// show yet, and nothing to begin with either.
func (w *Window) nothingYet() bool { return w.desk.View().Path == "" && w.openingTask() != nil }

// lay puts the work into the window: the bench and a place, the bench alone, or
// the ways to begin.
func (w *Window) lay() {
	w.work.RemoveAll()
	w.empty = len(w.desk.Machine().Devices) == 0
	w.bare = w.nothingYet()
	switch {
	case w.bare:
		w.work.Add(container.NewBorder(w.headline.object, w.status.object, nil, nil, canvas.NewRectangle(color.Transparent)))
	case w.begins():
		w.work.Add(container.NewBorder(w.headline.object, w.status.object, nil, nil, w.beginning()))
	case w.alone:
		w.work.Add(container.NewBorder(nil, w.status.object, nil, nil, w.bench.Alone()))
	default:
		w.work.Add(container.NewBorder(w.headline.object, w.status.object, nil, nil, w.sideBySide()))
	}
	w.work.Refresh()
}

// leastBench is how narrow the bench may be, in the smallest type; in a larger
// one it takes no more than mostLeast of a small window.
const (
	leastBench = 380
	mostLeast  = 450
)

// sideBySide is the bench at the left and the place at the right.
func (w *Window) sideBySide() fyne.CanvasObject {
	least := canvas.NewRectangle(color.Transparent)
	least.SetMinSize(fyne.NewSize(min(leastBench*look.Now().Scale(), mostLeast), 1))
	split := container.NewHSplit(container.NewStack(least, w.bench.Object()), w.right)
	split.Offset = w.keep.split()
	w.memory["split"] = split
	return container.New(&folding{window: w, split: split}, split)
}

// show goes to a place, out of the bench alone.
func (w *Window) show(name string) {
	relay := w.alone || w.shown != name && (leastPlace[w.shown] > 0 || leastPlace[name] > 0)
	if !w.put(name) {
		return
	}
	w.alone = false
	if relay {
		w.lay()
	}
}

// put puts a place at the right, and chooses its tab; false if there is none of
// that name.
func (w *Window) put(name string) bool {
	at := slices.IndexFunc(w.places, func(place room.Place) bool { return place.Name() == name })
	if at < 0 {
		return false
	}
	w.shown = name
	for i, place := range w.places {
		if sleeper, ok := place.(room.Sleeper); ok && i != at {
			sleeper.Sleep()
		}
	}
	w.fillRight(w.places[at])
	for i, tab := range w.headline.tabs {
		if chosen := i == at; tab.Chosen != chosen {
			tab.Chosen = chosen
			tab.Refresh()
		}
	}
	if w.tour != nil {
		w.tour.follow()
	}
	return true
}

// wantsInspector is true where what is looked at stands beside the place.
func (w *Window) wantsInspector() bool {
	return (w.shown == room.Chart || w.shown == room.Findings) && w.inspect.Wanted()
}

// fillRight puts a place at the right of the bench.
func (w *Window) fillRight(place room.Place) {
	if split, ok := w.memory["inspect"].(*container.Split); ok && w.inspecting {
		w.keep.setInspect(split.Offset)
	}
	w.right.RemoveAll()
	w.inspecting = w.wantsInspector()
	if w.inspecting {
		split := container.NewHSplit(place.Object(), w.inspect.Object())
		split.Horizontal = w.wide()
		split.Offset = w.keep.inspect()
		w.memory["inspect"] = split
		w.right.Add(split)
	} else {
		w.right.Add(place.Object())
	}
	w.right.Refresh()
}

// leastBeside is how wide the window must be, in the smallest type, for what is
// looked at to stand beside the place; else it stands below.
const leastBeside = 1180

func (w *Window) wide() bool {
	return w.window.Canvas().Size().Width >= leastBeside*look.Now().Scale()
}

// goTo is show, with the keyboard.
func (w *Window) goTo(name string) {
	w.show(name)
	if w.begins() {
		w.window.Canvas().Unfocus()
		return
	}
	if on, ok := w.window.Canvas().Focused().(fyne.CanvasObject); ok && !w.folded() && !within(w.work, on) {
		w.bench.Resume() // it was in the place that went
	}
	for _, place := range w.places {
		if place.Name() == name {
			place.Focus()
		}
	}
}

// within is true of what stands in an object and is not hidden.
func within(object, wanted fyne.CanvasObject) bool {
	switch o := object.(type) {
	case nil:
		return false
	case *fyne.Container:
		return o.Visible() && slices.ContainsFunc(o.Objects, func(inside fyne.CanvasObject) bool { return within(inside, wanted) })
	case *container.Split:
		return o.Visible() && (within(o.Leading, wanted) || within(o.Trailing, wanted))
	case *container.ThemeOverride:
		return o.Visible() && within(o.Content, wanted)
	}
	return object == wanted && object.Visible()
}

// focus puts the keyboard into the field of the bench that had it, at first where a
// reading begins; where there is no bench, to the place that stands alone, or nowhere.
func (w *Window) focus() {
	switch {
	case w.begins():
		w.window.Canvas().Unfocus()
	case w.folded():
		w.goTo(w.shown)
	default:
		w.bench.Resume()
	}
}

// showCard puts a card up, and notes what had the keyboard.
func (w *Window) showCard(card fyne.CanvasObject, width float32, closed func()) {
	back := w.back
	if !w.overlay.up() {
		back = w.window.Canvas().Focused()
	}
	w.overlay.show(card, width, closed)
	w.back = back
}

// hideCard puts it away, and gives the keyboard back to what had it.
func (w *Window) hideCard() {
	w.overlay.hide()
	back := w.back
	w.back = nil
	canvas := w.window.Canvas()
	canvas.Unfocus() // what was on the card is not there any more
	if back != nil {
		canvas.Focus(back)
	}
	if canvas.Focused() == nil {
		w.focus()
	}
}

// begins is true while the window shows how to begin.
func (w *Window) begins() bool {
	return w.desk.View().Path == "" || w.empty && w.shown != room.Parts
}

// folded is true while a place stands without the bench.
func (w *Window) folded() bool {
	split, ok := w.memory["split"].(*container.Split)
	return ok && !w.alone && !split.Leading.Visible()
}

// bringBench brings the bench into sight; false where there is none yet.
func (w *Window) bringBench() bool {
	if w.begins() {
		return false
	}
	if w.folded() {
		w.show(room.Chart)
	}
	return true
}

// fileChanged follows the desk to another file.
func (w *Window) fileChanged() {
	view := w.desk.View()
	title := "Bellout"
	if view.Path != "" {
		title = view.Name() + " - Bellout"
		w.keep.remember(view.Path)
	}
	if view.ReadOnly {
		title = view.Name() + " (read only) - Bellout"
	}
	w.window.SetTitle(title)
	w.cautious = false
	w.overlay.hide()
	w.back = nil // it was about the other file
	w.lay()
	w.focus()
}

// Opened takes the end of an opening: the card of files says what went wrong.
func (w *Window) Opened(err error) {
	if err != nil {
		w.desk.Complain(err)
	}
}

// Close remembers the window as it is, lets the file go, and closes.
func (w *Window) Close() {
	w.letGo()
	w.window.Close()
}

// letGo remembers the window as it is and lets the file go, once.
func (w *Window) letGo() {
	if w.gone {
		return
	}
	w.gone = true
	w.remember()
	w.err = w.desk.Close()
}

// Quit closes at once, where nobody can be asked: Err then says what was typed and not
// stored.
func (w *Window) Quit() {
	w.end()
	w.window.Close()
}

// end lets the file go, and keeps what was typed and not stored for Err.
func (w *Window) end() {
	if w.gone {
		return
	}
	half := w.halfTyped()
	w.letGo()
	if len(half) > 0 {
		w.err = errors.Join(w.err, fmt.Errorf("closed with what was typed and not stored: %s", strings.Join(half, ", ")))
	}
}

// Err is what went wrong while the file was let go, for after the toolkit ended:
// that hears a signal too, and may have ended before the window was closed.
func (w *Window) Err() error {
	w.end()
	return w.err
}

// Recent lists the files that were open lately, the last one first.
func Recent(app fyne.App) []string { return keeping{app.Preferences()}.recent() }

func (w *Window) remember() {
	if size := w.window.Canvas().Size(); size.Width > 0 {
		w.keep.setSize(size)
	}
	if split, ok := w.memory["split"].(*container.Split); ok {
		w.keep.setSplit(split.Offset)
	}
}

// Go goes to a place, as its key does.
func (w *Window) Go(place string) { w.goTo(place) }
