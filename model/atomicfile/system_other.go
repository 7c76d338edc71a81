//go:build !darwin && !dragonfly && !freebsd && !linux && !netbsd && !openbsd && !windows

package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// Lock knows no locks here.
func Lock(*os.File) error { return ErrNoLocks }

// OpenItself is os.OpenFile that follows no link.
func OpenItself(path string, flag int, perm fs.FileMode) (*os.File, error) {
	return openPlain(path, flag, perm)
}

// IsFull says whether an error of the system is about room on the disk.
func IsFull(err error) bool { return errors.Is(err, syscall.ENOSPC) }

func syncFolder(string) error { return nil }
