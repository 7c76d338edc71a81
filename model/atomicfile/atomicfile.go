// Package atomicfile writes files that appear only when they are whole, by one
// rule for every file that the program writes:
//
//   - Whatever fails on the way, the reader finds the old file or the new one.
//     What a killed process leaves is swept up by the next write into that
//     folder.
//   - A file that is there is replaced only if the caller says so; a project of
//     this program never, whatever its name ends in.
//   - Nothing is written through a symbolic link.
//   - A draft lies in a folder of its own, which nobody else may enter, under a
//     name that nobody can guess. The file gets the rights that the umask
//     leaves, or those of the file that it replaces.
package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// File is a file to write, and what writes it.
type File struct {
	Name  string // in its folder
	Write func(io.Writer) error
}

// ExistsError says that a file is there already, and may be replaced where the
// person says so.
type ExistsError struct{ Path string }

// Error is one line.
func (e *ExistsError) Error() string {
	return e.Path + " is there already and stays as it is; write another name"
}

// Is makes it an fs.ErrExist.
func (e *ExistsError) Is(target error) bool { return target == fs.ErrExist }

// Write makes a file of what write produces.
func Write(path string, replace bool, write func(io.Writer) error) error {
	return WriteAll(filepath.Dir(path), replace, File{Name: filepath.Base(path), Write: write})
}

// WriteAll makes files in a folder that is there. They take their places when
// all of them are whole.
func WriteAll(dir string, replace bool, files ...File) (err error) {
	for _, file := range files {
		if _, err := mayTake(filepath.Join(dir, file.Name), replace); err != nil {
			return err
		}
	}
	drafts, err := MakeFolder(dir)
	if err != nil {
		return cannotWrite(filepath.Join(dir, files[0].Name), err)
	}
	defer func() { err = errors.Join(err, drafts.Remove()) }()
	for _, file := range files {
		if err := fill(drafts.Path(file.Name), file.Write); err != nil {
			return cannotWrite(filepath.Join(dir, file.Name), err)
		}
	}
	for _, file := range files {
		if err := take(drafts.Path(file.Name), filepath.Join(dir, file.Name), replace); err != nil {
			return err
		}
	}
	return syncFolder(dir)
}

// WriteNewFolder makes a folder of files. One that is there must be empty.
func WriteNewFolder(path string, files ...File) error {
	if entries, err := os.ReadDir(path); err == nil {
		if len(entries) > 0 {
			return fmt.Errorf("the folder %s is not empty, and what is new must not mix with what is there; write the name of a new one", path)
		}
		if err := os.Remove(path); err != nil {
			return cannotWrite(path, err)
		}
	}
	return New(path, func(draft string) error {
		if err := os.Mkdir(draft, 0o777); err != nil {
			return cannotWrite(path, err)
		}
		for _, file := range files {
			if err := fill(filepath.Join(draft, file.Name), file.Write); err != nil {
				return cannotWrite(filepath.Join(path, file.Name), err)
			}
		}
		return syncFolder(draft)
	})
}

// New makes a file or a folder at path of what fill puts at the path of the
// draft. What is there already is never replaced.
func New(path string, fill func(draft string) error) (err error) {
	if _, err := os.Lstat(path); err == nil {
		return &ExistsError{path}
	}
	drafts, err := MakeFolder(filepath.Dir(path))
	if err != nil {
		return cannotWrite(path, err)
	}
	defer func() { err = errors.Join(err, drafts.Remove()) }()
	draft := drafts.Path(filepath.Base(path))
	if err := fill(draft); err != nil {
		return err
	}
	if err := takeFree(draft, path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// Check says what Write would refuse, before the work is done.
func Check(path string, replace bool) error {
	_, err := mayTake(path, replace)
	return err
}

// mayTake says whether a file may be written at a path, and what is there; nil
// if nothing is.
func mayTake(path string, replace bool) (fs.FileInfo, error) {
	there, err := os.Lstat(path)
	switch {
	case err != nil:
		return nil, nil // nothing is there, or the write itself says what is wrong
	case there.Mode()&fs.ModeSymlink != 0:
		return nil, fmt.Errorf("%s is a link to another file, and nothing is written through a link; write the name of the file itself, or another one", path)
	case !there.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no file; write the name of a file", path)
	}
	switch project, err := IsProject(path); {
	case err != nil:
		return nil, fmt.Errorf("%s is there and cannot be read (%w), so it stays as it is; write another name", path, Cause(err))
	case project:
		return nil, fmt.Errorf("%s is a Bellout project, and nothing is ever written over one; write another name", path)
	case !replace:
		return nil, &ExistsError{path}
	}
	return there, nil
}

// take gives a finished draft its name.
func take(draft, path string, replace bool) error {
	old, err := mayTake(path, replace)
	if err != nil {
		return err
	}
	if old == nil {
		return takeFree(draft, path)
	}
	err = os.Chmod(draft, old.Mode().Perm())
	if err == nil {
		err = os.Rename(draft, path)
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

// takeFree gives a finished draft its name, unless somebody took it meanwhile.
func takeFree(draft, path string) error {
	err := os.Link(draft, path)
	if errors.Is(err, fs.ErrExist) {
		return &ExistsError{path}
	}
	if err != nil { // a folder, or a file system without hard links
		if _, there := os.Lstat(path); there == nil {
			return &ExistsError{path}
		}
		err = os.Rename(draft, path)
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

func fill(path string, write func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(file, 1<<16)
	err = write(out)
	if err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// cannotWrite says in one line why a file was not written. What the writer
// itself complained of comes back as it is.
func cannotWrite(path string, err error) error {
	var cause syscall.Errno
	switch {
	case IsFull(err):
		return fmt.Errorf("%s: the disk is full (%w); nothing was written: make room, or name a file on another disk", path, Cause(err))
	case errors.As(err, &cause):
		return fmt.Errorf("%s: cannot write there (%w); name a file in a folder that takes one", path, Cause(err))
	}
	return err
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
