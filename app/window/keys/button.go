package keys

import (
	"fyne.io/fyne/v2"

	"bellout/app/window/look"
)

// Button is a press that takes the focus: Enter or the space bar does what it
// is for, and the keys that it does not need go to the map.
type Button struct {
	look.Press
	keys *Map
}

// NewButton returns a button.
func NewButton(keys *Map, text, key string, tap func()) *Button {
	b := &Button{keys: keys}
	b.Text, b.Key, b.OnTap = text, key, tap
	b.ExtendBaseWidget(b)
	return b
}

// FocusGained shows that Enter would press it.
func (b *Button) FocusGained() { b.SetFocused(true) }

// FocusLost ends it.
func (b *Button) FocusLost() { b.SetFocused(false) }

// TypedRune takes nothing: the space bar comes as a key.
func (b *Button) TypedRune(rune) {}

// TypedKey presses, or hands the key on.
func (b *Button) TypedKey(event *fyne.KeyEvent) {
	switch event.Name {
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeySpace:
		b.Tapped(nil)
	default:
		if b.keys != nil {
			b.keys.Press(Plain(event.Name))
		}
	}
}

// TypedShortcut hands it on.
func (b *Button) TypedShortcut(shortcut fyne.Shortcut) {
	if key, ok := shortcutKey(shortcut); ok && b.keys != nil {
		b.keys.Press(key)
	}
}
