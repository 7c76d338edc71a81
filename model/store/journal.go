package store

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/mattn/go-sqlite3"

	"bellout/model"
)

// State says where a journal row stands in the history.
type State string

// The states of a journal row.
const (
	Done    State = "done"
	NotDone State = "undone"  // taken back; Redo makes it again
	Dropped State = "dropped" // taken back, and something else was done since
)

// Undone is the reason by which Undo strikes a reading out.
const Undone = model.Undone

// The kinds of journal row. kindReading is one made by Log: the wire that it
// brings was found, not put in.
const (
	kindEdit    = "edit"
	kindReading = "reading"
)

var (
	storedKinds = []string{kindEdit, kindReading}
	rowStates   = []State{Done, NotDone, Dropped}
)

// JournalRow is one edit of the history.
type JournalRow struct {
	ID      int64
	At      time.Time
	What    string
	Changes int // how many rows it changed
	State   State
}

// Journal returns the last rows of the history, the newest first; all of them
// where limit is 0. Cost: linear in what comes back, whatever the edits hold.
func (f *File) Journal(limit int) ([]JournalRow, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	if limit <= 0 {
		limit = -1
	}
	list := []JournalRow{}
	err := f.c.each("SELECT id, at, what, changes, state FROM journal ORDER BY id DESC LIMIT ?", 5, func(row *cells) error {
		list = append(list, JournalRow{
			ID: row.integer(0), At: row.moment(1), What: row.note(2), Changes: int(row.integer(3)), State: word(row, 4, rowStates),
		})
		return nil
	}, int64(limit))
	return list, f.readError(err)
}

// JournalUntil returns the rows of the history as far as a named state, the newest
// first: by the order of the edits, for a clock may be set back. ErrState if there is
// no such state.
func (f *File) JournalUntil(state string) ([]JournalRow, error) {
	list, err := f.Journal(0)
	if err != nil {
		return nil, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	named, err := f.stateNamed(state)
	if err != nil {
		return nil, f.readError(err)
	}
	made := map[int64]bool{}
	err = f.c.each("SELECT DISTINCT journal FROM moves WHERE id <= ?", 1, func(row *cells) error {
		made[row.integer(0)] = true
		return nil
	}, named.move)
	return slices.DeleteFunc(list, func(row JournalRow) bool { return !made[row.ID] }), f.readError(err)
}

// JournalEdit returns the edit of one journal row, with each row before and
// after. Stored of a reading in it is 0.
func (f *File) JournalEdit(id int64) (model.Edit, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return model.Edit{}, err
	}
	edit, _, err := f.loadEdit(id)
	return edit, f.readError(err)
}

// loadEdit reads a journal row and what it holds.
func (f *File) loadEdit(id int64) (edit model.Edit, kind string, err error) {
	var form string
	var body []byte
	err = f.c.each("SELECT j.what, j.kind, e.form, e.body FROM journal j JOIN edits e ON e.id = j.id WHERE j.id = ?", 4, func(row *cells) error {
		edit.What, kind, form = row.note(0), word(row, 1, storedKinds), row.text(2)
		body = []byte(row.text(3))
		return nil
	}, id)
	if err != nil {
		return edit, kind, err
	}
	if kind == "" {
		return edit, kind, fmt.Errorf("there is no journal row %d", id)
	}
	if edit.Changes, err = unpackEdit(form, body); err != nil {
		return edit, kind, damaged(f.path, fmt.Sprintf("journal row %d cannot be read", id), err)
	}
	return edit, kind, nil
}

func insertJournal(c *conn, row JournalRow, kind string) error {
	return c.execOne("INSERT INTO journal (id, at, what, kind, changes, state) VALUES (?, ?, ?, ?, ?, ?)",
		row.ID, model.FormatTime(row.At), row.What, kind, int64(row.Changes), string(row.State))
}

func insertEdit(c *conn, id int64, form string, body []byte) error {
	return c.execOne("INSERT INTO edits (id, form, body) VALUES (?, ?, ?)", id, form, body)
}

// readError puts an error met while reading into words: what does not fit the
// schema can only come from damage.
func (f *File) readError(err error) error {
	if errors.Is(err, errCell) {
		return damaged(f.path, "the file is damaged", err)
	}
	var row *model.RowError
	if errors.As(err, &row) {
		return damaged(f.path, "the file is damaged", err)
	}
	var low sqlite3.Error
	if errors.As(err, &low) && (low.Code == sqlite3.ErrError || low.Code == sqlite3.ErrConstraint || low.Code == sqlite3.ErrTooBig) {
		return damaged(f.path, "the file is damaged", low) // our own queries do not fit its tables
	}
	return fileError(f.path, err)
}
