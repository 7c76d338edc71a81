package store

import (
	"errors"
	"io"
	"os"

	"github.com/mattn/go-sqlite3"

	"bellout/model/atomicfile"
)

// openToRead loads a project without writing anything in its folder. So:
//
//   - a file is read under SQLite's locks, beside whoever writes to it;
//   - one that an older version left, whose log SQLite would make files for, is
//     read as if it could not change (immutable), and looked at again after that:
//     if it did change, once more;
//   - one whose writer ended half way, or of an older shape, is read from a copy
//     of it and of what lies beside it.
func (f *File) openToRead() error {
	const attempts = 5
	for attempt := 1; ; attempt++ {
		seen, err := lookAt(f.real)
		if err == nil {
			err = f.checkRollback(seen)
		}
		if err != nil {
			return err
		}
		f.frozen = nil
		err = f.readAs(seen)
		again, lookErr := lookAt(f.real)
		still := lookErr == nil && (again == seen || f.c != nil && f.scratch == nil && f.frozen == nil)
		if err == nil && still {
			return nil
		}
		err = errors.Join(err, f.dropReading())
		if still || attempt == attempts {
			if err == nil {
				err = &Error{Kind: ErrLocked, Path: f.path, Problem: "another program keeps writing to the file", Mend: "close it there, then try again"}
			}
			return err
		}
	}
}

// dropReading lets go what readAs took.
func (f *File) dropReading() (err error) {
	if f.c != nil {
		err = f.c.close()
		f.c = nil
	}
	if f.scratch != nil {
		err = errors.Join(err, f.scratch.Remove())
		f.scratch = nil
	}
	return err
}

func (f *File) readAs(seen look) (err error) {
	current := seen.version == len(migrations)
	switch {
	case current && !seen.keepsLog:
		if f.c, err = openConn(f.real, "mode=ro", f.options.wait); err == nil {
			err = f.c.beginReading(f.options.wait) // the first look at the file itself
		}
		if low, is := errors.AsType[sqlite3.Error](err); is && (low.Code == sqlite3.ErrCantOpen || low.Code == sqlite3.ErrReadonly) {
			if err = f.dropReading(); err == nil { // to be rolled back, which we may not
				err = f.openCopy(seen)
			}
		}
	case current && seen.walSize == 0:
		f.frozen = &seen
		f.c, err = openConn(f.real, "mode=ro&immutable=1", f.options.wait)
	default:
		err = f.openCopy(seen)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.c.rollback()) }()
	if err := f.remember(); err != nil {
		return err
	}
	if err := f.bringUpToDate(); err != nil {
		return err
	}
	if f.scratch != nil {
		if f.state, err = f.loadShown(); err != nil {
			return err
		}
		return sound(f.c, f.path)
	}
	checked, err := f.soundInMemory(seen)
	if err != nil {
		return err
	}
	f.state, err = f.loadShown()
	if found := <-checked; err == nil {
		err = found
	}
	if err != nil || seen.size < largeFile {
		return err
	}
	return sound(f.c, f.path)
}

// soundInMemory is sound for a file that is only read, while it is loaded. Where
// SQLite may not write it leaves the checks of cells out, so they are made on a copy
// in memory; a large file has only its pages looked at. The copy comes through
// SQLite: whoever opens and closes the file beside it loses its locks
// (sqlite.org/howtocorrupt.html, 2.2).
func (f *File) soundInMemory(seen look) (<-chan error, error) {
	found := make(chan error, 1)
	if seen.size >= largeFile {
		close(found)
		return found, nil
	}
	content, err := f.c.db.Serialize("main")
	if err != nil {
		return nil, err
	}
	if len(content) > offReadFormat { // a copy in memory has no log
		content[offReadFormat-1], content[offReadFormat] = 1, 1
	}
	c, err := memoryConn()
	if err != nil {
		return nil, err
	}
	go func() {
		err := c.db.Deserialize(content, "main")
		if err == nil {
			err = sound(c, f.path)
		}
		found <- errors.Join(err, c.close())
	}()
	return found, nil
}

// openCopy copies the file, and what lies beside it, to a folder of our own and
// opens that. Whether they belong together is seen by the caller, who looks at
// the file again.
func (f *File) openCopy(seen look) (err error) {
	if f.scratch, err = atomicfile.MakeFolder(os.TempDir()); err != nil {
		return err
	}
	to := f.scratch.Path("copy.bellout")
	for suffix, there := range map[string]bool{"": true, walSuffix: seen.walSize > 0, rollbackSuffix: seen.rollbackSize > 0} {
		if there {
			if err := copyFile(f.real+suffix, to+suffix); err != nil {
				return err
			}
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

// still says whether the connection may be used.
func (f *File) still() error {
	switch {
	case f.c == nil:
		return &Error{Kind: ErrClosed, Path: f.path, Problem: "the file is closed", Mend: "open it again"}
	case f.scratch != nil:
		return nil
	case f.frozen == nil:
		_, err := f.inPlace()
		return err
	}
	if again, err := lookAt(f.real); err != nil || again != *f.frozen {
		return &Error{Kind: ErrChanged, Path: f.path, Problem: "another program changed the file", Mend: "open it again"}
	}
	return nil
}
