package atomicfile

import (
	"errors"
	"io/fs"
	"os"

	"golang.org/x/sys/windows"
)

// lockedByte lies far behind what the file holds: on Windows nobody else can
// read what is locked, and who holds the file should be readable.
const lockedByte = 1 << 30

// Lock takes one byte of the file, or says that another has it (ErrBusy), or
// that the disk knows no locks (ErrNoLocks). The system lets go when the process
// ends.
func Lock(file *os.File) error {
	at := windows.Overlapped{Offset: lockedByte}
	err := windows.LockFileEx(windows.Handle(file.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &at)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, windows.ERROR_LOCK_VIOLATION), errors.Is(err, windows.ERROR_IO_PENDING):
		return ErrBusy
	case errors.Is(err, windows.ERROR_NOT_SUPPORTED), errors.Is(err, windows.ERROR_INVALID_FUNCTION), errors.Is(err, windows.ERROR_CALL_NOT_IMPLEMENTED):
		return ErrNoLocks
	}
	return &os.PathError{Op: "lock", Path: file.Name(), Err: err}
}

// OpenItself is os.OpenFile that follows no link.
func OpenItself(path string, flag int, perm fs.FileMode) (*os.File, error) {
	return openPlain(path, flag, perm)
}

// IsFull says whether an error of the system is about room on the disk.
func IsFull(err error) bool {
	return errors.Is(err, windows.ERROR_DISK_FULL) || errors.Is(err, windows.ERROR_HANDLE_DISK_FULL) ||
		errors.Is(err, windows.ERROR_DISK_QUOTA_EXCEEDED) || errors.Is(err, windows.ERROR_FILE_TOO_LARGE)
}

// syncFolder does nothing: Windows keeps the names of files by itself.
func syncFolder(string) error { return nil }
