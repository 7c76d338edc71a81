// Package whole writes files that appear only when they are whole: whatever
// fails on the way, the reader finds the old file or the new one.
package whole

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
)

// Replace puts what write produces in the place of the file at path, once it is
// complete and on disk; until then, and after any error, the old file stands. A
// symbolic link keeps pointing where it did.
func Replace(path string, write func(io.Writer) error) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	if at, err := os.Stat(path); err == nil && !at.Mode().IsRegular() {
		return fmt.Errorf("%s is no file; write the name of a file", path)
	}
	draft := filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s.%d.part", filepath.Base(path), os.Getpid()))
	file, err := os.OpenFile(draft, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fmt.Errorf("%s: cannot write there (%w); name a file in a folder that takes one", path, Cause(err))
	}
	err = fill(file, write)
	if err == nil {
		err = os.Rename(draft, path)
	}
	if err != nil {
		if gone := os.Remove(draft); gone != nil {
			err = errors.Join(err, gone)
		}
		return fmt.Errorf("%s: cannot be written (%w); what was there stands as it was", path, Cause(err))
	}
	return nil
}

func fill(file *os.File, write func(io.Writer) error) error {
	out := bufio.NewWriter(file)
	err := write(out)
	if err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// New makes a file at path by way of a draft in a folder of its own, which make
// fills; a file that is there already is never replaced.
func New(path string, fill func(draft string) error) error {
	if _, err := os.Lstat(path); err == nil {
		return taken(path)
	}
	dir, err := os.MkdirTemp(filepath.Dir(path), ".bellout-new-")
	if err != nil {
		return fmt.Errorf("%s: cannot write there (%w); name a file in a folder that takes one", path, Cause(err))
	}
	draft := filepath.Join(dir, filepath.Base(path))
	err = fill(draft)
	if err == nil {
		err = claim(draft, path)
	}
	if gone := os.RemoveAll(dir); err == nil && gone != nil {
		err = fmt.Errorf("%s is written, but %s stays behind (%w); delete that folder", path, dir, Cause(gone))
	}
	return err
}

// claim gives a finished draft its name, unless somebody took it meanwhile.
func claim(draft, path string) error {
	err := os.Link(draft, path)
	if errors.Is(err, os.ErrExist) {
		return taken(path)
	}
	if err != nil { // a file system without hard links
		err = os.Rename(draft, path)
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written (%w); name a file in a folder that takes one", path, Cause(err))
	}
	return nil
}

func taken(path string) error {
	return fmt.Errorf("%s is there already and stays as it is; write another name", path)
}

// Cause takes the names of system calls and drafts off an error of the system:
// "permission denied" is left.
func Cause(err error) error {
	var cause syscall.Errno
	if errors.As(err, &cause) {
		return cause
	}
	return err
}
