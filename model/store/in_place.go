package store

import (
	"errors"
	"io/fs"
	"os"
	"time"

	"github.com/mattn/go-sqlite3"
)

// SQLite goes on writing into a file that was renamed or deleted, and does not
// see that another program wrote over it. So the name is looked at before a
// change is made and before it is acknowledged, and the size and time of the
// file beside SQLite's own count of changes.

// inPlace says whether the path still names the file that is open, and how that
// is now.
func (f *File) inPlace() (fs.FileInfo, error) {
	path := f.path // not the real one: a link may lead elsewhere now
	if f.draft {
		path = f.real
	}
	now, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, moved(f.path)
	case err != nil:
		return nil, fileError(f.path, err)
	case os.SameFile(now, f.stat):
		return now, nil
	case f.mode == ReadOnly:
		return nil, &Error{Kind: ErrChanged, Path: f.path, Problem: "another file was put in its place", Mend: "open it again"}
	}
	return nil, &Error{Kind: ErrMoved, Path: f.path, Problem: "another file was put in its place while it was open, and nothing more is stored",
		Mend: "save what is open here under another name, or open the file that is there now"}
}

func moved(path string) error {
	return &Error{Kind: ErrMoved, Path: path, Problem: "the file was moved, renamed or deleted while it was open, and nothing more is stored",
		Mend: "put it back, or save what is open here under another name"}
}

// remember notes which file it is, and how it is now that we know what is in it.
func (f *File) remember() error {
	now, err := os.Stat(f.real)
	if err != nil {
		return err
	}
	// The second is for Windows, which looks at the file no sooner than it must.
	if f.stat != nil && !os.SameFile(now, f.stat) || !os.SameFile(now, now) {
		return &Error{Kind: ErrChanged, Path: f.path, Problem: "another file was put in its place", Mend: "open it again"}
	}
	f.stat = now
	return nil
}

// writtenOver says whether the file has another size or time than we know of.
func (f *File) writtenOver() bool {
	now, err := f.inPlace()
	return err == nil && f.frozen == nil && f.scratch == nil && (now.Size() != f.stat.Size() || !now.ModTime().Equal(f.stat.ModTime()))
}

// strange says whether an error may come from a file that is not the one we know
// any more, rather than from damage.
func (f *File) strange(err error) bool {
	low, is := errors.AsType[sqlite3.Error](err)
	return is && (low.Code == sqlite3.ErrCorrupt || low.Code == sqlite3.ErrNotADB || low.Code == sqlite3.ErrError) && f.writtenOver()
}

// loadAgain loads the machine after another program changed the file: one that
// keeps SQLite's locks, or one that wrote over the file as a whole.
func (f *File) loadAgain() error {
	now, err := f.inPlace()
	if err != nil {
		return err
	}
	if version, err := f.c.number("PRAGMA data_version"); err == nil && version != f.version {
		shape, err := f.c.number("PRAGMA user_version")
		if err == nil && int(shape) == len(migrations) {
			if loaded, err := loadState(f.c); err == nil {
				f.state, f.stat = loaded, now
				return nil
			}
		}
	}
	return f.reopen()
}

// reopen opens the file anew. Somebody may still be writing it: then again,
// for as long as a lock is waited for.
func (f *File) reopen() error {
	deadline := time.Now().Add(f.options.wait)
	for {
		fresh := &File{path: f.path, draft: f.draft, real: f.real, mode: f.mode, options: f.options}
		fresh.options.hold, fresh.options.progress = false, nil
		err := fresh.open()
		if err == nil {
			old := f.c
			f.c, f.state, f.stat, f.frozen, f.scratch = fresh.c, fresh.state, fresh.stat, fresh.frozen, fresh.scratch
			return old.close()
		}
		if time.Now().After(deadline) {
			return &Error{Kind: ErrMoved, Path: f.path, Problem: "another program wrote over the file while it was open, and it cannot be read now",
				Mend: "put a backup in its place, and open it again", Err: errors.Unwrap(err)}
		}
		time.Sleep(20 * time.Millisecond)
	}
}
