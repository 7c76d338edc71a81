//go:build unix

package store

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// Files and folders that may not be written, seen by a user without rights: the
// test starts itself again as one where it runs as root.
func TestWithoutTheRightToWrite(t *testing.T) {
	rows := len(small().Changes)
	cases := []struct {
		name         string
		file, folder os.FileMode
		log          bool // with a write-ahead log that holds the last edit
		want         []string
	}{
		{"file and folder", 0o444, 0o555, false, []string{fmt.Sprintf("mode 0: %d rows", rows), "mode 1: " + ErrReadOnly.Error(), "create: " + ErrNoPermission.Error()}},
		{"file and folder, with a log", 0o444, 0o555, true, []string{fmt.Sprintf("mode 0: %d rows", rows), "mode 1: " + ErrReadOnly.Error(), "create: " + ErrNoPermission.Error()}},
		{"the folder", 0o666, 0o555, false, []string{fmt.Sprintf("mode 0: %d rows", rows), "mode 1: " + ErrReadOnly.Error(), "create: " + ErrNoPermission.Error()}},
		{"not even to read", 0o000, 0o555, false, []string{"mode 0: " + ErrNoPermission.Error(), "mode 1: " + ErrNoPermission.Error(), "create: " + ErrNoPermission.Error()}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "stick")
			must(t, os.Mkdir(dir, 0o755))
			for parent := dir; parent != os.TempDir() && parent != "/"; parent = filepath.Dir(parent) {
				must(t, os.Chmod(parent, 0o755))
			}
			path := filepath.Join(dir, "lock.bellout")
			f, original := create(t)
			if c.log {
				keepALog(t, f)
			}
			must(t, f.Do(small()))
			if c.log {
				must(t, copyFile(original+walSuffix, path+walSuffix))
				must(t, os.Chmod(path+walSuffix, c.file))
				must(t, copyFile(original, path))
			} else {
				must(t, f.Close())
				must(t, copyFile(original, path))
			}
			program := filepath.Join(filepath.Dir(dir), "visitor")
			must(t, copyFile(ownProgram(t), program))
			must(t, os.Chmod(program, 0o755))
			must(t, os.Chmod(path, c.file))
			must(t, os.Chmod(dir, c.folder))
			t.Cleanup(func() { _ = os.Chmod(dir, 0o755) })
			before := ""
			if c.file != 0 || os.Geteuid() == 0 {
				before = folder(t, dir)
			}
			got := visitAs(t, program, path)
			if want := strings.Join(c.want, "\n") + "\n"; got != want {
				t.Errorf("got\n%swant\n%s", got, want)
			}
			if before != "" && folder(t, dir) != before {
				t.Error("the folder changed")
			}
		})
	}
}

// visitAs runs the job "visit" as a user without rights.
func visitAs(t *testing.T, program, path string) string {
	t.Helper()
	const nobody = 65534
	cmd, out, in := startAs(t, program, "visit", path, func() *syscall.SysProcAttr {
		if os.Geteuid() != 0 {
			return nil
		}
		return &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}())
	must(t, in.Close())
	text, err := io.ReadAll(out)
	must(t, err)
	if err := cmd.Wait(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return string(text)
}

// A new project, and a backup, have the rights that the umask leaves.
func TestNewProjectsHaveTheRightsOfTheUmask(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o007))
	f, path := create(t)
	backup := filepath.Join(t.TempDir(), "backup.bellout")
	must(t, f.Backup(context.Background(), backup, nil))
	for _, path := range []string{path, backup} {
		if about, err := os.Stat(path); err != nil || about.Mode().Perm() != 0o660 {
			t.Errorf("%s has the rights %v, %v", path, about.Mode(), err)
		}
	}
}
