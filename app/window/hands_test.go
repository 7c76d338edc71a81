package window_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"bellout/app/session"
	"bellout/app/window"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model/store"
	"bellout/model/tables"
)

// noon is the time of every test.
var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// basin is a machine of five devices, that nobody's demo changes.
const basin = "bench/testdata/basin"

// basinFile writes it into a new file.
func basinFile(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "basin.bellout")
	content, err := tables.ReadFS(t.Context(), os.DirFS(basin), "the basin")
	if err != nil {
		t.Fatal(err)
	}
	file, err := store.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	edit, err := content.EditFor(file.Machine())
	if err == nil {
		err = file.Do(edit)
	}
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// emptyFile makes a file with no machine in it.
func emptyFile(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "empty.bellout")
	file, err := store.Create(path)
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// hands work a window by its keyboard.
type hands struct {
	t      testing.TB
	window *window.Window
	desk   *session.Session
}

// sit opens a window of an app on a file; the empty path opens none.
func sit(t testing.TB, app fyne.App, path string, size fyne.Size) *hands {
	t.Helper()
	d := session.New(session.Options{Clock: func() time.Time { return noon }})
	w := window.New(app, d)
	if path != "" {
		d.Open(path, func(err error) {
			if err != nil {
				t.Fatal(err)
			}
		})
	}
	w.Fyne().Resize(size)
	w.Show()
	return &hands{t, w, d}
}

func (h *hands) canvas() fyne.Canvas { return h.window.Fyne().Canvas() }

// press presses named keys, as the toolkit hands them on: to what has the focus,
// else to the window.
func (h *hands) press(keys ...fyne.KeyName) {
	for _, key := range keys {
		event := &fyne.KeyEvent{Name: key}
		if on := h.canvas().Focused(); on != nil {
			on.TypedKey(event)
		} else if typed := h.canvas().OnTypedKey(); typed != nil {
			typed(event)
		}
	}
}

// ctrl presses a letter with Ctrl, or with more.
func (h *hands) ctrl(key fyne.KeyName, more ...fyne.KeyModifier) {
	modifier := fyne.KeyModifierControl
	for _, with := range more {
		modifier |= with
	}
	var shortcut fyne.Shortcut = &desktop.CustomShortcut{KeyName: key, Modifier: modifier}
	switch {
	case key == fyne.KeyZ && modifier == fyne.KeyModifierControl:
		shortcut = &fyne.ShortcutUndo{}
	case key == fyne.KeyY && modifier == fyne.KeyModifierControl:
		shortcut = &fyne.ShortcutRedo{}
	}
	if on, ok := h.canvas().Focused().(fyne.Shortcutable); ok {
		on.TypedShortcut(shortcut)
		return
	}
	h.canvas().(interface{ TypedShortcut(fyne.Shortcut) }).TypedShortcut(shortcut)
}

// write types into what has the focus, in the place of what stands there.
func (h *hands) write(text string) {
	h.t.Helper()
	on := h.canvas().Focused()
	if on == nil {
		h.t.Fatalf("nothing has the focus for %q", text)
	}
	if field, ok := on.(interface{ SetText(string) }); ok {
		field.SetText("")
	}
	test.Type(on, text)
}

// walk looks at everything that is seen.
func (h *hands) walk(look func(fyne.CanvasObject)) {
	var walk func(fyne.CanvasObject)
	walk = func(object fyne.CanvasObject) {
		if object == nil || !object.Visible() {
			return
		}
		look(object)
		switch o := object.(type) {
		case *fyne.Container:
			for _, inside := range o.Objects {
				walk(inside)
			}
		case fyne.Widget:
			for _, inside := range test.WidgetRenderer(o).Objects() {
				walk(inside)
			}
		}
	}
	walk(h.canvas().Content())
}

// texts lists every text that is seen.
func (h *hands) texts() string {
	all := ""
	h.walk(func(object fyne.CanvasObject) {
		switch o := object.(type) {
		case *canvas.Text:
			all += o.Text + "\n"
		case *widget.Label:
			all += o.Text + "\n"
		}
	})
	return all
}

// tap presses what bears some words.
func (h *hands) tap(words string) {
	h.t.Helper()
	var found fyne.Tappable
	h.walk(func(object fyne.CanvasObject) {
		switch o := object.(type) {
		case *look.Press:
			if o.Text == words && found == nil {
				found = o
			}
		case *keys.Button:
			if o.Text == words && found == nil {
				found = o
			}
		}
	})
	if found == nil {
		h.t.Fatalf("nothing says %q", words)
	}
	found.Tapped(&fyne.PointEvent{})
}
