package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// pagesAtOnce is how many pages a backup copies before it looks whether to
// stop: some milliseconds' worth.
const pagesAtOnce = 128

// Backup writes the project, as it is now, to another file, through SQLite's
// online backup: edits may go on meanwhile and are carried over. The file at
// path is put there, or replaced, only when the backup is whole; what is there
// must be a Bellout project that nobody has open. progress, which may be nil,
// is told pages.
func (f *File) Backup(ctx context.Context, path string, progress func(done, total int)) error {
	if err := f.mayReplace(path); err != nil {
		return err
	}
	err := replaceWhole(path, true, func(temporary string) error {
		to, err := openConn(temporary, "mode=rw", f.options.wait)
		if err != nil {
			return err
		}
		return errors.Join(f.copyPages(ctx, to, progress), to.close())
	})
	return fileError(path, err)
}

func (f *File) mayReplace(path string) error {
	stat, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return noLeftovers(path)
	}
	if err != nil {
		return fileError(path, err)
	}
	if own, err := os.Stat(f.path); err == nil && os.SameFile(own, stat) {
		return &Error{Kind: ErrExists, Path: path, Problem: "this is the project itself", Mend: "choose another name for the backup"}
	}
	if stat.IsDir() {
		return &Error{Kind: ErrFolder, Path: path, Problem: "this is a folder", Mend: "name a file in it"}
	}
	seen, err := lookAt(path)
	if errors.Is(err, ErrNotProject) {
		return &Error{Kind: ErrExists, Path: path, Problem: "this file is no backup of a project", Mend: "choose another name"}
	}
	if seen.walSize > 0 || seen.shm {
		return &Error{Kind: ErrLocked, Path: path, Problem: "another program has this file open", Mend: "close it there, or choose another name"}
	}
	return noLeftovers(path)
}

func (f *File) copyPages(ctx context.Context, to *conn, progress func(done, total int)) (err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
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
		if err := f.still(); err != nil {
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
		if _, err := os.Lstat(path); err == nil {
			continue
		}
		return f.Backup(context.Background(), path, nil)
	}
}
