package store

import (
	"errors"
	"fmt"

	"bellout/model"
)

// The ways in which the machine moves through an edit.
const (
	wayDo   = "do"
	wayUndo = "undo"
	wayRedo = "redo"
)

var ways = []string{wayDo, wayUndo, wayRedo}

// move is one change of the machine: a journal row was done, undone or done
// again.
type move struct {
	id, journal int64
	way         string
	uid         string // the move's own, over all copies of the project
	form        string // empty: nothing to add to the edit
	readings    []byte
}

// insertMove keeps a move. readings are the changes to readings that undo and
// redo made, which are not those of the edit; nil for do.
func (f *File) insertMove(journal int64, way string, readings []model.Change) error {
	var form, body any
	if len(readings) > 0 {
		packedForm, packed, err := packEdit(model.Edit{Changes: readings})
		if err != nil {
			return err
		}
		form, body = packedForm, packed
	}
	return f.c.execOne("INSERT INTO moves (journal, way, at, uid, form, readings) VALUES (?, ?, ?, lower(hex(randomblob(16))), ?, ?)",
		journal, way, model.FormatTime(f.options.clock().Round(0)), form, body)
}

func readingChanges(edit model.Edit) (list []model.Change) {
	for _, change := range edit.Changes {
		if change.Table() == model.TableReading {
			list = append(list, change)
		}
	}
	return list
}

// movesSince returns the moves after one, the newest first.
func movesSince(c *conn, after int64) (list []move, err error) {
	err = c.each("SELECT id, journal, way, uid, ifnull(form, ''), ifnull(readings, x'') FROM moves WHERE id > ? ORDER BY id DESC", 6, func(row *cells) error {
		list = append(list, move{id: row.integer(0), journal: row.integer(1), way: word(row, 2, ways), uid: row.note(3),
			form: row.note(4), readings: []byte(row.text(5))})
		return nil
	}, after)
	return list, err
}

// lastMove returns the newest move; 0 if nothing was ever done.
func lastMove(c *conn) (int64, error) { return c.number("SELECT ifnull(max(id), 0) FROM moves") }

// machineAfter returns the machine as it was after a move, 0 for before the
// first: the machine now, taken back move by move. It shares nothing with the
// machine in memory. Cost: that of undoing every edit since, in memory.
func (f *File) machineAfter(id int64) (m *model.Machine, err error) {
	if err := f.c.script("BEGIN"); err != nil { // one state of the file, whoever writes
		return nil, err
	}
	defer func() { err = errors.Join(err, f.c.rollback()) }()
	if err := f.unchanged(); err == nil {
		m = f.machine.Clone()
	} else if !errors.Is(err, ErrChanged) {
		return nil, err
	} else if m, err = loadMachine(f.c); err != nil {
		return nil, err
	}
	back, err := movesSince(f.c, id)
	if err != nil || len(back) == 0 {
		return m, err
	}
	done, err := rowsDone(f.c)
	if err != nil {
		return nil, err
	}
	for _, move := range back {
		way, err := f.wayBefore(m, move)
		if err != nil {
			return nil, err
		}
		if err := m.ApplyStored(way); err != nil {
			return nil, damaged(f.path, fmt.Sprintf("move %d, of journal row %d, does not fit the machine", move.id, move.journal), err)
		}
		done[move.journal] = move.way == wayUndo
	}
	return m, errors.Join(restoreRanks(f.c, m), touchesWhile(f.c, m, done))
}

// wayBefore returns the edit that takes a machine to where it was before the
// move that made it.
func (f *File) wayBefore(m *model.Machine, move move) (way model.Edit, err error) {
	edit, _, err := f.loadEdit(move.journal)
	if err != nil {
		return way, err
	}
	if move.way == wayDo {
		return beforeDo(m, edit), nil
	}
	if move.way == wayUndo {
		edit = edit.Undo()
	}
	for _, change := range edit.Changes {
		if change.Table() != model.TableReading {
			way.Changes = append(way.Changes, change)
		}
	}
	if move.form != "" {
		readings, err := unpackEdit(move.form, move.readings)
		if err != nil {
			return way, damaged(f.path, fmt.Sprintf("move %d cannot be read", move.id), err)
		}
		way.Changes = append(way.Changes, readings...)
	}
	return way.Undo(), nil
}

// beforeDo takes an edit back as if it had never been: readings that it stored
// are not struck out but gone. In a file that was an older version's, readings
// of edits that were undone before may stand differently, or hang on terminals
// that go; they are taken as they are.
func beforeDo(m *model.Machine, edit model.Edit) (way model.Edit) {
	edit = edit.Undo()
	gone := terminalsGone(edit)
	handled, view := map[int64]bool{}, viewOf(m)
	add := func(change model.Change) {
		way.Changes = append(way.Changes, change)
		view.follow(change)
	}
	for _, change := range edit.Changes {
		if change.Table() != model.TableReading {
			way.Changes = append(way.Changes, change)
			continue
		}
		before, was := change.Before.(model.Reading)
		after, is := change.After.(model.Reading)
		number := before.Number
		if !was {
			number = after.Number
		}
		now, here := view.get(number)
		handled[number] = true
		switch {
		case was && here && is:
			struck := now
			struck.Struck = after.Struck
			add(model.Change{Before: now, After: struck})
		case was && here:
			add(model.Change{Before: now})
		case !was && !here:
			add(change)
		}
	}
	if len(gone) > 0 {
		for _, reading := range m.Readings {
			if !handled[reading.Number] && (gone[reading.Red] || gone[reading.Black]) {
				way.Changes = append(way.Changes, model.Change{Before: reading})
			}
		}
	}
	return way
}

func rowsDone(c *conn) (map[int64]bool, error) {
	done := map[int64]bool{}
	err := c.each("SELECT id FROM journal WHERE state = 'done'", 1, func(row *cells) error {
		done[row.integer(0)] = true
		return nil
	})
	return done, err
}

// restoreRanks gives readings that came back what stored them.
func restoreRanks(c *conn, m *model.Machine) error {
	missing := 0
	for _, reading := range m.Readings {
		if reading.Stored == 0 {
			missing++
		}
	}
	if missing == 0 {
		return nil
	}
	ranks := map[int64]int64{}
	err := c.each("SELECT reading, "+rankSQL+" FROM readings", 2, func(row *cells) error {
		ranks[row.integer(0)] = row.integer(1)
		return nil
	})
	for at := range m.Readings {
		m.Readings[at].Stored = ranks[m.Readings[at].Number]
	}
	return err
}
