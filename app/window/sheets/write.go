package sheets

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/drawing/pdf"
	"bellout/app/drawing/svg"
	shelf "bellout/app/sheets"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model/atomicfile"
)

// writing is the row above the preview: where the sheet goes.
type writing struct {
	place  *Place
	object *fyne.Container
	field  *keys.Entry
	wrong  *look.Paragraph
	paper  *look.Press
	forms  *look.Paragraph
	typed  bool   // the path is the person's own
	asked  string // the path of a file that is there, while writing once more replaces it
}

func newWriting(p *Place) *writing {
	w := &writing{place: p, wrong: look.BadProse(""), forms: look.NewParagraph("", look.Now().Size(theme.SizeNameCaptionText), look.Now().Soft, fyne.TextStyle{})}
	w.wrong.Hide()
	w.field = keys.NewEntry(p.room.Keys)
	w.field.Passing = true // a path is looked for, and stays there
	w.field.SetPlaceHolder("a path, as in sheets/doorcard.pdf")
	w.field.OnSubmitted = func(string) { w.submit() }
	w.field.OnChanged = func(text string) {
		w.typed = text != "" && text != w.proposed()
		p.room.Memory[pathMemory] = text
	}
	write := keys.NewButton(p.room.Keys, "Save", "Ctrl E", w.submit)
	printing := keys.NewButton(p.room.Keys, "Print", "Ctrl P", w.print)
	w.paper = look.NewPress("A4", "Ctrl Shift P", p.turnPaper)
	row := container.New(&look.Trailing{Gap: 4, Least: 240}, container.NewBorder(nil, nil, container.NewCenter(look.Caption("to")), nil, w.field), write, printing, w.paper)
	w.object = container.New(&look.Rows{Gap: 3}, row, w.forms, w.wrong)
	w.object = container.NewStack(padded(w.object))
	if text, ok := p.room.Memory[pathMemory].(string); ok && text != "" {
		w.field.SetText(text)
		w.typed = true
	}
	return w
}

// key is the button's: the path is read first, then the same key writes.
func (w *writing) key() {
	if canvas := w.place.room.Canvas(); canvas != nil && canvas.Focused() == w.field {
		w.submit()
		return
	}
	w.place.focusOn(w.field)
	w.place.room.Session.Say("Enter, or Ctrl E once more, writes the sheet to this path.")
}

// proposed is the path that stands there until somebody types another.
func (w *writing) proposed() string {
	m := w.place.made
	if m.pages == nil {
		return ""
	}
	return strings.TrimSuffix(w.place.room.Session.View().Path, ".bellout") + "-" + strings.ReplaceAll(m.name, " ", "-") + ".pdf"
}

// fill follows the sheet that is shown. A path that somebody typed stays.
func (w *writing) fill() {
	w.paper.Text = map[string]string{"a4": "A4", "letter": "Letter"}[string(w.place.paper)]
	w.paper.Refresh()
	w.wrong.Hide()
	if !w.typed {
		w.field.SetText(w.proposed()) // the caret behind it: its end tells more than the folder
		w.typed = false
	}
	words := "The ending says in which form: .pdf"
	if w.place.made.pages != nil && w.place.made.pages.Pages() == 1 {
		words += ", .svg"
	}
	words += ", or a path without ending: a folder of SVG pages"
	if sheet, is := w.table(); is {
		words += "; or " + sheet.Endings() + " for the table itself"
	}
	words += "."
	if w.place.made.replacement != nil {
		words += " Ctrl Shift Q gives the bench the measurements, one by one."
	}
	w.forms.Set(words, look.Now().Soft)
	w.lay()
}

// table is the sheet as a file for other programs, where there is one.
func (w *writing) table() (shelf.Sheet, bool) {
	at := slices.IndexFunc(shelf.Sheets, func(s shelf.Sheet) bool { return s.Name == w.place.made.name })
	if at < 0 {
		return shelf.Sheet{}, false
	}
	return shelf.Sheets[at], true
}

