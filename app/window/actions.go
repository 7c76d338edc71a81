package window

import (
	"strings"

	"fyne.io/fyne/v2"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// Headings of the list of keys.
const (
	groupFile   = "File"
	groupPlaces = "Places"
	groupWindow = "Window"
)

// addActions adds what the window itself does; the bench and the places add
// theirs.
func (w *Window) addActions() {
	open := func() bool { return w.desk.View().Path != "" }
	empty := func() bool { return open() && len(w.desk.Machine().Devices) == 0 }
	for _, action := range []keys.Action{
		{Name: "New file", Group: groupFile, Key: keys.Ctrl(fyne.KeyN), Do: w.askNew},
		{Name: "Open a file", Group: groupFile, Key: keys.Ctrl(fyne.KeyO), Do: w.askOpen},
		{Name: "Save a copy", Group: groupFile, Key: keys.Ctrl(fyne.KeyS), Do: w.askCopy, Able: open},
		{Name: "Undo", Group: groupFile, Key: keys.Ctrl(fyne.KeyZ), Do: w.desk.Undo, Able: func() bool { return w.desk.View().Undo != "" }},
		{Name: "Make again", Group: groupFile, Key: keys.Ctrl(fyne.KeyY), Do: w.desk.Redo, Able: func() bool { return w.desk.View().Redo != "" }},
		{Name: "Read a table", Group: groupFile, Key: tableKey, Do: w.askImport, Able: open},
		{Name: "Begin from a supply", Group: groupFile, Key: supplyKey, Do: w.beginSupply, Able: empty},
		{Name: "Begin from a connector", Group: groupFile, Key: connectorKey, Do: w.beginConnector, Able: empty},
		{Name: "Stop long work", Group: groupFile, Key: haltKey, Do: w.halt, Able: func() bool { return len(w.desk.Tasks()) > 0 }},
		{Name: "Bench alone, and back", Group: groupPlaces, Key: keys.Ctrl(fyne.KeyB), Do: w.toggleAlone, Able: open},
		{Name: "Every key", Group: groupWindow, Key: keys.Plain(fyne.KeyF1), Do: w.listKeys},
		{Name: "Light or dark", Group: groupWindow, Key: keys.Ctrl(fyne.KeyD), Do: w.turnLight},
		{Name: "Larger type", Group: groupWindow, Key: keys.Ctrl(fyne.KeyPlus), Also: plusKeys, Do: func() { w.resizeType(1) }},
		{Name: "Smaller type", Group: groupWindow, Key: keys.Ctrl(fyne.KeyMinus), Also: minusKeys, Do: func() { w.resizeType(-1) }},
		{Name: "Close, or clear the selection", Group: groupWindow, Key: keys.Plain(fyne.KeyEscape), Do: w.escape},
	} {
		w.keys.Add(action)
	}
	for _, name := range []string{room.Chart, room.Findings, room.Parts, room.Sheets} {
		w.keys.Add(keys.Action{Name: name, Group: groupPlaces, Key: keys.Plain(placeKeys[name]), Do: func() { w.goTo(name) }, Able: open})
	}
}

// Where + and - are on a keyboard that has no key of its own for them: the toolkit names
// a key by what it bears without Shift, and digits always as digits. + is on the shifted
// = of many; on 1 of Swiss and Czech ones, on 3 of Hungarian, on 4 of Turkish ones; - is
// on 6 of French ones.
var (
	plusKeys = []keys.Key{
		keys.CtrlShift(fyne.KeyPlus), keys.Ctrl(fyne.KeyEqual), keys.CtrlShift(fyne.KeyEqual),
		keys.CtrlShift(fyne.Key1), keys.CtrlShift(fyne.Key3), keys.CtrlShift(fyne.Key4),
	}
	minusKeys = []keys.Key{keys.Ctrl(fyne.Key6)}
)

// placeKeys are the keys of the places, as their tabs show them.
var placeKeys = map[string]fyne.KeyName{
	room.Chart: fyne.KeyF2, room.Findings: fyne.KeyF3, room.Parts: fyne.KeyF4, room.Sheets: fyne.KeyF5,
}

func (w *Window) toggleAlone() {
	w.alone = !w.alone
	w.lay()
	w.focus()
}

func (w *Window) turnLight() {
	if !w.mayRestyle() {
		return
	}
	dark := !look.Now().Dark
	w.keep.setDark(dark)
	w.restyle(look.New(dark, look.Now().TextSize))
}

func (w *Window) resizeType(by int) {
	size := min(max(look.Now().TextSize+look.TextSize(by), look.Near), look.AcrossTheBench)
	if size == look.Now().TextSize || !w.mayRestyle() {
		return
	}
	w.keep.setText(size)
	w.restyle(look.New(look.Now().Dark, size))
}

// mayRestyle says, and tells, whether everything can be made anew: what is half typed
// and kept nowhere would be lost.
func (w *Window) mayRestyle() bool {
	half := w.keys.HalfTyped()
	switch {
	case len(half) > 0:
		w.desk.Say("Not while this is typed: " + strings.Join(half, ", ") + ". Enter stores it.")
	case w.overlay.up():
		w.desk.Say("Not while a card is up: Esc puts it away.")
	default:
		return true
	}
	return false
}

// restyle puts another theme on, and makes everything anew in it.
func (w *Window) restyle(theme *look.Theme) {
	elsewhere := w.window.Canvas().Focused() != nil && !w.bench.Focused()
	w.remember()
	w.app.Settings().SetTheme(theme)
	w.build()
	if w.focus(); elsewhere && !w.begins() {
		w.goTo(w.shown)
	}
}

// Press does what a key does, as its cap shows it; false if it does nothing.
func (w *Window) Press(cap string) bool {
	for _, action := range w.keys.Actions() {
		if action.Key.String() == cap {
			return w.keys.Press(action.Key)
		}
	}
	return false
}

// Actions lists everything that can be done, with its key.
func (w *Window) Actions() []*keys.Action { return w.keys.Actions() }
