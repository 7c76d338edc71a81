package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"bellout/model"
)

// Mode says what a file is opened for.
type Mode int

// The modes of Open.
const (
	ReadOnly  Mode = iota // never writes, not even beside the file
	ReadWrite             // every edit goes straight to the file
)

// File is one open project. Its methods may be called from several goroutines;
// the machine itself must not be read while one of Do, Log, Strike, Undo, Redo
// or Refresh runs.
type File struct {
	mu      sync.Mutex
	path    string
	mode    Mode
	options options
	c       *conn
	hold    *hold  // ReadWrite with WithHold, on a disk that knows locks
	seen    look   // ReadOnly: what the file was when it was read
	scratch string // ReadOnly: the folder of the copy that is read, if one was needed
	state

	// wayBack are the edits that take back, in memory, what the transaction under
	// way has made.
	wayBack []model.Edit
}

type options struct {
	clock func() time.Time
	wait  time.Duration
	hold  bool
	// progress is told how far Open is; nil: nobody asked.
	progress func(done, of int) error
}

// Option changes how a file is opened.
type Option func(*options)

// WithClock sets where the times of journal rows come from; time.Now without
// it.
func WithClock(clock func() time.Time) Option { return func(o *options) { o.clock = clock } }

// WithWait sets how long a lock of another program is waited for; two seconds
// without it.
func WithWait(wait time.Duration) Option { return func(o *options) { o.wait = wait } }

func chosen(list []Option) options {
	o := options{clock: time.Now, wait: 2 * time.Second}
	for _, option := range list {
		option(&o)
	}
	return o
}

// Create makes a new project with nothing in it and opens it for writing. It
// never replaces a file: ErrExists.
func Create(path string, list ...Option) (*File, error) {
	if _, err := os.Lstat(path); err == nil {
		return nil, fileError(path, os.ErrExist)
	}
	if err := noLeftovers(path); err != nil {
		return nil, err
	}
	err := replaceWhole(path, false, func(temporary string) error {
		c, err := openConn(temporary, "mode=rw", 0)
		if err != nil {
			return err
		}
		err = c.script("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL")
		if err == nil {
			err = migrate(c, path, migrations)
		}
		return errors.Join(err, c.close())
	})
	if err != nil {
		return nil, fileError(path, err)
	}
	return Open(path, ReadWrite, list...)
}

// noLeftovers refuses to put a file where the write-ahead log of another one
// still lies: SQLite would play that log into the new file.
func noLeftovers(path string) error {
	for _, suffix := range []string{walSuffix, rollbackSuffix} {
		if stat, err := os.Stat(path + suffix); err == nil && stat.Size() > 0 {
			return &Error{Kind: ErrExists, Path: path + suffix, Problem: "this is left over from an earlier file of that name",
				Mend: "move it away, or choose another name"}
		}
	}
	return nil
}

// replaceWhole lets write fill a file beside path and puts it there only when
// it is whole and on the disk; without replace it must not be there yet.
func replaceWhole(path string, replace bool, write func(temporary string) error) (err error) {
	folder := filepath.Dir(path)
	file, err := os.CreateTemp(folder, ".bellout-*.part")
	if err != nil {
		return err
	}
	temporary := file.Name()
	defer func() {
		for _, suffix := range []string{"", walSuffix, shmSuffix, rollbackSuffix} {
			if gone := os.Remove(temporary + suffix); gone != nil && !errors.Is(gone, os.ErrNotExist) {
				err = errors.Join(err, gone)
			}
		}
	}()
	if err := errors.Join(file.Chmod(0o644), file.Close()); err != nil {
		return err
	}
	if err := write(temporary); err != nil {
		return err
	}
	if replace {
		if err := os.Rename(temporary, path); err != nil {
			return err
		}
		return syncFolder(folder)
	}
	if err := os.Link(temporary, path); errors.Is(err, os.ErrExist) {
		return err
	} else if err != nil { // a stick without hard links
		if _, there := os.Lstat(path); there == nil {
			return os.ErrExist
		}
		if err := os.Rename(temporary, path); err != nil {
			return err
		}
	}
	return syncFolder(folder)
}

