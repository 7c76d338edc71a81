package store

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"unicode"

	"github.com/mattn/go-sqlite3"

	"bellout/model/atomicfile"
)

// What can be wrong with a file, for errors.Is.
var (
	ErrNotThere      = errors.New("no such file")
	ErrExists        = errors.New("the file exists already")
	ErrFolder        = errors.New("a folder, not a file")
	ErrEmpty         = errors.New("an empty file")
	ErrNotProject    = errors.New("not a Bellout project")
	ErrNewer         = errors.New("written by a newer Bellout")
	ErrDamaged       = errors.New("the file is damaged")
	ErrAltered       = errors.New("the file is built in another way")
	ErrLocked        = errors.New("another program holds the file")
	ErrHeld          = errors.New("another window has the file open for editing")
	ErrReadOnly      = errors.New("the file may not be written")
	ErrNoPermission  = errors.New("no permission")
	ErrFull          = errors.New("the disk is full")
	ErrDisk          = errors.New("the disk gives an error")
	ErrChanged       = errors.New("another program changed the file")
	ErrMoved         = errors.New("the file is not where it was")
	ErrLeftover      = errors.New("left over from another file")
	ErrStrangers     = errors.New("no copies of one project")
	ErrClosed        = errors.New("the file is closed")
	ErrNothingToUndo = errors.New("there is nothing to undo")
	ErrNothingToRedo = errors.New("there is nothing to redo")
)

// Error says what is wrong with a file, where, and how to mend it. Kind is one
// of the values above; Err is the cause below it, where there is one.
type Error struct {
	Kind    error
	Path    string
	Problem string
	Mend    string
	Err     error
}

// Error is one line, whatever a file brings that somebody made up.
func (e *Error) Error() string {
	text := e.Path + ": " + e.Problem
	if e.Err != nil {
		text += " (" + e.Err.Error() + ")"
	}
	if e.Mend != "" {
		text += "; " + e.Mend
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text)
}

// Unwrap returns the kind and the cause.
func (e *Error) Unwrap() []error {
	if e.Err == nil {
		return []error{e.Kind}
	}
	return []error{e.Kind, e.Err}
}

const mendDamaged = "keep this file, and go on with a backup of it"

func damaged(path, problem string, cause error) *Error {
	return &Error{Kind: ErrDamaged, Path: path, Problem: problem, Mend: mendDamaged, Err: cause}
}

// fileError puts an error of the operating system or of SQLite into the words
// of the bench. Errors that are ours already pass through.
func fileError(path string, err error) error {
	var ours *Error
	if err == nil || errors.As(err, &ours) {
		return err
	}
	var low sqlite3.Error
	if errors.As(err, &low) {
		return sqliteError(path, low, err)
	}
	switch {
	case atomicfile.IsFull(err):
		return full(path, atomicfile.Cause(err))
	case errors.Is(err, fs.ErrNotExist):
		return &Error{Kind: ErrNotThere, Path: path, Problem: "there is no such file", Mend: "check the name and the folder"}
	case errors.Is(err, fs.ErrExist):
		return &Error{Kind: ErrExists, Path: path, Problem: "there is a file of this name already", Mend: "choose another name, or open it"}
	case errors.Is(err, fs.ErrPermission):
		return &Error{Kind: ErrNoPermission, Path: path, Problem: "no permission to use the file or its folder",
			Mend: "ask its owner for the permission, or copy it to a folder of your own"}
	}
	var onPath *fs.PathError
	if errors.As(err, &onPath) {
		return &Error{Kind: ErrDisk, Path: path, Problem: "the disk gives an error", Mend: "check the disk and its connection, then try again", Err: onPath.Err}
	}
	return err
}

func sqliteError(path string, low sqlite3.Error, whole error) error {
	// The journal beside the file finds a full disk first, as an error of the disk.
	if low.Code == sqlite3.ErrFull || atomicfile.IsFull(low.SystemErrno) {
		return full(path, low)
	}
	if low.ExtendedCode == sqlite3.ErrReadonlyDbMoved { // SQLite's own look at the name
		return moved(path)
	}
	switch low.Code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked, sqlite3.ErrProtocol:
		return &Error{Kind: ErrLocked, Path: path, Problem: "another program is writing to the file", Mend: "close it there, then try again", Err: low}
	case sqlite3.ErrCorrupt, sqlite3.ErrNotADB, sqlite3.ErrFormat:
		return damaged(path, "the file is damaged", low)
	case sqlite3.ErrReadonly, sqlite3.ErrCantOpen, sqlite3.ErrPerm, sqlite3.ErrAuth:
		return &Error{Kind: ErrReadOnly, Path: path, Problem: "the file or its folder may not be written",
			Mend: "copy the file to a folder where you may write", Err: low}
	case sqlite3.ErrIoErr, sqlite3.ErrNomem:
		return &Error{Kind: ErrDisk, Path: path, Problem: "the disk gives an error", Mend: "check the disk and its connection, then try again", Err: low}
	}
	return fmt.Errorf("%s: %w", path, whole)
}

func full(path string, cause error) error {
	return &Error{Kind: ErrFull, Path: path, Problem: "the disk is full; nothing was changed", Mend: "make room, then try again", Err: cause}
}

// errWritten refuses a write through a file that was opened for reading.
func errWritten(path string) error {
	return &Error{Kind: ErrReadOnly, Path: path, Problem: "the file was opened for reading only", Mend: "open it for writing"}
}
