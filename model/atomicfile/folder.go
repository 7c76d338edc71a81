package atomicfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

const (
	folderPrefix = ".bellout-new-"
	markName     = "open" // in the folder, locked as long as its process runs
)

// Folder is a folder for drafts that only this process enters.
type Folder struct {
	path string
	mark *os.File
}

// beforeLock is where another process may come in between; tests do.
var beforeLock func()

// MakeFolder makes a folder for drafts in another one, from which it first
// sweeps what killed processes left.
func MakeFolder(parent string) (*Folder, error) {
	Sweep(parent)
	const attempts = 20
	for range attempts {
		path, err := os.MkdirTemp(parent, folderPrefix)
		if err != nil {
			return nil, err
		}
		f := &Folder{path: path}
		again, err := f.lock()
		if err == nil && !again {
			return f, nil
		}
		if err := errors.Join(err, f.Remove()); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%s: other programs keep taking drafts away", parent)
}

// lock makes and locks the mark; again says that another process took the folder
// for one that was left.
func (f *Folder) lock() (again bool, err error) {
	f.mark, err = os.OpenFile(f.Path(markName), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		return true, nil
	}
	if err != nil {
		return false, err
	}
	if beforeLock != nil {
		beforeLock()
	}
	switch err := Lock(f.mark); {
	case errors.Is(err, ErrBusy):
		return true, nil
	case err != nil && !errors.Is(err, ErrNoLocks):
		return false, err
	}
	mine, err := f.mark.Stat()
	if err != nil {
		return false, err
	}
	there, err := os.Lstat(f.Path(markName))
	return err != nil || !os.SameFile(mine, there), nil
}

// Path is the path of a name in the folder.
func (f *Folder) Path(name string) string { return filepath.Join(f.path, name) }

// Remove takes the folder away with what is in it.
func (f *Folder) Remove() error {
	if f.mark == nil {
		return os.RemoveAll(f.path)
	}
	// The mark goes last, still locked, where the system takes an open file away.
	entries, err := os.ReadDir(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	for _, entry := range entries {
		if entry.Name() != markName {
			err = errors.Join(err, os.RemoveAll(f.Path(entry.Name())))
		}
	}
	_ = os.Remove(f.Path(markName))
	return errors.Join(err, f.mark.Close(), os.RemoveAll(f.path))
}

// Sweep takes away what killed processes left in a folder. What cannot be taken
// away stays: it is no reason not to go on.
func Sweep(parent string) {
	entries, err := os.ReadDir(parent)
	if err != nil {
		return
	}
	for _, entry := range entries {
		path := filepath.Join(parent, entry.Name())
		switch {
		case entry.IsDir() && strings.HasPrefix(entry.Name(), folderPrefix):
			sweepFolder(path)
		case strings.HasPrefix(entry.Name(), ".bellout-") && strings.HasSuffix(entry.Name(), ".part") && isOld(path):
			_ = os.Remove(path) // of a version that made drafts beside their places
		}
	}
}

func sweepFolder(path string) {
	mark, err := OpenItself(filepath.Join(path, markName), os.O_RDWR, 0)
	if errors.Is(err, fs.ErrNotExist) {
		if isOld(path) { // killed before it was marked
			_ = os.RemoveAll(path)
		}
		return
	}
	if err != nil {
		return
	}
	switch err := Lock(mark); {
	case err == nil, errors.Is(err, ErrNoLocks) && isOld(path):
		_ = (&Folder{path, mark}).Remove()
	default:
		_ = mark.Close()
	}
}

// leftAfter is after what time something without a mark, or on a disk that knows
// no locks, is taken for left.
const leftAfter = time.Hour

func isOld(path string) bool {
	at, err := os.Lstat(path)
	return err == nil && time.Since(at.ModTime()) > leftAfter
}
