package session

import (
	"context"
	"errors"

	"bellout/app/changes"
	"bellout/model"
	"bellout/model/merge"
	"bellout/model/store"
)

// AskStates reads the names of states, in the order in which they were given.
func (d *Session) AskStates(answer func([]store.NamedState)) {
	d.worker.do(func(w *worker) {
		var list []store.NamedState
		if w.file != nil {
			var err error
			if list, err = w.file.States(); err != nil {
				w.tellOwner(Notice{Text: err.Error(), Bad: true})
			}
		}
		d.deliver(func() { answer(list) })
	})
}

// NameState gives the machine as it is now a name.
func (d *Session) NameState(name string, done func(error)) {
	if err := d.checkWritable(); err != nil {
		d.finish(done, err)
		return
	}
	d.worker.do(func(w *worker) {
		if w.file == nil {
			return
		}
		d.finish(done, w.attempt(func() error { return w.file.NameState(name) }))
	})
}

// AskJournal reads the last rows of the history, the newest first; all where limit is
// 0.
func (d *Session) AskJournal(limit int, answer func([]store.JournalRow, error)) {
	d.worker.do(func(w *worker) {
		if w.file == nil {
			d.deliver(func() { answer(nil, nil) })
			return
		}
		rows, err := w.file.Journal(limit)
		d.deliver(func() { answer(rows, err) })
	})
}

// Present is the name that Compare takes for the machine as it is.
const Present = "now"

// Compare holds two states of the file against each other, by their names, or the
// file as it is (Present), and works out what differs and what must be verified
// again. It is long work that the person sees and can stop.
func (d *Session) Compare(from, to string, answer func(*changes.Sides, *changes.Report, *changes.Again, error)) {
	var sides *changes.Sides
	var report *changes.Report
	var again *changes.Again
	d.Task("Comparing", func(ctx context.Context, progress func(done, of int)) error {
		type pair struct {
			before, after *model.Machine
			err           error
		}
		read := make(chan pair, 1)
		d.worker.do(func(w *worker) {
			if w.file == nil {
				read <- pair{err: errors.New("no file is open; open one first")}
				return
			}
			var p pair
			p.before, p.err = w.machineAt(from)
			if p.err == nil {
				p.after, p.err = w.machineAt(to)
			}
			read <- p
		})
		p := <-read
		if p.err != nil {
			return p.err
		}
		progress(1, 3)
		var err error
		if sides, err = changes.Look(ctx, from, p.before, to, p.after); err != nil {
			return err
		}
		report = sides.Report()
		progress(2, 3)
		again, err = sides.Again(ctx)
		return err
	}, func(err error) { answer(sides, report, again, err) })
}

func (w *worker) machineAt(state string) (*model.Machine, error) {
	if state == Present {
		return w.machine(), nil
	}
	return w.file.MachineAt(state)
}

// Joining is a merge with another copy of the file that is being decided: nothing
// is changed until it is made.
type Joining struct {
	Path      string
	Conflicts []changes.Conflict
	plan      *merge.Plan
}

// AskJoin looks at another copy of the file and lists what has to be decided.
func (d *Session) AskJoin(path string, answer func(*Joining, error)) {
	if err := d.checkWritable(); err != nil {
		d.deliver(func() { answer(nil, err) })
		return
	}
	var found *Joining
	d.Task("Looking at the other copy", func(ctx context.Context, _ func(done, of int)) error {
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) {
			finished <- w.withOther(path, func(other *store.File, parting *store.MergeBase) error {
				plan, err := merge.Make(ctx, parting.Base, w.file.Machine(), other.Machine())
				if err != nil {
					return err
				}
				found = &Joining{Path: path, Conflicts: changes.Conflicts(plan.Conflicts()), plan: plan}
				return nil
			})
		})
		return <-finished
	}, func(err error) { answer(found, err) })
}

// Join brings the other copy's work in, as one edit. choose is asked for each
// conflict by its key. Both files are looked at anew: what somebody did meanwhile
// and is not decided ends it, and nothing is changed.
func (d *Session) Join(path string, chosen map[string]merge.Choice, done func(what string, rows int, err error)) {
	if err := d.checkWritable(); err != nil {
		d.deliver(func() { done("", 0, err) })
		return
	}
	what, rows := "", 0
	d.Task("Merging", func(ctx context.Context, _ func(done, of int)) error {
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) {
			err := w.withOther(path, func(other *store.File, parting *store.MergeBase) error {
				plan, err := merge.Make(ctx, parting.Base, w.file.Machine(), other.Machine())
				if err != nil {
					return err
				}
				for _, c := range plan.Conflicts() {
					if _, decided := chosen[changes.ConflictKey(c)]; !decided {
						return errors.New(changes.ConflictKey(c) + " came meanwhile and is not decided; open the other copy again")
					}
				}
				result, err := plan.Decide(func(c merge.Conflict) merge.Choice { return chosen[changes.ConflictKey(c)] })
				if err != nil {
					return err
				}
				if err := ctx.Err(); err != nil {
					return err // the last moment at which nothing was changed
				}
				what, rows = result.Edit.What, len(result.Edit.Changes)
				return w.file.Merge(other, parting, result)
			})
			if err == nil && rows > 0 {
				w.diagnose(true)
				w.publish()
			}
			finished <- err
		})
		return <-finished
	}, func(err error) { done(what, rows, err) })
}

// withOther opens another copy for reading as long as f runs.
func (w *worker) withOther(path string, f func(*store.File, *store.MergeBase) error) (err error) {
	if w.file == nil {
		return errors.New("no file is open; open one first")
	}
	if path == w.file.Path() {
		return errors.New("that is the file that is open; name the other copy")
	}
	other, err := store.Open(path, store.ReadOnly, w.storeOptions()...)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, other.Close()) }()
	return w.attempt(func() error {
		parting, err := w.file.Base(other)
		if err != nil {
			return err
		}
		return f(other, parting)
	})
}

// ReadPicture returns the bytes of a photo by its hash, for work beside the desk:
// it waits for the worker.
func (d *Session) ReadPicture(hash string) ([]byte, error) {
	type answer struct {
		content []byte
		err     error
	}
	read := make(chan answer, 1)
	d.worker.do(func(w *worker) {
		if w.file == nil {
			read <- answer{err: errors.New("no file is open; open one first")}
			return
		}
		content, err := w.file.PictureBytes(hash)
		read <- answer{content, err}
	})
	got := <-read
	return got.content, got.err
}
