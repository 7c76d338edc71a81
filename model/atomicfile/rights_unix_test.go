//go:build unix

package atomicfile

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A new file has the rights that the umask leaves, a new folder too; one that
// takes the place of another has that one's.
func TestRights(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o027))
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	must(t, Write(path, false, say("new")))
	rights(t, path, 0o640)
	must(t, WriteNewFolder(filepath.Join(dir, "pages"), File{"1.svg", say("one")}))
	rights(t, filepath.Join(dir, "pages"), 0o750)
	rights(t, filepath.Join(dir, "pages", "1.svg"), 0o640)
	must(t, os.Chmod(path, 0o606))
	must(t, Write(path, true, say("newer")))
	rights(t, path, 0o606)
}

func rights(t *testing.T, path string, want os.FileMode) {
	t.Helper()
	about, err := os.Stat(path)
	must(t, err)
	if got := about.Mode().Perm(); got != want {
		t.Errorf("%s has the rights %o, want %o", path, got, want)
	}
}
