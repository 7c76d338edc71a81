// Package keys is the one list of what can be done in the window, each with the
// key that does it. Whatever has the focus, the key works: fields of type Entry
// hand on what they do not need themselves.
package keys

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// Action is one thing that can be done.
type Action struct {
	Name  string // a verb phrase, as in "Take the proposed probe"
	Group string // under which heading the list of keys shows it
	Key   Key
	// Also are other keys that do it, which the list of keys does not show: what one
	// keyboard has on one key another has on two.
	Also []Key
	Do   func()
	// Able says whether it can be done now; nil means always.
	Able func() bool
}

// Key is a key with modifiers. Without modifiers only function keys, Escape and
// the like serve, since letters belong to the fields.
type Key struct {
	Name fyne.KeyName
	With fyne.KeyModifier
}

// Ctrl is a key with the modifier that the desktop uses for commands.
func Ctrl(name fyne.KeyName) Key { return Key{name, fyne.KeyModifierShortcutDefault} }

// CtrlShift is the same with shift.
func CtrlShift(name fyne.KeyName) Key {
	return Key{name, fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// Plain is a key by itself.
func Plain(name fyne.KeyName) Key { return Key{Name: name} }

// String prints the key as its cap shows it, as in "Ctrl Z".
func (k Key) String() string {
	var words []string
	for _, modifier := range []struct {
		is   fyne.KeyModifier
		word string
	}{{fyne.KeyModifierControl, "Ctrl"}, {fyne.KeyModifierSuper, "Cmd"}, {fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, "Shift"}} {
		if k.With&modifier.is != 0 {
			words = append(words, modifier.word)
		}
	}
	name := string(k.Name)
	switch k.Name {
	case fyne.KeyReturn:
		name = "Enter"
	case fyne.KeyEscape:
		name = "Esc"
	case fyne.KeyMinus:
		name = "-"
	case fyne.KeyPageDown:
		name = "Page Down"
	case fyne.KeyPageUp:
		name = "Page Up"
	}
	if name != "" {
		words = append(words, name)
	}
	return strings.Join(words, " ")
}

// Map holds the actions of one window.
type Map struct {
	actions []*Action
	half    []*Entry // what is half typed
	// Refused is called where an action is not possible now.
	Refused func(*Action)
	// Held is true for what must wait until something that asks is answered; nil
	// holds nothing back.
	Held func(*Action) bool
}

// Add adds an action and returns it. Two actions of one key are a mistake in
// the program.
func (m *Map) Add(action Action) *Action {
	for _, key := range action.keys() {
		if other := m.at(key); other != nil {
			panic("keys: " + key.String() + " is both " + other.Name + " and " + action.Name)
		}
	}
	m.actions = append(m.actions, &action)
	return &action
}

// keys are all that do it.
func (a *Action) keys() []Key {
	if a.Key.Name == "" {
		return a.Also
	}
	return append([]Key{a.Key}, a.Also...)
}

// Actions lists every action in the order in which they were added.
func (m *Map) Actions() []*Action { return m.actions }

func (m *Map) at(key Key) *Action {
	for _, action := range m.actions {
		if slices.Contains(action.keys(), key) {
			return action
		}
	}
	return nil
}

// Run does an action, if it can be done now.
func (m *Map) Run(action *Action) {
	if m.Held != nil && m.Held(action) || action.Able != nil && !action.Able() {
		if m.Refused != nil {
			m.Refused(action)
		}
		return
	}
	action.Do()
}

// Press does what a key does; false if it does nothing.
func (m *Map) Press(key Key) bool {
	action := m.at(key)
	if action == nil {
		return false
	}
	m.Run(action)
	return true
}

// shortcutKey returns the key of a toolkit's shortcut.
func shortcutKey(shortcut fyne.Shortcut) (Key, bool) {
	if keyed, ok := shortcut.(fyne.KeyboardShortcut); ok {
		return Key{keyed.Key(), keyed.Mod()}, true
	}
	return Key{}, false
}

// Serve makes the keys work on a canvas wherever the focus is. What has the
// focus must hand on what it does not know, as Entry does.
func (m *Map) Serve(canvas fyne.Canvas) {
	for _, action := range m.actions {
		for _, key := range action.keys() {
			if key.With != 0 {
				m.serve(canvas, key)
			}
		}
	}
	canvas.SetOnTypedKey(func(event *fyne.KeyEvent) { m.Press(Plain(event.Name)) })
}

func (m *Map) serve(canvas fyne.Canvas, key Key) {
	press := func(fyne.Shortcut) { m.Press(key) }
	canvas.AddShortcut(&desktop.CustomShortcut{KeyName: key.Name, Modifier: key.With}, press)
	for _, named := range []fyne.Shortcut{&fyne.ShortcutUndo{}, &fyne.ShortcutRedo{}} {
		if is, ok := shortcutKey(named); ok && is == key {
			canvas.AddShortcut(named, press)
		}
	}
}

// PressShortcut does what a shortcut's key does; false if it does nothing.
func (m *Map) PressShortcut(shortcut fyne.Shortcut) bool {
	key, ok := shortcutKey(shortcut)
	return ok && m.Press(key)
}
