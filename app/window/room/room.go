// Package room is what every place of the window has at hand: the desk, the
// keys, and the ways to the other places.
package room

import (
	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/app/window/keys"
)

// Room is handed to each place when it is made. A place is made anew when the
// theme or the size of type changes; what must outlive that, and is not on the
// desk, it keeps in Memory.
type Room struct {
	Session *session.Session
	Keys    *keys.Map
	// Canvas is that of the window, for the focus and for overlays; nil before the
	// window shows.
	Canvas func() fyne.Canvas
	// Choose shows the toolkit's list of files with one of the endings, and hands on
	// the path that was chosen.
	Choose func(endings []string, do func(path string))
	// Show goes to a place by its name.
	Show func(place string)
	// Bench brings the bench into sight where a place stands without it; false where
	// there is none yet. nil: it is always there.
	Bench func() bool
	// Type takes a letter that was typed where nothing takes letters to the bench: it
	// would be lost else.
	Type func(letter rune)
	// Touch sees to it that the caution card was shown before the first reading of
	// the sitting, and then does what was asked for.
	Touch func(do func())
	// Memory outlives a place that is made anew; keys begin with the place's name.
	Memory map[string]any
	// Listen is Desk.Listen for a place: it ends when the place is made anew.
	Listen func(func(session.Changed))
}

// Place is one of the places where a person works.
type Place interface {
	Name() string
	Object() fyne.CanvasObject
	// Focus puts the keyboard where work begins.
	Focus()
}

// Sleeper is a place that need not follow the desk while it is not seen. Object
// wakes it.
type Sleeper interface{ Sleep() }

// The names of the places, as their tabs show them.
const (
	Chart    = "Chart"
	Findings = "Findings"
	Parts    = "Parts"
	Sheets   = "Sheets"
)
