package store

import (
	"time"

	"bellout/model"
)

// Caution is one time that a person was shown what to mind before the first
// probe of a session: isolate, discharge, prove dead, batteries off.
type Caution struct {
	At      time.Time
	Session string // who or what was at work, in the words of the caller; may be empty
}

// NoteCaution keeps that the caution card was shown. It is no edit: there is no
// undo, and nothing takes it out of the file.
func (f *File) NoteCaution(at time.Time, session string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		return f.c.execOne("INSERT INTO cautions (at, session) VALUES (?, ?)", model.FormatTime(at.Round(0)), session)
	})
}

// Cautions returns every time that the card was shown, in that order; empty if
// it never was.
func (f *File) Cautions() ([]Caution, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	list := []Caution{}
	err := f.c.each("SELECT at, session FROM cautions ORDER BY id", 2, func(row *cells) error {
		list = append(list, Caution{At: row.moment(0), Session: row.note(1)})
		return nil
	})
	return list, f.readError(err)
}
