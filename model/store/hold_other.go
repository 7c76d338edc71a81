//go:build !darwin && !dragonfly && !freebsd && !linux && !netbsd && !openbsd && !windows

package store

import (
	"errors"
	"os"
)

func lock(*os.File) error { return errNoLocks }

func (h *hold) letGo() error {
	return errors.Join(removeIfThere(h.path), h.file.Close())
}
