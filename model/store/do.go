package store

import (
	"errors"
	"fmt"
	"strings"

	"bellout/model"
)

// Do makes an edit: in the file, in the machine and in the journal, or nowhere.
// An edit that the machine does not take gives its *model.RowError; an edit of
// no changes does nothing.
//
// Joined rows that seen wires of the edit make needless go with it. New readings get their Number and Stored here, counted on in the order of the
// edit. A reading may be deleted only together with one of its terminals, and
// then stays in the file; see the package's comment.
func (f *File) Do(edit model.Edit) error {
	if len(edit.Changes) == 0 {
		return nil
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error { return f.do(f.machine.WithoutNeedless(edit), kindEdit) })
}

// Log stores one reading and, for a discovery, the wire that it found. When it
// returns, both are on the disk. It returns the reading's number. A reading
// without a time gets that of the clock.
func (f *File) Log(reading model.Reading, with ...model.Change) (number int64, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if reading.At.IsZero() {
		reading.At = f.options.clock().Round(0)
	}
	reading.Number = 0 // given by do
	changes := append(append(make([]model.Change, 0, len(with)+1), with...), model.Change{After: reading})
	what := fmt.Sprintf("reading %s to %s: %s", reading.Red, reading.Black, reading.Value)
	err = f.transact(func() error {
		number = f.lastReading + 1
		return f.do(model.Edit{What: what, Changes: changes}, kindReading)
	})
	if err != nil {
		return 0, err
	}
	return number, nil
}

// Strike strikes a reading out. It stays in the file, and is no longer evidence.
func (f *File) Strike(number int64, reason string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if strings.TrimSpace(reason) == "" {
		return fmt.Errorf("reading %d: no reason to strike it out; say why, in a few words", number)
	}
	return f.transact(func() error {
		before, found := f.machine.Reading(number)
		if !found {
			return fmt.Errorf("there is no reading %d; the readings go up to %d", number, f.lastReading)
		}
		if !before.Stands() {
			return fmt.Errorf("reading %d is struck out already: %s", number, before.Struck)
		}
		after := before
		after.Struck = reason
		return f.do(model.Edit{
			What:    fmt.Sprintf("reading %d struck out: %s", number, reason),
			Changes: []model.Change{{Before: before, After: after}},
		}, kindEdit)
	})
}

// transact runs work, which changes memory through f.apply, in one transaction:
// both happen, or neither.
func (f *File) transact(work func() error) error {
	if err := f.still(); err != nil {
		return err
	}
	if f.mode != ReadWrite {
		return errWritten(f.path)
	}
	if err := f.c.begin(); f.strange(err) {
		return f.afterChange()
	} else if err != nil {
		return fileError(f.path, err)
	}
	before := f.state
	touches := f.machine.Touches
	f.wayBack = nil
	err := f.unchanged()
	if err == nil {
		err = work()
	}
	if err == nil {
		_, err = f.inPlace()
	}
	if err == nil {
		err = f.c.commit()
	}
	if err == nil {
		// Again, now that it is stored: then it is stored in a file that has another
		// name, or none, and the machine in memory is what that file holds.
		now, err := f.inPlace()
		if err == nil {
			f.stat = now
		}
		return err
	}
	changed := errors.Is(err, ErrChanged) || f.strange(err)
	rolledBack := f.c.rollback()
	f.state = before
	f.machine.Touches = touches
	var takenBack error
	for i := len(f.wayBack) - 1; i >= 0 && takenBack == nil; i-- {
		takenBack = f.machine.ApplyStored(f.wayBack[i])
	}
	switch {
	case changed:
		return f.afterChange()
	case rolledBack != nil || takenBack != nil:
		err = errors.Join(err, f.loadAgain())
	default: // rolling back gave the file another time
		if now, gone := f.inPlace(); gone == nil {
			f.stat = now
		}
	}
	return fileError(f.path, err)
}

// afterChange loads what another program changed, and tells of it.
func (f *File) afterChange() error {
	if err := f.loadAgain(); err != nil {
		return f.readError(err)
	}
	return f.changedMeanwhile()
}

// unchanged says, inside a transaction, whether the file is as we know it.
func (f *File) unchanged() error {
	version, err := f.c.number("PRAGMA data_version")
	if err != nil {
		return err
	}
	if version != f.version || f.writtenOver() {
		return f.changedMeanwhile()
	}
	return nil
}

