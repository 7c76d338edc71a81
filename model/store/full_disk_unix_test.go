//go:build unix

package store

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

const sizeVariable = "BELLOUT_STORE_TEST_SIZE"

func init() {
	jobs["make"] = onSmallDisk(func(path string) error {
		return Make(path, func(f *File) error { return f.Do(large(20, 20, 50)) })
	})
	jobs["take over"] = onSmallDisk(func(path string) error {
		f, err := Open(path, ReadWrite)
		if err != nil {
			return err
		}
		return f.Close()
	})
}

// onSmallDisk is a job on a disk where no file grows beyond a size, and says how
// it ended. Unlike SQLite's own limit of pages this one also meets what is
// written after the last edit, as when a file is closed.
func onSmallDisk(job func(path string) error) func(path string) error {
	return func(path string) error {
		size, err := strconv.ParseUint(os.Getenv(sizeVariable), 10, 64)
		if err != nil {
			return err
		}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: size, Max: size}); err != nil {
			return err
		}
		if err = job(path); errors.Is(err, ErrFull) {
			fmt.Println("full")
			return nil
		}
		fmt.Println("done")
		return err
	}
}

func runOnSmallDisk(t *testing.T, job, path string, size int64) string {
	t.Helper()
	t.Setenv(sizeVariable, fmt.Sprint(size))
	cmd, out, _ := start(t, ownProgram(t), job, path)
	said, err := io.ReadAll(out)
	must(t, err)
	if err := cmd.Wait(); err != nil {
		t.Fatalf("%d bytes: %v, %s", size, err, said)
	}
	return strings.TrimSpace(string(said))
}

// A new file on a disk of any size is whole, or the disk is full and nothing is
// left.
func TestMakeOnASmallDisk(t *testing.T) {
	whole := filepath.Join(t.TempDir(), "whole.bellout")
	must(t, Make(whole, func(f *File) error { return f.Do(large(20, 20, 50)) }))
	want := reopen(t, whole, ReadOnly).Machine()
	need, step := sizeOf(t, whole), int64(3*4096)
	if testing.Short() {
		step *= 4
	}
	last := ""
	for size := int64(2048); last != "done"; size += step {
		path := filepath.Join(t.TempDir(), "x.bellout")
		last = runOnSmallDisk(t, "make", path, size)
		left, err := os.ReadDir(filepath.Dir(path))
		must(t, err)
		switch last {
		case "full":
			if len(left) > 0 {
				t.Fatalf("%d bytes: the disk is full, and it left %v", size, left)
			}
			if size > 2*need {
				t.Fatalf("it needs %d bytes, and %d are not enough", need, size)
			}
		case "done":
			if len(left) != 1 || size < need-step {
				t.Fatalf("%d bytes: done, and it left %v", size, left)
			}
			same(t, reopen(t, path, ReadOnly).Machine(), want, "what was made")
		default:
			t.Fatalf("%d bytes: %s", size, last)
		}
	}
}

// A file with the log of an older version, on a disk without room for what waits
// in the log: both stay, and nothing is lost.
func TestTakingOverALogOnAFullDisk(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	keepALog(t, f)
	must(t, f.Do(renamed(large(20, 20, 50), 1)))
	want := f.Machine().Clone()
	copied := filepath.Join(t.TempDir(), "x.bellout")
	must(t, copyFile(path, copied))
	must(t, copyFile(path+walSuffix, copied+walSuffix))
	must(t, f.Close())
	size := sizeOf(t, copied)
	if said := runOnSmallDisk(t, "take over", copied, size+8192); said != "full" {
		t.Fatalf("it says %s", said)
	}
	same(t, reopen(t, copied, ReadOnly).Machine(), want, "after the disk was full")
	if said := runOnSmallDisk(t, "take over", copied, 1<<30); said != "done" {
		t.Fatalf("it says %s", said)
	}
	same(t, reopen(t, copied, ReadOnly).Machine(), want, "taken over")
	if left := companions(copied); left != nil {
		t.Errorf("beside the file lie %v", left)
	}
}
