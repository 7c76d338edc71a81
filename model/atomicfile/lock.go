package atomicfile

import "errors"

// Why a file cannot be locked.
var (
	ErrBusy    = errors.New("held by another")
	ErrNoLocks = errors.New("this disk knows no locks")
)
