package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bellout/model/atomicfile"
)

// pagesAtOnce is how many pages a backup copies before it looks whether to
// stop: some milliseconds' worth.
const pagesAtOnce = 128

// Backup writes the project, as it is now, to a new file, through SQLite's online
// backup: edits may go on meanwhile and are carried over. The file appears when
// it is whole; what is there already is never replaced: ErrExists. It also saves
// a project that is not where it was (ErrMoved).
func (f *File) Backup(ctx context.Context, path string, progress func(done, total int)) error {
	if err := f.mayMake(path); err != nil {
		return err
	}
	err := atomicfile.New(path, func(draft string) error {
		if err := touchNew(draft); err != nil {
			return err
		}
		to, err := openConn(draft, "mode=rw", f.options.wait)
		if err != nil {
			return err
		}
		return errors.Join(f.copyPages(ctx, to, progress), to.close())
	})
	return fileError(path, err)
}

func (f *File) mayMake(path string) error {
	stat, err := os.Stat(path)
	switch {
	case err == nil && os.SameFile(f.stat, stat):
		return &Error{Kind: ErrExists, Path: path, Problem: "this is the project itself", Mend: "choose another name"}
	case err == nil && stat.IsDir():
		return &Error{Kind: ErrFolder, Path: path, Problem: "this is a folder", Mend: "name a file in it"}
	case err == nil:
		return &Error{Kind: ErrExists, Path: path, Problem: "there is a file of this name already, and it stays as it is", Mend: "choose another name"}
	case !errors.Is(err, fs.ErrNotExist):
		return fileError(path, err)
	}
	return noLeftovers(path)
}

// readable says whether the pages can be read: also of a file that is not where
// it was, unless the journal of another one lies there, which SQLite would take
// for its own.
func (f *File) readable() error {
	err := f.still()
	if _, another := os.Stat(f.real + rollbackSuffix); errors.Is(err, ErrMoved) && errors.Is(another, fs.ErrNotExist) {
		return nil
	}
	return err
}

func (f *File) copyPages(ctx context.Context, to *conn, progress func(done, total int)) (err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.readable(); err != nil {
		return err
	}
	backup, err := to.db.Backup("main", f.c.db, "main")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, backup.Close()) }()
	begun := time.Now()
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		left := backup.Remaining()
		done, err := backup.Step(pagesAtOnce)
		if err != nil {
			return err
		}
		if progress != nil {
			progress(backup.PageCount()-backup.Remaining(), backup.PageCount())
		}
		if done {
			return nil
		}
		if left == backup.Remaining() && left > 0 { // held up by a lock
			if time.Since(begun) > f.options.wait {
				return &Error{Kind: ErrLocked, Path: f.path, Problem: "another program is writing to the file", Mend: "close it there, then try again"}
			}
			time.Sleep(5 * time.Millisecond)
		} else {
			begun = time.Now()
		}
		f.mu.Unlock() // let an edit in between
		f.mu.Lock()
		if err := f.readable(); err != nil {
			return err
		}
	}
}

// keepCopy puts a copy of the file beside it before its shape is changed:
// NAME.v1.bellout, or with a number where that is there already.
func (f *File) keepCopy(version int) error {
	ending := filepath.Ext(f.path)
	stem := fmt.Sprintf("%s.v%d", strings.TrimSuffix(f.path, ending), version)
	for count := 1; ; count++ {
		path := stem + ending
		if count > 1 {
			path = fmt.Sprintf("%s-%d%s", stem, count, ending)
		}
		if err := f.Backup(context.Background(), path, nil); !errors.Is(err, ErrExists) {
			return err
		}
	}
}
