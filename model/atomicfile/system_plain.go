//go:build !darwin && !dragonfly && !freebsd && !linux && !netbsd && !openbsd

package atomicfile

import (
	"errors"
	"io/fs"
	"os"
)

// openPlain refuses what is no plain file, where the system itself cannot be
// told to.
func openPlain(path string, flag int, perm fs.FileMode) (*os.File, error) {
	if there, err := os.Lstat(path); err == nil && !there.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "open", Path: path, Err: errors.New("it is no plain file")}
	}
	return os.OpenFile(path, flag, perm)
}
