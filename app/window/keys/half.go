package keys

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// What is typed by hand and was not taken yet is half typed: it is asked about before
// it would be lost.

// note follows what is typed by hand.
func (e *Entry) note() {
	half := !e.Passing && strings.TrimSpace(e.Text) != "" && e.Text != e.set
	if e.keys == nil || half == slices.Contains(e.keys.half, e) {
		return
	}
	if half {
		e.keys.half = append(e.keys.half, e)
		return
	}
	e.keys.half = slices.DeleteFunc(e.keys.half, func(other *Entry) bool { return other == e })
}

// SetText puts a text into the field that nobody typed. What was marked is not marked
// any more: the toolkit would take the next letter to write over it, and lose it. The
// caret stands behind the text, or the next letter would go before it.
func (e *Entry) SetText(text string) {
	if e.SelectedText() != "" {
		e.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
		e.Entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
	}
	e.set = text
	e.put(text)
	e.note()
}

// put writes a text and leaves the caret behind it.
func (e *Entry) put(text string) {
	if text == e.Text {
		return
	}
	e.Entry.SetText(text)
	e.CursorColumn = len([]rune(e.Text))
	e.Refresh()
}

// Taken says that what was typed is where it belongs, or not wanted any more.
func (e *Entry) Taken() {
	e.set = e.Text
	e.note()
}

// Half is true while something is half typed.
func (e *Entry) Half() bool { return e.keys != nil && slices.Contains(e.keys.half, e) }

// Words say what is half typed, and in which field.
func (e *Entry) Words() string {
	name := e.Name
	if name == "" {
		name = e.PlaceHolder
	}
	return fmt.Sprintf("“%s” (%s)", strings.TrimSpace(e.Text), name)
}

// HalfTyped lists what is half typed in the fields of the window.
func (m *Map) HalfTyped() []string {
	list := make([]string, len(m.half))
	for i, e := range m.half {
		list[i] = e.Words()
	}
	return list
}

// HandOver gives what is half typed in fields that go to those of the same name that
// come in their place, and returns the words of what found none.
func HandOver(gone, come []*Entry) (lost []string) {
	for _, old := range gone {
		if !old.Half() {
			continue
		}
		at := slices.IndexFunc(come, func(e *Entry) bool { return e.Name == old.Name && e.PlaceHolder == old.PlaceHolder })
		if at < 0 {
			lost = append(lost, old.Words())
		} else {
			come[at].put(old.Text)
			come[at].note()
		}
		old.Taken()
	}
	return lost
}