func (f *File) changedMeanwhile() error {
	return &Error{Kind: ErrChanged, Path: f.path, Problem: "another program changed the file meanwhile", Mend: "look at the machine again and repeat"}
}

// Refresh looks whether another program changed the file and, if so, loads the
// machine anew.
func (f *File) Refresh() (changed bool, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return false, err
	}
	switch err := f.c.whenFree(f.options.wait, f.unchanged); {
	case err == nil:
		return false, nil
	case !errors.Is(err, ErrChanged) && !f.strange(err):
		return false, f.readError(err)
	}
	if err := f.loadAgain(); err != nil {
		return false, f.readError(err)
	}
	return true, nil
}

// apply makes an edit in memory and notes the way back.
func (f *File) apply(edit model.Edit, stored bool) error {
	apply := f.machine.Apply
	if stored {
		apply = f.machine.ApplyStored
	}
	if err := apply(edit); err != nil {
		return err
	}
	f.wayBack = append(f.wayBack, edit.Undo())
	return nil
}

// doing says what is special about an edit; the zero value but for id and kind
// is an ordinary one.
type doing struct {
	id     int64 // of its journal row
	kind   string
	stored bool // the conditions of its readings were checked when they were taken
	// rank places a new reading, under the number that it has in the edit, in the
	// order of things; nil: at the journal row.
	rank func(model.Reading) int64
	// touches says what the edit touched; nil: what it changes says it.
	touches func(net []netChange, id int64) []timedTouch
}

// do is the inside of every new edit.
func (f *File) do(edit model.Edit, kind string) error {
	return f.doAs(edit, doing{id: f.lastJournal + 1, kind: kind})
}

func (f *File) doAs(edit model.Edit, as doing) error {
	id := as.id
	prepared, added := f.prepare(edit, id)
	if as.rank != nil {
		for at, change := range prepared.Changes {
			if reading, isNew := change.After.(model.Reading); isNew && change.Before == nil {
				reading.Stored = as.rank(edit.Changes[at].After.(model.Reading))
				prepared.Changes[at].After = reading
			}
		}
	}
	packed := packBeside(prepared)
	defer packed.wait()
	if err := f.apply(prepared, as.stored); err != nil {
		return err
	}
	if err := f.keepReadings(prepared); err != nil {
		return err
	}
	if _, err := f.c.exec("UPDATE journal SET state = 'dropped' WHERE state = 'undone'"); err != nil {
		return err
	}
	row := JournalRow{ID: id, At: f.options.clock().Round(0), What: edit.What, Changes: len(edit.Changes), State: Done}
	if err := insertJournal(f.c, row, as.kind); err != nil {
		return err
	}
	net := netChanges(prepared.Changes)
	w := newWriter(f.c, id, f.lastReading)
	w.ended = f.options.ended
	err := w.write(net)
	if err != nil {
		return err
	}
	if as.touches != nil {
		err = f.keepTouches(id, as.touches(net, id))
	} else {
		err = f.touch(net, id, as.kind)
	}
	if err != nil {
		return err
	}
	form, body, err := packed.wait()
	if err != nil {
		return err
	}
	if err := insertEdit(f.c, id, form, body); err != nil {
		return err
	}
	if err := f.insertMove(id, wayDo, nil); err != nil {
		return err
	}
	f.lastJournal = id
	f.lastReading += added
	if f.firstStored == 0 && added > 0 {
		f.firstStored = id
	}
	return nil
}

// addTouches adds touches in memory. A new slice: the old one stays as it is for
// the way back.
func (f *File) addTouches(touches []model.PathChange) {
	f.machine.Touches = append(f.machine.Touches[:len(f.machine.Touches):len(f.machine.Touches)], touches...)
}

func (f *File) keepTouches(row int64, touches []timedTouch) error {
	list := make([]model.PathChange, len(touches))
	for i, touch := range touches {
		if err := insertTouch(f.c, row, touch); err != nil {
			return err
		}
		list[i] = touch.PathChange
	}
	f.addTouches(list)
	return nil
}

func untimed(touches []model.PathChange) []timedTouch {
	list := make([]timedTouch, len(touches))
	for i, touch := range touches {
		list[i].PathChange = touch
	}
	return list
}

// touch keeps where the edit of a journal row changed conduction, if there are
// readings that it could make stale.
func (f *File) touch(net []netChange, id int64, kind string) error {
	if f.firstStored == 0 || f.firstStored >= id {
		return nil
	}
	return f.keepTouches(id, untimed(touchesOf(net, id, kind == kindReading)))
}
