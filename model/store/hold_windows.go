package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockedByte lies far behind what the file holds: on Windows nobody else can
// read what is locked, and who holds the file should be readable.
const lockedByte = 1 << 30

// lock takes one byte of the file, or says that another has it. The system
// lets go when the process ends.
func lock(file *os.File) error {
	at := windows.Overlapped{Offset: lockedByte}
	err := windows.LockFileEx(windows.Handle(file.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &at)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, windows.ERROR_LOCK_VIOLATION), errors.Is(err, windows.ERROR_IO_PENDING):
		return errBusy
	case errors.Is(err, windows.ERROR_NOT_SUPPORTED), errors.Is(err, windows.ERROR_INVALID_FUNCTION), errors.Is(err, windows.ERROR_CALL_NOT_IMPLEMENTED):
		return errNoLocks
	}
	return &os.PathError{Op: "lock", Path: file.Name(), Err: err}
}

// letGo closes first: Windows takes no open file away. Where another window
// opened it meanwhile, it stays for that one.
func (h *hold) letGo() error {
	err := h.file.Close()
	_ = removeIfThere(h.path)
	return err
}
