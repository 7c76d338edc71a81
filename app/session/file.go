package session

import (
	"context"
	"errors"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model/store"
)

// Create makes a new file and puts it on the desk. It replaces no file.
func (d *Session) Create(path string, done func(error)) {
	d.worker.do(func(w *worker) {
		if err := w.leave(); err != nil {
			d.finish(done, err)
			return
		}
		file, err := store.Create(path, w.storeOptions()...)
		if err == nil {
			err = w.begin(file, faults.Diagnose(file.Snapshot()), false, "")
		}
		d.finish(done, err)
	})
}

// finish tells done, or, where there is none, the status line.
func (d *Session) finish(done func(error), err error) {
	d.deliver(func() {
		if done != nil {
			done(err)
			return
		}
		d.Complain(err)
	})
}

func (w *worker) storeOptions() []store.Option {
	return []store.Option{store.WithClock(w.desk.options.Clock), store.WithHold()}
}

// Refresh looks whether another program wrote to the file, as when the window
// comes back to the front.
func (d *Session) Refresh() {
	d.worker.do(func(w *worker) {
		if w.file == nil {
			return
		}
		changed, err := w.file.Refresh()
		if w.view.ReadOnly && errors.Is(err, store.ErrChanged) {
			changed, err = true, w.readAgain()
		}
		if changed && err == nil {
			w.diagnose(true)
			w.followLive()
		}
		if err != nil {
			w.complain("", err)
			return
		}
		w.taken()
	})
}

// readAgain opens a file that is only read once more: it was read as one that
// cannot change, and did.
func (w *worker) readAgain() error {
	file, err := store.Open(w.file.Path(), store.ReadOnly, w.storeOptions()...)
	if err != nil {
		return err
	}
	older := w.file
	w.file = file
	return older.Close()
}

// followLive takes over what is live from the window that writes the file, where
// this one only reads it.
func (w *worker) followLive() {
	if !w.view.ReadOnly {
		return
	}
	things, err := w.file.Bench()
	if err != nil {
		w.tellOwner(Notice{Text: err.Error(), Bad: true})
		return
	}
	w.desk.deliver(func() {
		w.desk.takeLive(things[store.BenchLive])
		w.desk.tell(Conditions)
	})
}

// SaveCopy writes the file, as it is now, to another path.
func (d *Session) SaveCopy(path string, done func(error)) {
	d.Task("Saving a copy", func(ctx context.Context, progress func(done, total int)) error {
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) {
			if w.file == nil {
				finished <- errors.New("no file is open; open one first")
				return
			}
			finished <- w.file.Backup(ctx, path, progress)
		})
		return <-finished
	}, done)
}

// SetGoal sets what probing is for; an empty goal leaves it to the machine.
// clips is true where there are clip leads.
func (d *Session) SetGoal(goal nextprobe.Goal, clips bool) {
	d.worker.do(func(w *worker) {
		w.options = nextprobe.Options{Goal: goal, Clips: clips}
		if w.file == nil {
			return
		}
		w.plan()
		next := w.view
		next.Next, next.Goal = nil, goal
		w.hand(next, Proposal)
	})
}

// forget clears what was about the file that lay here before.
func (d *Session) forget() {
	d.tips[Red], d.tips[Black] = noTip, noTip
	d.condition, d.selection, d.highlight, d.outcome, d.offered = nil, Selection{}, Highlight{}, nil, nil
	d.notice, d.aside, d.queued = Notice{}, nil, Waiting{}
	d.held, d.putBack, d.live, d.kept = nil, nil, nil, store.BenchThings{}
}
