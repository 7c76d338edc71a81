package session

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"bellout/faults"
	"bellout/model/store"
)

// Open puts a file on the desk in the place of the one that lies there. A file
// that may not be written is opened for reading, and the view says why. A large
// one takes seconds: it is a task that the person sees and can stop. done, which
// may be nil, is told what went wrong; the file from before then stays. It ends
// an opening that is still under way.
func (d *Session) Open(path string, done func(error)) {
	for _, older := range d.tasks {
		if older.Opening {
			older.Stop()
		}
	}
	ctx, task := d.begin("Opening " + strings.TrimSuffix(filepath.Base(path), ".bellout"))
	task.Opening = true
	d.tell(Tasks)
	d.worker.do(func(w *worker) {
		err := w.open(ctx, path, task.progress)
		w.publish() // before the end is told: between the two nothing would be open
		d.end(task, err, done)
	})
}

func samePath(a, b string) bool {
	first, err := filepath.Abs(a)
	second, other := filepath.Abs(b)
	return err == nil && other == nil && first == second
}

// Reading the rows of a file takes about a fifth of the time, and judging what
// it holds the rest. Measured with 100,000 terminals.
const (
	openSteps   = 1000
	openReading = openSteps / 5
)

func (w *worker) open(ctx context.Context, path string, progress func(done, of int)) error {
	if err := w.leave(); err != nil {
		return err
	}
	if w.file != nil && !w.view.ReadOnly && samePath(path, w.file.Path()) {
		switch _, err := w.file.Refresh(); {
		case err == nil: // it is the one that is open
			w.diagnose(true)
			return nil
		case errors.Is(err, store.ErrMoved): // another file is there now: this one has nothing to hold
			if err := w.file.Release(); err != nil {
				return err
			}
		}
	}
	reading := store.WithProgress(func(done, of int) error {
		progress(done*openReading/max(of, 1), openSteps)
		return ctx.Err()
	})
	file, readOnly, why, err := openFile(path, append(w.storeOptions(), reading))
	if err != nil {
		return err
	}
	known, err := diagnose(ctx, file, func(done, of int) {
		progress(openReading+done*(openSteps-openReading)/of, openSteps)
	})
	if err != nil {
		return errors.Join(err, file.Close())
	}
	return w.begin(file, known, readOnly, why)
}

// diagnose returns as soon as ctx ends: what is being worked out for nobody any
// more ends by itself soon after. It reads the machine in memory only.
func diagnose(ctx context.Context, file *store.File, progress func(done, of int)) (*faults.Diagnosis, error) {
	type result struct {
		known *faults.Diagnosis
		err   error
	}
	ready := make(chan result, 1)
	machine := file.Snapshot()
	go func() {
		known, err := faults.DiagnoseInSteps(ctx, machine, progress)
		ready <- result{known, err}
	}()
	select {
	case r := <-ready:
		return r.known, r.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// openFile opens a file for writing or, where it cannot be written, for
// reading.
func openFile(path string, options []store.Option) (file *store.File, readOnly bool, why string, err error) {
	file, err = store.Open(path, store.ReadWrite, options...)
	if err == nil {
		return file, false, "", nil
	}
	var problem *store.Error
	if !errors.As(err, &problem) {
		return nil, false, "", err
	}
	for _, kind := range []error{store.ErrHeld, store.ErrReadOnly, store.ErrNoPermission, store.ErrLocked} {
		if errors.Is(problem, kind) {
			if file, again := store.Open(path, store.ReadOnly, options...); again == nil {
				return file, true, whyReadOnly(problem), nil
			} else if errors.Is(again, context.Canceled) {
				return nil, false, "", again
			}
		}
	}
	return nil, false, "", err
}

// whyReadOnly says why a file cannot be written, and who has it open where that
// is known.
func whyReadOnly(problem *store.Error) string {
	var held *store.HeldError
	if errors.As(problem, &held) {
		return "it is open in another window: " + held.Error()
	}
	return problem.Problem
}

// stopped is how long work ends that the person stopped.
type stopped struct{ name string }

func (s stopped) Error() string { return fmt.Sprintf("%s: stopped; everything is as it was.", s.name) }

// Unwrap lets callers ask whether it was the person.
func (s stopped) Unwrap() error { return context.Canceled }