// submit writes the sheet. What goes wrong is said under the field, and what was
// typed stays.
func (w *writing) submit() {
	path, m := withHome(strings.TrimSpace(w.field.Text)), w.place.made
	if m.pages == nil || path == "" {
		return
	}
	if w.isProject(path) {
		w.tell(errors.New("that is the project itself; name another file"))
		return
	}
	replace := w.asked == path
	w.asked = ""
	table, hasTable := w.table()
	w.place.room.Session.Task("Writing "+filepath.Base(path), func(ctx context.Context, progress func(done, of int)) error {
		if hasTable {
			if form, err := table.FormOf(path); err == nil {
				job := shelf.Job{Title: m.job.Title, Printed: m.job.Now, Machine: m.job.Machine, Progress: func(_ string, done, total int) { progress(done, total) }}
				return atomicfile.Write(path, replace, func(to io.Writer) error { return table.Write(ctx, to, form, job) })
			}
		}
		return m.write(ctx, path, replace, progress)
	}, func(err error) {
		if exists, is := errors.AsType[*atomicfile.ExistsError](err); is {
			w.asked = exists.Path
			err = fmt.Errorf("%s is there already. Ctrl E once more writes over it; or write another name", path)
		}
		w.tell(err)
		if err == nil {
			w.place.room.Session.Say(path + " is written.")
		}
	})
}

// isProject says whether a path names the project that is open. That one is told
// by its place: whoever opens and closes it takes away its locks.
func (w *writing) isProject(path string) bool {
	there, err := os.Stat(path)
	project, unknown := os.Stat(w.place.room.Session.View().Path)
	return err == nil && unknown == nil && os.SameFile(there, project)
}

func (w *writing) tell(err error) {
	if err == nil {
		w.wrong.Hide()
	} else {
		w.wrong.Set(err.Error(), look.Now().Bad)
		w.wrong.Show()
	}
	w.lay()
}

// lay gives the row the height that it needs now.
func (w *writing) lay() {
	w.object.Refresh()
	if w.place.sheet != nil {
		w.place.sheet.Refresh()
	}
}

// write writes pages as PDF, as one SVG page, or as a folder of them.
func (m *made) write(ctx context.Context, path string, replace bool, progress func(done, of int)) error {
	ending := strings.ToLower(filepath.Ext(path))
	switch {
	case ending == ".pdf":
		return atomicfile.Write(path, replace, func(to io.Writer) error { return m.pdf(ctx, to, progress) })
	case ending == ".svg" && m.pages.Pages() == 1:
		return atomicfile.Write(path, replace, func(to io.Writer) error { return m.svg(ctx, 1, to) })
	case ending == ".svg":
		return fmt.Errorf("that is %d pages; end it in .pdf, or name a folder without an ending", m.pages.Pages())
	case ending != "":
		return fmt.Errorf("%s is no form of this sheet; see the line above", ending)
	}
	files := make([]atomicfile.File, m.pages.Pages())
	for i := range files {
		files[i] = atomicfile.File{Name: fmt.Sprintf("%03d-%s.svg", i+1, strings.ReplaceAll(m.name, " ", "-")), Write: func(to io.Writer) error {
			progress(i, len(files))
			return m.svg(ctx, i+1, to)
		}}
	}
	return atomicfile.WriteNewFolder(strings.TrimRight(path, string(filepath.Separator)), files...)
}

func (m *made) pdf(ctx context.Context, to io.Writer, progress func(done, of int)) error {
	doc := pdf.New(pdf.Info{Title: m.job.Title + ": " + m.title, Subject: m.job.State, Created: m.job.Now})
	for page := 1; page <= m.pages.Pages(); page++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		progress(page-1, m.pages.Pages())
		width, height := m.pages.Size(page)
		m.pages.Draw(page, doc.Page(width, height, ""))
	}
	return doc.Write(to)
}

func (m *made) svg(ctx context.Context, page int, to io.Writer) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	doc := svg.New(nil)
	width, height := m.pages.Size(page)
	m.pages.Draw(page, doc.Page(width, height, ""))
	return doc.Write(to)
}

// withHome reads a leading ~ as the person's own folder, as a shell does.
func withHome(path string) string {
	rest, tilde := strings.CutPrefix(path, "~"+string(filepath.Separator))
	if home, err := os.UserHomeDir(); tilde && err == nil {
		return filepath.Join(home, rest)
	}
	return path
}