// syncFolder puts the name of a new file on the disk, where the system can.
func syncFolder(folder string) error {
	opened, err := os.Open(folder)
	if err != nil {
		return err
	}
	if err := opened.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !strings.Contains(err.Error(), "invalid") {
		return errors.Join(err, opened.Close())
	}
	return opened.Close()
}

// Open loads a project. A file that cannot be used gives an *Error and is left
// as it is, byte for byte. An older schema is brought up to date: of the file
// itself for ReadWrite, after a copy beside it was kept, and of a copy in the
// system's folder for temporary files for ReadOnly.
func Open(path string, mode Mode, list ...Option) (*File, error) {
	f := &File{path: path, mode: mode, options: chosen(list)}
	var err error
	if mode == ReadOnly {
		err = f.openToRead()
	} else {
		err = f.openToWrite()
	}
	if err != nil {
		return nil, f.readError(err)
	}
	return f, nil
}

func (f *File) openToWrite() (err error) {
	seen, err := lookAt(f.path)
	if err != nil {
		return err
	}
	probe, err := os.OpenFile(f.path, os.O_RDWR, 0)
	if err != nil {
		return &Error{Kind: ErrReadOnly, Path: f.path, Problem: "the file may not be written", Mend: "copy it to a folder where you may write"}
	}
	if err := probe.Close(); err != nil {
		return err
	}
	if f.options.hold {
		if f.hold, err = takeHold(f.path, f.options.clock()); err != nil {
			return err
		}
		defer func() {
			if err != nil {
				err = errors.Join(err, f.letGo())
			}
		}()
	}
	// Where pages wait in a write-ahead log, closing would bring them into the
	// file: first see, without the right to write, that the whole is sound.
	if seen.walSize > 0 {
		trial := &File{path: f.path, mode: ReadOnly, options: f.options}
		if err := trial.openToRead(); err != nil {
			return err
		}
		if err := trial.Close(); err != nil {
			return err
		}
	}
	if f.c, err = openConn(f.path, "mode=rw", f.options.wait); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, f.c.close())
		}
	}()
	if err := f.bringUpToDate(); err != nil {
		return err
	}
	if f.state, err = f.loadShown(); err != nil {
		return err
	}
	if err := sound(f.c, f.path); err != nil {
		return err
	}
	// Not before the file is known to be sound: changing the mode writes. The log
	// is cut back after a large import.
	return f.c.script("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA journal_size_limit=4194304")
}

// bringUpToDate changes the shape of an older file. The version is asked of
// SQLite: a newer one may still wait in the write-ahead log.
func (f *File) bringUpToDate() error {
	version, err := f.c.number("PRAGMA user_version")
	if err != nil {
		return err
	}
	if err := checkVersion(f.path, int(version)); err != nil {
		return err
	}
	if int(version) == len(migrations) {
		return nil
	}
	if f.mode == ReadWrite {
		if err := f.keepCopy(int(version)); err != nil {
			return err
		}
	}
	return migrate(f.c, f.path, migrations)
}

// Machine returns the machine as the file holds it. It changes with the next
// edit; after ErrChanged, or Refresh, it is another one.
func (f *File) Machine() *model.Machine {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.machine
}

// Snapshot returns the machine as the file holds it now, one that goes on saying
// it whatever is edited later: for who reads beside the one who edits. It is a
// clone.
func (f *File) Snapshot() *model.Machine {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.machine.Clone()
}

// Path returns the name by which the file was opened.
func (f *File) Path() string { return f.path }

// Close lets the file go. The last one to close it leaves one file, without
// companions.
func (f *File) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.c == nil {
		return nil
	}
	err := f.c.close()
	f.c = nil
	if f.scratch != "" {
		err = errors.Join(err, os.RemoveAll(f.scratch))
	}
	err = errors.Join(err, f.letGo())
	return fileError(f.path, err)
}

// letGo lets other windows have the file.
func (f *File) letGo() error {
	if f.hold == nil {
		return nil
	}
	err := f.hold.letGo()
	f.hold = nil
	return err
}
