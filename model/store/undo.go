package store

import (
	"fmt"

	"bellout/model"
)

// UndoWhat says what Undo would take back; false if there is nothing.
func (f *File) UndoWhat() (what string, ok bool, err error) { return f.what(lastDoneSQL) }

// RedoWhat says what Redo would make again; false if there is nothing.
func (f *File) RedoWhat() (what string, ok bool, err error) { return f.what(firstUndoneSQL) }

const (
	lastDoneSQL    = "SELECT id, what FROM journal WHERE state = 'done' ORDER BY id DESC LIMIT 1"
	firstUndoneSQL = "SELECT id, what FROM journal WHERE state = 'undone' ORDER BY id LIMIT 1"
)

func (f *File) what(query string) (what string, ok bool, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return "", false, err
	}
	id, what, err := f.journalRow(query)
	return what, id != 0, f.readError(err)
}

func (f *File) journalRow(query string) (id int64, what string, err error) {
	err = f.c.each(query, 2, func(row *cells) error {
		id, what = row.integer(0), row.note(1)
		return nil
	})
	return id, what, err
}

// Undo takes back the last edit that is done and returns what it was.
// ErrNothingToUndo if there is none.
func (f *File) Undo() (what string, err error) {
	return f.travel(lastDoneSQL, NotDone, ErrNothingToUndo)
}

// Redo makes the edit again that Undo took back last. ErrNothingToRedo if there
// is none, or another edit was made since.
func (f *File) Redo() (what string, err error) {
	return f.travel(firstUndoneSQL, Done, ErrNothingToRedo)
}

// travel goes through one journal row, back or forth.
func (f *File) travel(query string, to State, none error) (what string, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	err = f.transact(func() error {
		id, said, err := f.journalRow(query)
		if err != nil {
			return err
		}
		if id == 0 {
			return &Error{Kind: none, Path: f.path, Problem: none.Error()}
		}
		what = said
		edit, kind, err := f.loadEdit(id)
		if err != nil {
			return err
		}
		if to == NotDone {
			edit = edit.Undo()
		}
		journey, err := f.journey(edit, id, to == NotDone)
		if err != nil {
			return err
		}
		if err := f.apply(journey.edit, true); err != nil {
			return damaged(f.path, fmt.Sprintf("journal row %d does not fit the machine", id), err)
		}
		net := netChanges(journey.edit.Changes)
		w := newWriter(f.c, id, f.lastReading)
		w.undone = journey.undone
		if err := w.write(net); err != nil {
			return err
		}
		if err := f.retouch(net, id, kind, to); err != nil {
			return err
		}
		if err := f.c.execOne("UPDATE journal SET state = ? WHERE id = ?", string(to), id); err != nil {
			return err
		}
		if err := f.retouchMerge(id); err != nil {
			return err
		}
		way := wayUndo
		if to == Done {
			way = wayRedo
		}
		return f.insertMove(id, way, readingChanges(journey.edit))
	})
	if err != nil {
		return "", err
	}
	return what, nil
}

// undoStep is what going through a journal row does to the machine.
type undoStep struct {
	edit   model.Edit
	undone map[int64]bool // readings that the edit stored, on the way back
}

// journey puts the readings of an edit that is gone through into what may
// happen to a reading: it is struck out, goes away with its terminals, or comes
// back.
func (f *File) journey(edit model.Edit, id int64, back bool) (undoStep, error) {
	out := undoStep{edit: model.Edit{What: edit.What}, undone: map[int64]bool{}}
	gone := terminalsGone(edit)
	leaves := func(r model.Reading) bool { return gone[r.Red] || gone[r.Black] }
	returning := map[int64]model.Reading{}
	away, err := awayReadings(f.c, id)
	if err != nil {
		return out, err
	}
	for _, reading := range away {
		returning[reading.Number] = reading
	}
	handled, view := map[int64]bool{}, viewOf(f.machine)
	add := func(before, after model.Row) {
		change := model.Change{Before: before, After: after}
		out.edit.Changes = append(out.edit.Changes, change)
		view.follow(change)
	}
	for _, change := range edit.Changes {
		if change.Table() != model.TableReading {
			out.edit.Changes = append(out.edit.Changes, change)
			continue
		}
		before, was := change.Before.(model.Reading)
		after, is := change.After.(model.Reading)
		number := after.Number
		if !is {
			number = before.Number
		}
		now, here := view.get(number)
		if came, ok := returning[number]; ok && is && !here {
			came.Struck = after.Struck
			add(nil, came)
			handled[number] = true
			continue
		}
		if !here && handled[number] { // it left with a terminal, by an earlier change of this edit
			out.undone[number] = out.undone[number] || !is && back
			continue
		}
		if !here {
			return out, damaged(f.path, fmt.Sprintf("reading %d of journal row %d is missing", number, id), nil)
		}
		struck := now
		switch {
		case is:
			struck.Struck = after.Struck
		case was && back:
			struck.Struck = Undone
			out.undone[number] = true
		}
		handled[number] = true
		switch {
		case leaves(now):
			add(now, nil)
		case struck.Struck != now.Struck:
			add(now, struck)
		}
	}
	if len(gone) > 0 {
		for _, reading := range f.machine.Readings {
			if leaves(reading) && !handled[reading.Number] {
				add(reading, nil)
			}
		}
	}
	for _, reading := range away {
		if !handled[reading.Number] {
			add(nil, reading)
		}
	}
	return out, nil
}

// terminalsGone returns the terminals that are not there any more after an edit.
func terminalsGone(edit model.Edit) map[model.TerminalRef]bool {
	gone := map[model.TerminalRef]bool{}
	for _, change := range edit.Changes {
		if before, was := change.Before.(model.Terminal); was {
			gone[before.Ref()] = true
		}
		if after, is := change.After.(model.Terminal); is {
			delete(gone, after.Ref())
		}
	}
	return gone
}

// retouch takes the touches of a journal row out of the machine, or brings them
// in again. In the file they stay, and count while their row is done.
func (f *File) retouch(net []netChange, id int64, kind string, to State) error {
	if to == Done {
		return f.touchAgain(net, id, kind)
	}
	kept := make([]model.PathChange, 0, len(f.machine.Touches))
	for _, touch := range f.machine.Touches {
		if touch.Stored != rankOf(id) {
			kept = append(kept, touch)
		}
	}
	f.machine.Touches = kept
	return nil
}

// touchAgain brings the touches of a row back that is done again. Version 2 had
// deleted them when it was undone.
func (f *File) touchAgain(net []netChange, id int64, kind string) error {
	touches, err := touchesStored(f.c, id)
	if err != nil {
		return err
	}
	if len(touches) == 0 {
		return f.touch(net, id, kind)
	}
	f.addTouches(touches)
	return nil
}

// retouchMerge loads the touches anew where the row was a merge: those have
// ranks between the rows of this file.
func (f *File) retouchMerge(id int64) error {
	merges, err := f.c.number("SELECT count(*) FROM merges WHERE journal = ?", id)
	if err != nil || merges == 0 {
		return err
	}
	f.machine.Touches, err = loadTouches(f.c)
	return err
}
