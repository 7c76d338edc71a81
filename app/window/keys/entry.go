package keys

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Entry is a field of one line that hands on the keys which it does not need,
// so that every action works while somebody types.
type Entry struct {
	widget.Entry
	keys *Map
	// OnKey is asked first about a named key; true means that it was taken.
	OnKey func(fyne.KeyName) bool
	typed bool // something was typed since the focus came, or since Enter
	// Name says what the field is for, where its place holder does not.
	Name string
	// Passing is true of a field that only looks for something: nothing is lost with
	// what is typed there.
	Passing bool
	set     string // what nobody typed
	// OnFocus is told when the focus comes (true) and goes.
	OnFocus func(bool)
}

// NewEntry returns a field whose spare keys go to a map.
func NewEntry(keys *Map) *Entry {
	e := &Entry{keys: keys}
	e.ExtendBaseWidget(e)
	return e
}

// TypedKey takes what the field, or OnKey, needs, and hands on the rest.
func (e *Entry) TypedKey(event *fyne.KeyEvent) {
	if e.OnKey != nil && e.OnKey(event.Name) {
		return
	}
	if e.keys != nil && e.keys.Press(Plain(event.Name)) {
		return
	}
	e.typed = event.Name != fyne.KeyReturn && event.Name != fyne.KeyEnter && (e.typed || event.Name == fyne.KeyBackspace || event.Name == fyne.KeyDelete)
	e.Entry.TypedKey(event)
	e.note()
}

// TypedRune takes a letter.
func (e *Entry) TypedRune(r rune) {
	e.typed = true
	e.Entry.TypedRune(r)
	e.note()
}

// TypedShortcut takes what a field needs (copy, paste, select all, and undo
// while something half typed could be taken back), and hands on the rest.
func (e *Entry) TypedShortcut(shortcut fyne.Shortcut) {
	defer e.note()
	switch shortcut.(type) {
	case *fyne.ShortcutCopy, *fyne.ShortcutCut, *fyne.ShortcutPaste, *fyne.ShortcutSelectAll:
		e.Entry.TypedShortcut(shortcut)
		return
	case *fyne.ShortcutUndo, *fyne.ShortcutRedo:
		if e.typed {
			e.Entry.TypedShortcut(shortcut)
			return
		}
	}
	if key, ok := shortcutKey(shortcut); ok && e.keys != nil && e.keys.Press(key) {
		return
	}
	e.Entry.TypedShortcut(shortcut)
}

// FocusGained shows the focus, and tells OnFocus.
func (e *Entry) FocusGained() {
	e.Entry.FocusGained()
	e.typed = false
	if e.OnFocus != nil {
		e.OnFocus(true)
	}
}

// FocusLost does the same for the end of it.
func (e *Entry) FocusLost() {
	e.Entry.FocusLost()
	if e.OnFocus != nil {
		e.OnFocus(false)
	}
}
