package session

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

// Unstored are readings that were typed and that the file does not take now: it
// was moved or replaced, the disk is full, another program holds it. They are
// kept until it takes them, everything is saved elsewhere, or they are dropped.
type Unstored struct {
	Readings []model.Reading // none, where the file was moved and no reading waits
	Why      string          // empty: all is stored
}

// Unstored returns what the file does not take now.
func (d *Session) Unstored() Unstored { return d.unstored }

// String says a reading as in "G1:+ to E1:+: 12.5".
func readingWords(r model.Reading) string {
	return fmt.Sprintf("%s to %s: %s", r.Red, r.Black, r.Value)
}

// Words lists the readings, a line each.
func (u Unstored) Words() []string {
	list := make([]string, len(u.Readings))
	for i, r := range u.Readings {
		list[i] = readingWords(r)
	}
	return list
}

// StoreAgain tries once more to store what the file did not take.
func (d *Session) StoreAgain() { d.worker.do((*worker).storeKept) }

// DropUnstored forgets the readings that the file did not take.
func (d *Session) DropUnstored() {
	d.worker.do(func(w *worker) {
		w.kept = nil
		w.tellKept(nil)
	})
}

// SaveElsewhere writes everything that is open to a new file, goes on in that,
// and stores there what the old one did not take. What holds at the bench goes
// along.
func (d *Session) SaveElsewhere(path string, done func(error)) {
	things := d.benchThings()
	d.Task("Saving elsewhere", func(ctx context.Context, progress func(done, of int)) error {
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) { finished <- w.saveElsewhere(ctx, path, things, progress) })
		return <-finished
	}, done)
}

func (w *worker) saveElsewhere(ctx context.Context, path string, things store.BenchThings, progress func(done, of int)) error {
	if w.file == nil {
		return errors.New("no file is open; open one first")
	}
	if err := w.file.Backup(ctx, path, progress); err != nil {
		return err
	}
	file, err := store.Open(path, store.ReadWrite, w.storeOptions()...)
	if err != nil {
		return err
	}
	for _, kind := range benchKinds {
		if err := file.KeepBench(kind, things[kind]); err != nil {
			return errors.Join(err, file.Close())
		}
	}
	if err := w.begin(file, faults.Diagnose(file.Snapshot()), false, ""); err != nil {
		w.tellOwner(Notice{Text: err.Error(), Bad: true}) // of the old file
	}
	w.publish() // the owner forgets what was about the old file, before the readings come
	w.storeKept()
	return nil
}

// keptReading is a reading that the file did not take yet.
type keptReading struct {
	reading model.Reading
	took    *nextprobe.Proposal // nil if the tips were the person's own
	failed  bool                // it was tried, and may have come into a file that was moved meanwhile
}

// keepReading takes a reading in and stores it, behind those that wait.
func (w *worker) keepReading(reading model.Reading, took *nextprobe.Proposal) {
	w.kept = append(w.kept, keptReading{reading: reading, took: took})
	w.storeKept()
}

// storeKept stores what waits, in its order. What the file does not take now
// stays; what the map has no place for is told of, and goes.
func (w *worker) storeKept() {
	if w.file == nil {
		return
	}
	for len(w.kept) > 0 {
		err := w.storeOne(w.kept[0])
		if _, is := errors.AsType[*store.Error](err); is {
			w.kept[0].failed = true
			w.tellKept(err) // first: who hears that it is not stored looks whether it is kept
			w.tellOwner(Notice{Text: "not stored, and kept: " + err.Error(), Bad: true})
			return
		}
		w.kept = w.kept[1:]
		if err != nil {
			w.tellOwner(Notice{Text: "not stored: " + err.Error(), Bad: true})
		}
	}
	if w.told {
		w.tellKept(nil)
	}
}

// storedBefore finds a reading that came into the file, which was moved before
// that could be said.
func (w *worker) storedBefore(k keptReading) (int64, bool) {
	if k.failed {
		for _, reading := range w.file.Machine().Readings {
			if reading.Key() == k.reading.Key() {
				return reading.Number, true
			}
		}
	}
	return 0, false
}

// tellKept tells the owner what the file does not take, and why; nil: it takes
// all.
func (w *worker) tellKept(why error) {
	told := Unstored{}
	for _, k := range w.kept {
		told.Readings = append(told.Readings, k.reading)
	}
	if why != nil {
		told.Why = why.Error()
	}
	w.told = why != nil
	d := w.desk
	d.deliver(func() {
		d.unstored = told
		d.tell(NotStored)
	})
}

// complain tells the owner what went wrong with the file; that it was moved, where
// everything can be saved elsewhere.
func (w *worker) complain(words string, err error) {
	w.tellOwner(Notice{Text: words + err.Error(), Bad: true})
	if errors.Is(err, store.ErrMoved) && !w.told {
		w.tellKept(err)
	}
}

// taken follows a file that takes something again: put back, what waits goes
// into it.
func (w *worker) taken() {
	switch {
	case !w.told:
	case len(w.kept) > 0:
		w.storeKept()
	default:
		w.tellKept(nil)
	}
}

// leave stores what waits before the file is let go; an error names what it does
// not take.
func (w *worker) leave() error {
	w.storeKept()
	if len(w.kept) == 0 {
		return nil
	}
	words := make([]string, len(w.kept))
	for i, k := range w.kept {
		words[i] = readingWords(k.reading)
	}
	return fmt.Errorf("%s: not stored: %s; Ctrl S saves everything elsewhere, or drops them", w.file.Path(), strings.Join(words, ", "))
}
