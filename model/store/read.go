package store

import (
	"errors"
	"io"
	"os"
	"path/filepath"

	"github.com/mattn/go-sqlite3"
)

// openToRead loads a project without writing anything in its folder. SQLite
// itself would: it makes -wal and -shm files for every reader. So:
//
//   - without a write-ahead log the file is read as if it could not change
//     (immutable), and looked at again after that: if it did change, once more;
//   - with one, and with the -shm file that a running program shares, it is
//     read the ordinary way, under SQLite's locks;
//   - else, or where the shape is an older one, a copy of both is read.
func (f *File) openToRead() error {
	const attempts = 5
	for attempt := 1; ; attempt++ {
		seen, err := lookAt(f.path)
		if err != nil {
			return err
		}
		err = f.readAs(seen)
		again, lookErr := lookAt(f.path)
		still := lookErr == nil && (again == seen || f.shares(seen))
		if err == nil && still {
			f.seen = seen
			return nil
		}
		if f.c != nil {
			err = errors.Join(err, f.c.close())
			f.c = nil
		}
		if f.scratch != "" {
			err = errors.Join(err, os.RemoveAll(f.scratch))
			f.scratch = ""
		}
		if still || attempt == attempts {
			if err == nil {
				err = &Error{Kind: ErrLocked, Path: f.path, Problem: "another program keeps writing to the file", Mend: "close it there, then try again"}
			}
			return err
		}
	}
}

// shares says whether the file is read under SQLite's locks: then it may change
// and we still read one state of it.
func (f *File) shares(seen look) bool {
	return f.scratch == "" && seen.walSize > 0
}

func (f *File) readAs(seen look) (err error) {
	current := seen.version == len(migrations)
	switch {
	case seen.walSize == 0 && current:
		if f.c, err = openConn(f.path, "mode=ro&immutable=1", f.options.wait); err != nil {
			return err
		}
	case seen.shm && current:
		if f.c, err = openConn(f.path, "mode=ro", f.options.wait); err == nil {
			_, err = f.c.number("PRAGMA schema_version") // the first look at the file itself
		}
		var low sqlite3.Error
		if errors.As(err, &low) && (low.Code == sqlite3.ErrCantOpen || low.Code == sqlite3.ErrReadonly) {
			if f.c != nil {
				err = f.c.close()
				f.c = nil
			}
			if err == nil {
				err = f.openCopy(seen)
			}
		}
		if err != nil {
			return err
		}
	default:
		if err := f.openCopy(seen); err != nil {
			return err
		}
	}
	if err := f.bringUpToDate(); err != nil {
		return err
	}
	if f.state, err = f.loadShown(); err != nil {
		return err
	}
	return sound(f.c, f.path)
}

// openCopy copies the file and its write-ahead log to a folder of our own and
// opens that. Whether the two belong together is seen by the caller, who looks
// at the file again.
func (f *File) openCopy(seen look) (err error) {
	if f.scratch, err = os.MkdirTemp("", "bellout-*"); err != nil {
		return err
	}
	to := filepath.Join(f.scratch, "copy.bellout")
	if err := copyFile(f.path, to); err != nil {
		return err
	}
	if seen.walSize > 0 {
		if err := copyFile(f.path+walSuffix, to+walSuffix); err != nil {
			return err
		}
	}
	f.c, err = openConn(to, "mode=rw", f.options.wait)
	return err
}

func copyFile(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close() //nolint:errcheck // read only
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// still says whether the connection may be used: a file that is read as one
// that cannot change must not have changed.
func (f *File) still() error {
	if f.c == nil {
		return &Error{Kind: ErrClosed, Path: f.path, Problem: "the file is closed", Mend: "open it again"}
	}
	if f.mode == ReadWrite || f.scratch != "" || f.seen.walSize > 0 {
		return nil
	}
	if again, err := lookAt(f.path); err != nil || again != f.seen {
		return &Error{Kind: ErrChanged, Path: f.path, Problem: "another program changed the file", Mend: "open it again"}
	}
	return nil
}
