package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"bellout/model"
	"bellout/model/atomicfile"
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
	path    string // as the caller names it, and as messages do
	draft   bool   // it lies elsewhere, until it is whole
	real    string // where it lies, without links
	mode    Mode
	options options
	c       *conn
	hold    *hold              // ReadWrite with WithHold, on a disk that knows locks
	stat    fs.FileInfo        // which file it is, and its size and time as we know them
	frozen  *look              // ReadOnly: what the file was when it was read as one that cannot change
	scratch *atomicfile.Folder // ReadOnly: where the copy lies that is read, if one was needed
	state

	// wayBack are the edits that take back, in memory, what the transaction under
	// way has made.
	wayBack []model.Edit
}

type options struct {
	clock func() time.Time
	wait  time.Duration
	hold  bool
	ended func() error // the error of WithContext; nil: nothing ends it
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
	if err := Make(path, nil, list...); err != nil {
		return nil, err
	}
	return Open(path, ReadWrite, list...)
}

// Make makes a new project of what fill, which may be nil, puts into it: all of
// it, or nothing. Until it is whole and on the disk nothing is seen at path. It
// never replaces a file: ErrExists.
func Make(path string, fill func(*File) error, list ...Option) error {
	if _, err := os.Lstat(path); err == nil {
		return fileError(path, fs.ErrExist)
	}
	if err := noLeftovers(path); err != nil {
		return err
	}
	err := atomicfile.New(path, func(draft string) error {
		f := &File{path: path, draft: true, real: draft, mode: ReadWrite, options: chosen(list)}
		if err := f.begin(); err != nil || fill == nil {
			return err
		}
		f.options.hold = false
		if err := f.openToWrite(); err != nil {
			return err
		}
		return errors.Join(fill(f), f.Close())
	})
	if _, folder := os.Stat(filepath.Dir(path)); errors.Is(folder, fs.ErrNotExist) {
		return &Error{Kind: ErrNotThere, Path: path, Problem: "there is no such folder", Mend: "make the folder first, or name another one"}
	}
	return fileError(path, err)
}

// begin makes the file that Make fills.
func (f *File) begin() error {
	if err := touchNew(f.real); err != nil {
		return err
	}
	c, err := openConn(f.real, "mode=rw", 0)
	if err != nil {
		return err
	}
	err = c.keepInOneFile()
	if err == nil {
		err = migrate(c, f.path, migrations)
	}
	return fileError(f.path, errors.Join(err, c.close()))
}

// touchNew makes an empty file with the rights that the umask leaves; SQLite
// leaves less.
func touchNew(path string) error {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	return file.Close()
}

// noLeftovers refuses to put a file where what belongs to another one still
// lies: SQLite would play it into the new file.
func noLeftovers(path string) error {
	for _, suffix := range []string{walSuffix, rollbackSuffix} {
		if stat, err := os.Stat(path + suffix); err == nil && stat.Size() > 0 {
			return &Error{Kind: ErrExists, Path: path + suffix, Problem: "this is left over from an earlier file of that name",
				Mend: "move it away, or choose another name"}
		}
	}
	return nil
}

// Open loads a project. A file that cannot be used gives an *Error and is left
// as it is, byte for byte. An older schema is brought up to date: of the file
// itself for ReadWrite, after a copy beside it was kept, and of a copy in the
// system's folder for temporary files for ReadOnly.
func Open(path string, mode Mode, list ...Option) (*File, error) {
	f := &File{path: path, mode: mode, options: chosen(list)}
	if err := f.open(); err != nil {
		return nil, err
	}
	return f, nil
}

func (f *File) open() (err error) {
	if !f.draft {
		f.real = f.path
		if real, err := filepath.EvalSymlinks(f.path); err == nil {
			f.real = real
		}
	}
	if f.mode == ReadOnly {
		err = f.openToRead()
	} else {
		err = f.openToWrite()
	}
	return f.named(f.readError(err))
}

// named says the name by which the caller knows the file.
func (f *File) named(err error) error {
	if ours, is := errors.AsType[*Error](err); is {
		if rest, cut := strings.CutPrefix(ours.Path, f.real); cut {
			ours.Path = f.path + rest
		}
	}
	return err
}

func (f *File) openToWrite() (err error) {
	seen, err := lookAt(f.real)
	if err != nil {
		return err
	}
	probe, err := os.OpenFile(f.real, os.O_RDWR, 0)
	if err != nil {
		return &Error{Kind: ErrReadOnly, Path: f.path, Problem: "the file may not be written", Mend: "copy it to a folder where you may write"}
	}
	f.stat, err = probe.Stat()
	if err := errors.Join(err, probe.Close()); err != nil {
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
	// Where a crash left something to be brought into the file, opening it does
	// that: first see, without the right to write, that the whole is sound.
	if seen.walSize > 0 || seen.rollbackSize > 0 {
		trial := &File{path: f.path, draft: f.draft, real: f.real, mode: ReadOnly, options: f.options}
		if err := trial.openToRead(); err != nil {
			return err
		}
		if err := trial.Close(); err != nil {
			return err
		}
	}
	if f.c, err = openConn(f.real, "mode=rw", f.options.wait); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, f.c.close())
			f.c = nil
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
	// Not before the file is known to be sound: this brings the log of an older
	// version into it.
	if err := f.c.keepInOneFile(); err != nil {
		return err
	}
	if f.version, err = f.c.number("PRAGMA data_version"); err != nil {
		return err
	}
	return f.remember()
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
	if err := checkShape(f.c, f.path, int(version)); err != nil {
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

// Close lets the file go.
func (f *File) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.c == nil {
		return nil
	}
	err := f.c.close()
	f.c = nil
	if f.scratch != nil {
		err = errors.Join(err, f.scratch.Remove())
	}
	err = errors.Join(err, f.letGo())
	return fileError(f.path, err)
}

// Release lets other windows have the file, as long as it is open here too.
func (f *File) Release() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return fileError(f.path, f.letGo())
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
