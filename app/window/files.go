package window

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/theme"

	"bellout/app/window/keys"
	"bellout/app/window/look"
)

const ending = ".bellout"

// askNew asks where a new file is to be.
func (w *Window) askNew() {
	w.askPath("A new file", "Begin", freshPath(), func(path string, done func(error)) { w.desk.Create(ended(path), done) }, nil)
}

// askCopy asks where a copy is to go. The window stays with the file that is
// open, unless that takes nothing any more.
func (w *Window) askCopy() {
	if w.desk.Unstored().Why != "" {
		w.askElsewhere()
		return
	}
	path := freeBeside(w.desk.View().Path, "-copy")
	w.askPath("Save a copy", "Save", path, func(path string, done func(error)) {
		path = ended(path)
		w.desk.SaveCopy(path, func(err error) {
			if err == nil {
				w.desk.Say("The copy is " + path + ".")
			}
			done(err)
		})
	}, nil)
}

// askOpen asks for a file, those that were open lately first.
func (w *Window) askOpen() {
	t := look.Now()
	recent := container.NewVBox()
	for _, path := range w.keep.recent() {
		if open, err := filepath.Abs(w.desk.View().Path); err == nil && path == open {
			continue
		}
		open := keys.NewButton(w.keys, filepath.Base(path), "", func() { w.open(path, w.told) })
		recent.Add(container.NewBorder(nil, nil, open, nil, container.NewHBox(container.NewCenter(look.Caption(filepath.Dir(path))))))
	}
	others := container.NewHBox(keys.NewButton(w.keys, "New file", "Ctrl N", w.askNew))
	if w.desk.View().Path != "" {
		others.Add(keys.NewButton(w.keys, "Save a copy", "Ctrl S", w.askCopy))
	}
	extra := container.NewVBox(others)
	if len(recent.Objects) > 0 {
		extra = container.NewVBox(look.Line("Recent", t.Soft, theme.SizeNameText, fyne.TextStyle{Bold: true}), recent, look.Gap(6), others)
	}
	start := ""
	if path := w.desk.View().Path; path != "" {
		start = filepath.Dir(path) + string(filepath.Separator)
	}
	w.askPath("Open a file", "Open", start, w.open, extra)
}

func (w *Window) open(path string, done func(error)) { w.desk.Open(path, done) }

// told says what went wrong in the status line, and puts the card away else.
func (w *Window) told(err error) {
	if err != nil {
		w.desk.Complain(err)
		return
	}
	w.hideCard()
}

// askPath puts up a card with one field for a path, and what belongs below it.
// What goes wrong is said under the field, and what was typed stays.
func (w *Window) askPath(title, verb, path string, do func(path string, done func(error)), extra fyne.CanvasObject) {
	w.askPathAfter(title, nil, verb, path, do, extra)
}

// askPathAfter is askPath with something that is read first.
func (w *Window) askPathAfter(title string, first fyne.CanvasObject, verb, path string, do func(path string, done func(error)), extra fyne.CanvasObject) {
	t := look.Now()
	field := keys.NewEntry(w.keys)
	field.SetText(path)
	field.SetPlaceHolder("a path, as in machines/lock.bellout")
	field.Passing = true
	wrong := look.BadProse("")
	wrong.Hide()
	under := false // what was asked for is under way
	submit := func() {
		text := strings.TrimSpace(field.Text)
		if text == "" || under {
			return
		}
		under = true
		do(withHome(text), func(err error) {
			under = false
			if err != nil {
				wrong.Set(err.Error(), t.Bad)
				wrong.Show()
				w.overlay.object.Refresh()
				return
			}
			w.hideCard()
		})
	}
	field.OnSubmitted = func(string) { submit() }
	begin := keys.NewButton(w.keys, verb, "Enter", submit)
	begin.Primary = true
	browse := keys.NewButton(w.keys, "Browse...", "", func() { w.browse(field) })
	cancel := keys.NewButton(w.keys, "Close", "Esc", w.escape)
	rows := container.NewVBox(look.Line(title, t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}), spaced())
	if first != nil {
		rows.Add(first)
		rows.Add(spaced())
	}
	rows.Add(field)
	rows.Add(wrong)
	rows.Add(container.NewHBox(begin, browse, cancel, layout.NewSpacer()))
	if extra != nil {
		rows.Add(spaced())
		rows.Add(extra)
	}
	w.showCard(rows, 760, nil)
	w.window.Canvas().Focus(field)
	field.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// ended is a path with the ending of projects, for whoever leaves it out.
func ended(path string) string {
	if filepath.Ext(path) == "" {
		return path + ending
	}
	return path
}

// browse chooses a project for a field, for those who would rather point.
func (w *Window) browse(field *keys.Entry) {
	w.choose([]string{ending}, func(path string) { field.SetText(path) })
}

// choose shows the toolkit's own list of files, and gives the keyboard back.
func (w *Window) choose(endings []string, do func(path string)) {
	held := w.window.Canvas().Focused()
	chooser := dialog.NewFileOpen(func(file fyne.URIReadCloser, err error) {
		if err != nil {
			w.desk.Complain(err)
			return
		}
		if file != nil {
			w.desk.Complain(file.Close())
			do(file.URI().Path())
		}
	}, w.window)
	chooser.SetOnClosed(func() {
		w.chooser = nil
		w.window.Canvas().Focus(held)
	})
	w.chooser = chooser
	chooser.SetFilter(storage.NewExtensionFileFilter(endings))
	chooser.Show()
}

// Drop takes files that were dropped on the window: a project is opened, pictures are
// photos of the device that is looked at.
func (w *Window) Drop(paths []string) {
	switch {
	case len(paths) == 1 && filepath.Ext(paths[0]) == ending:
		w.open(paths[0], w.told)
	case !w.inspect.Drop(paths):
		w.desk.Say("Drop a " + ending + " file to open it, or a JPEG or PNG of the device that is selected.")
	}
}

// withHome reads a leading ~ as the person's own folder, as a shell does.
func withHome(path string) string {
	rest, tilde := strings.CutPrefix(path, "~"+string(filepath.Separator))
	if home, err := os.UserHomeDir(); tilde && err == nil {
		return filepath.Join(home, rest)
	}
	return path
}

// freeBeside is a path beside a file, with something added to its name, that no
// file has.
func freeBeside(path, added string) string {
	stem := strings.TrimSuffix(path, ending) + added
	free := stem + ending
	for number := 2; ; number++ {
		if _, err := os.Lstat(free); err != nil {
			return free
		}
		free = fmt.Sprintf("%s-%d%s", stem, number, ending)
	}
}

// freshPath is a path in the current folder that no file has.
func freshPath() string {
	folder, err := os.Getwd()
	if err != nil {
		folder = "."
	}
	for _, name := range []string{"machine", "machine-2", "machine-3", "machine-4"} {
		path := filepath.Join(folder, name+ending)
		if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
			return path
		}
	}
	return folder + string(filepath.Separator)
}
