package command

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"bellout/model/store"
)

// smallDisk gives this goroutine, and the programs that it starts, a disk of a
// number of bytes, and returns its folder.
func smallDisk(t *testing.T) (folder string, resize func(size int)) {
	t.Helper()
	runtime.LockOSThread() // for good: the thread ends with the test, and the disk with it
	if err := syscall.Unshare(syscall.CLONE_NEWNS); err != nil {
		t.Skip("no disk of our own here: ", err)
	}
	if err := syscall.Mount("", "/", "", syscall.MS_PRIVATE|syscall.MS_REC, ""); err != nil {
		t.Skip("no disk of our own here: ", err)
	}
	folder = t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=4k"); err != nil {
		t.Skip("no disk of our own here: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(folder, syscall.MNT_DETACH) })
	return folder, func(size int) {
		if err := syscall.Mount("tmpfs", folder, "tmpfs", syscall.MS_REMOUNT, fmt.Sprintf("size=%d", size)); err != nil {
			t.Fatal(err)
		}
	}
}

// On a disk of any size from 300 kB, demo and import of a new file end in a file
// that is whole, or say that the disk is full and leave nothing; an export too.
func TestAFullDisk(t *testing.T) {
	tables := t.TempDir()
	if err := WriteDemo(context.Background(), filepath.Join(tables, "lock.bellout")); err != nil {
		t.Fatal(err)
	}
	for _, words := range [][]string{
		{"export", filepath.Join(tables, "lock.bellout"), "--as", "csv", "-o", filepath.Join(tables, "csv")},
	} {
		if _, errs, code := call(t, Console{}, words...); code != ExitDone {
			t.Fatal(errs)
		}
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	disk, resize := smallDisk(t)
	step := 96 << 10
	if testing.Short() {
		step *= 3
	}
	for name, words := range map[string][]string{
		"demo":   {"demo", "new.bellout"},
		"import": {"import", "new.bellout", filepath.Join(tables, "csv")},
		"export": {"export", filepath.Join(tables, "lock.bellout"), "--as", "book", "-o", "book.pdf"},
	} {
		full, size := 0, 300<<10
		for ; ; size += step {
			resize(size)
			cmd := exec.Command(program, words...)
			cmd.Args[0], cmd.Dir = "bellout", disk
			var errs bytes.Buffer
			cmd.Stderr = &errs
			err := cmd.Run()
			left, unread := os.ReadDir(disk)
			if unread != nil {
				t.Fatal(unread)
			}
			if err == nil {
				if len(left) != 1 {
					t.Errorf("%s with %d bytes: done, and on the disk lie %v", name, size, left)
				}
				break
			}
			full++
			if exit, failed := errors.AsType[*exec.ExitError](err); !failed || exit.ExitCode() != ExitBad ||
				!strings.Contains(errs.String(), "the disk is full") || strings.Count(errs.String(), "\n") != 1 {
				t.Errorf("%s with %d bytes: %v, %q", name, size, err, errs.String())
			}
			if len(left) != 0 {
				t.Errorf("%s with %d bytes left %v", name, size, left)
			}
			if size > 16<<20 {
				t.Fatalf("%s: %d bytes are not enough", name, size)
			}
		}
		if path := filepath.Join(disk, "new.bellout"); name != "export" {
			if full == 0 {
				t.Errorf("%s: the disk was never full", name)
			}
			file, err := store.Open(path, store.ReadWrite)
			if err != nil {
				t.Fatalf("%s with %d bytes: %v", name, size, err)
			}
			if got := len(file.Machine().Devices); got < 20 {
				t.Errorf("%s with %d bytes: %d devices", name, size, got)
			}
			if err := file.Close(); err != nil {
				t.Error(err)
			}
		}
		for _, entry := range []string{"new.bellout", "book.pdf"} {
			if err := os.Remove(filepath.Join(disk, entry)); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
		}
		t.Logf("%s: the disk was full %d times, %d bytes are enough", name, full, size)
	}
}
