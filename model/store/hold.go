package store

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"time"

	"bellout/model/atomicfile"
)

// holdSuffix names the file beside a project that says that a window works on
// it. It must not be the project itself: where a program opens and closes a
// file once more, POSIX takes away the locks that SQLite has on it.
const holdSuffix = "-open"

// Holder is who has a project open for editing.
type Holder struct {
	User  string    `json:"user"` // empty: not known
	Host  string    `json:"host"`
	PID   int       `json:"pid"`
	Since time.Time `json:"since"`
}

// String says who it is, as in "ann on bench-2 since 10:42 of 4 May"; empty if
// nothing is known.
func (h Holder) String() string {
	text := h.User
	if h.Host != "" {
		text = strings.TrimSpace(text + " on " + h.Host)
	}
	if !h.Since.IsZero() {
		text = strings.TrimSpace(text + " since " + h.Since.Format("15:04 of 2 January"))
	}
	return text
}

// HeldError is the cause in an *Error of kind ErrHeld.
type HeldError struct{ By Holder }

// Error says who holds the file.
func (e *HeldError) Error() string {
	if text := e.By.String(); text != "" {
		return text
	}
	return "it is not known who"
}

// WithHold keeps other windows from opening the file for editing as long as
// this one has it open: Open, or Create, fails with ErrHeld, and a *HeldError in
// it, where another one holds the file; it can still be opened ReadOnly. The
// operating system lets go when the process ends, however it ends. Who opens
// the file without WithHold, as the short commands do, neither asks nor is kept
// out: ErrChanged tells of what they wrote. ReadOnly takes no hold. On disks
// that know no locks nobody is kept out.
func WithHold() Option { return func(o *options) { o.hold = true } }

// hold is a lock on the file NAME.bellout-open, which goes when it is let go.
type hold struct {
	file *os.File
	path string
}

// beforeLock is where another program may come in between; tests do.
var beforeLock func()

// takeHold returns nil, without an error, where the disk knows no locks.
func takeHold(project string, now time.Time) (*hold, error) {
	real, err := filepath.EvalSymlinks(project)
	if err != nil {
		return nil, fileError(project, err)
	}
	path := real + holdSuffix
	const attempts = 20
	for range attempts {
		h, again, err := tryHold(project, path)
		if again {
			continue
		}
		if h == nil || err != nil {
			return nil, err
		}
		// What others are told of us; that they cannot open the file does not
		// depend on it.
		_ = h.sign(now)
		return h, nil
	}
	return nil, heldError(project, Holder{})
}

// tryHold opens and locks the file; again says that another program took it
// away meanwhile.
func tryHold(project, path string) (h *hold, again bool, err error) {
	file, err := atomicfile.OpenItself(path, os.O_CREATE|os.O_RDWR, 0o644)
	mine := true
	if errors.Is(err, os.ErrPermission) { // somebody else's
		mine = false
		file, err = atomicfile.OpenItself(path, os.O_RDONLY, 0)
	}
	if there, unseen := os.Lstat(path); err != nil && unseen == nil && !there.Mode().IsRegular() {
		return nil, false, notOurMark(path)
	}
	if err != nil {
		return nil, false, &Error{Kind: ErrReadOnly, Path: project, Problem: "the file or its folder may not be written",
			Mend: "copy the file to a folder where you may write", Err: err}
	}
	if beforeLock != nil {
		beforeLock()
	}
	if !isMark(file) {
		return nil, false, errors.Join(notOurMark(path), file.Close())
	}
	err = atomicfile.Lock(file)
	switch {
	case errors.Is(err, atomicfile.ErrBusy):
		by := readHolder(file)
		return nil, false, errors.Join(heldError(project, by), file.Close())
	case errors.Is(err, atomicfile.ErrNoLocks):
		return nil, false, (&hold{file: file, path: path}).letGo()
	case err != nil:
		return nil, false, errors.Join(fileError(project, err), file.Close())
	}
	h = &hold{file: file, path: path}
	if !mine { // left over by one who is gone: put our own there
		return nil, true, h.letGo()
	}
	opened, err := file.Stat()
	if err != nil {
		return nil, false, errors.Join(fileError(project, err), file.Close())
	}
	if there, err := os.Stat(path); err != nil || !os.SameFile(opened, there) {
		return nil, true, file.Close() // the last holder took it away between open and lock
	}
	return h, false, nil
}

// isMark says whether a file is one that we, or another window, made as a mark,
// and no file of somebody's under that name.
func isMark(file *os.File) bool {
	about, err := file.Stat()
	if err != nil || !about.Mode().IsRegular() {
		return false
	}
	text := make([]byte, mostMark)
	n, err := file.ReadAt(text, 0)
	var by Holder
	return n == 0 || errors.Is(err, io.EOF) && json.Unmarshal(text[:n], &by) == nil
}

// mostMark is more than a mark holds, in bytes.
const mostMark = 4096

func notOurMark(path string) error {
	return &Error{Kind: ErrExists, Path: path, Problem: "a file of this name is here, and none that Bellout made", Mend: "move it away, then open the project again"}
}

// letGo takes the mark away while it is still locked, so that nobody can lock it
// between the two and lose it; after that where the system takes no open file
// away. Where another window opened it meanwhile, it stays for that one.
func (h *hold) letGo() error {
	stays := os.Remove(h.path)
	err := h.file.Close()
	if stays != nil {
		_ = os.Remove(h.path)
	}
	return err
}

func heldError(project string, by Holder) error {
	return &Error{Kind: ErrHeld, Path: project, Problem: "another Bellout window has the file open for editing",
		Mend: "go on there, or open it here for reading only", Err: &HeldError{By: by}}
}

func readHolder(file *os.File) (by Holder) {
	text, err := io.ReadAll(io.NewSectionReader(file, 0, mostMark))
	if err != nil || json.Unmarshal(text, &by) != nil {
		return Holder{}
	}
	return by
}

func (h *hold) sign(now time.Time) error {
	by := Holder{PID: os.Getpid(), Since: now.Round(0)}
	if host, err := os.Hostname(); err == nil {
		by.Host = host
	}
	if who, err := user.Current(); err == nil {
		by.User = who.Username
	}
	text, err := json.Marshal(by)
	if err != nil {
		return err
	}
	if err := h.file.Truncate(0); err != nil {
		return err
	}
	_, err = h.file.WriteAt(text, 0)
	return err
}
