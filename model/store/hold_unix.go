//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package store

import (
	"errors"
	"os"
	"syscall"
)

// lock takes the whole file, or says that another has it. The kernel lets go
// when the last descriptor is closed: at the end of the process at the latest.
func lock(file *os.File) error {
	for {
		err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, syscall.EINTR):
			continue
		case errors.Is(err, syscall.EWOULDBLOCK):
			return errBusy
		case errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.ENOTSUP), errors.Is(err, syscall.ENOSYS):
			return errNoLocks
		}
		return &os.PathError{Op: "lock", Path: file.Name(), Err: err}
	}
}

// letGo takes the file away while it is still locked, so that nobody can lock
// it between the two and lose it.
func (h *hold) letGo() error {
	return errors.Join(removeIfThere(h.path), h.file.Close())
}
