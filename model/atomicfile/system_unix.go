//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// Lock takes the whole file, or says that another has it (ErrBusy), or that the
// disk knows no locks (ErrNoLocks). The kernel lets go when the last descriptor
// is closed: at the end of the process at the latest.
func Lock(file *os.File) error {
	for {
		err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, syscall.EINTR):
			continue
		case errors.Is(err, syscall.EWOULDBLOCK):
			return ErrBusy
		case errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.ENOTSUP), errors.Is(err, syscall.ENOSYS):
			return ErrNoLocks
		}
		return &os.PathError{Op: "lock", Path: file.Name(), Err: err}
	}
}

// OpenItself is os.OpenFile that follows no link and waits for no other end of a
// pipe.
func OpenItself(path string, flag int, perm fs.FileMode) (*os.File, error) {
	return os.OpenFile(path, flag|syscall.O_NOFOLLOW|syscall.O_NONBLOCK, perm)
}

// IsFull says whether an error of the system is about room on the disk.
func IsFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}

// syncFolder puts the names of new files on the disk, where the system can.
func syncFolder(folder string) error {
	opened, err := os.Open(folder)
	if err != nil {
		return err
	}
	err = opened.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		err = nil
	}
	return errors.Join(err, opened.Close())
}
