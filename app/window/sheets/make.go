package sheets

import (
	"context"
	"errors"
	"slices"
	"strings"

	"bellout/app/changes"
	"bellout/app/drawing"
	shelf "bellout/app/sheets"
	"bellout/app/sheets/book"
	"bellout/faults"
	"bellout/model/store"
)

// pages are what a preview shows and a document holds.
type pages interface {
	Pages() int
	Size(page int) (width, height float64)
	Draw(page int, pen drawing.Pen)
}

// made is a sheet that is worked out.
type made struct {
	name  string // of the entry
	pages pages  // nil: none
	title string
	job   book.Job
	// replacement is the sheet of a device that comes out; nil of every other.
	replacement *changes.Replacement
}

// make works out what is chosen, beside everything else; what was begun for
// another choice is stopped.
func (p *Place) make() {
	view := p.room.Session.View()
	if p.making != nil {
		p.making.Stop()
		p.making = nil
	}
	p.stale = false
	if view.Path == "" {
		p.made = made{}
		p.preview.show()
		return
	}
	name, paper, d := p.shown, p.paper, p.room.Session
	p.preview.wait()
	d.AskJournal(0, func(journal []store.JournalRow, err error) {
		if err != nil {
			d.Complain(err)
			return
		}
		if name != p.shown { // another one was chosen meanwhile
			return
		}
		d.AskStates(func(named []store.NamedState) {
			job := book.Job{Title: view.Name(), Machine: view.Machine, Journal: journal, State: stateOf(named), Now: d.Now(), Paper: paper, Photo: d.ReadPicture}
			found := made{name: name, job: job}
			task := d.Task("Drawing the sheet", func(ctx context.Context, progress func(done, of int)) error {
				return found.make(ctx, progress)
			}, func(err error) {
				if name != p.shown || errors.Is(err, context.Canceled) {
					return
				}
				p.making = nil
				if err != nil {
					p.made = made{}
					p.preview.fail(err)
					return
				}
				p.made = found
				p.preview.show()
				p.writing.fill()
			})
			if slices.Contains(d.Tasks(), task) { // it is not done yet
				p.making = task
			}
		})
	})
}

// stateOf is the state that stands in the title block.
func stateOf(named []store.NamedState) string {
	if len(named) == 0 {
		return ""
	}
	last := named[len(named)-1]
	if last.Edited {
		return last.Name + ", edited since"
	}
	return last.Name
}

func (m *made) make(ctx context.Context, progress func(done, of int)) error {
	device, is := strings.CutPrefix(m.name, replacing)
	switch {
	case is:
		known := faults.Diagnose(m.job.Machine)
		replacement, err := changes.Replace(known, device)
		if err != nil {
			return err
		}
		m.job.Diagnosis, m.replacement = known, replacement
		sheet, err := book.Replacement(ctx, m.job, replacement)
		if err != nil {
			return err
		}
		m.pages, m.title = book.Bind(sheet), sheet.Title
		return nil
	case m.name == labels:
		name := "tag"
		if m.job.Paper == book.Letter {
			name = "tag-letter"
		}
		sheet, err := shelf.FindLabelSheet(name)
		if err != nil {
			return err
		}
		kept := &recording{}
		shelf.DrawLabels(kept, sheet, shelf.Labels(m.job.Machine))
		m.pages, m.title = kept, "Labels"
		return ctx.Err()
	}
	var names []string
	if m.name != wholeBook {
		names = []string{m.name}
	}
	list, err := book.Make(ctx, m.job, func(_ string, done, total int) { progress(done, total) }, names...)
	if err != nil {
		return err
	}
	m.pages, m.title = book.Bind(list...), "Book"
	if m.name != wholeBook && len(list) > 0 {
		m.title = list[0].Title
	}
	return nil
}
