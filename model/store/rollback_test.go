package store

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bellout/model"
)

// endHalfWay copies a project as a kill in the middle of a large edit leaves it,
// with pages of both states in it and the journal beside it. old is the machine
// before the edit.
func endHalfWay(t *testing.T, f *File, path string) (copied string, old *model.Machine) {
	t.Helper()
	old = f.Machine().Clone()
	// A small cache: what does not fit goes into the file before the commit.
	must(t, f.c.script("PRAGMA cache_size=5"))
	copied = filepath.Join(t.TempDir(), "half.bellout")
	stopHere := errors.New("half way")
	f.mu.Lock()
	err := f.transact(func() error {
		edit := large(30, 30, 100)
		return errors.Join(f.do(edit, kindEdit), copyFile(path, copied), copyFile(path+rollbackSuffix, copied+rollbackSuffix), stopHere)
	})
	f.mu.Unlock()
	if !errors.Is(err, stopHere) {
		t.Fatal(err)
	}
	if a, b := sizeOf(t, path), sizeOf(t, copied); a == b {
		t.Fatalf("the edit wrote nothing into the file: %d bytes", a)
	}
	return copied, old
}

func sizeOf(t *testing.T, path string) int64 {
	t.Helper()
	about, err := os.Stat(path)
	must(t, err)
	return about.Size()
}

// A project whose program was killed while it wrote is what it was before: read,
// with nothing written in its folder, and opened for writing, with nothing left
// beside it.
func TestAProjectThatEndedHalfWay(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(model.Edit{What: "E1", Changes: added(device("E1", "+", "-")...)}))
	copied, old := endHalfWay(t, f, path)
	before := folder(t, filepath.Dir(copied))
	read := reopen(t, copied, ReadOnly)
	same(t, read.Machine(), old, "read")
	must(t, read.Close())
	if after := folder(t, filepath.Dir(copied)); after != before {
		t.Error("reading changed the folder")
	}
	write := reopen(t, copied, ReadWrite)
	same(t, write.Machine(), old, "opened for writing")
	if left := companions(copied); left != nil {
		t.Errorf("beside it lie %v", left)
	}
	check(t, write)
}

// The half of it alone, without its journal, is never taken for the whole.
func TestHalfAProjectAlone(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(model.Edit{What: "E1", Changes: added(device("E1", "+", "-")...)}))
	copied, _ := endHalfWay(t, f, path)
	must(t, os.Remove(copied+rollbackSuffix))
	refuse(t, copied, ErrDamaged)
}

// A backup in the place of a project that ended half way is not rolled back by
// what lies beside it: it is said what that is, and nothing is touched. Moved
// away, the backup opens.
func TestABackupBesideAnotherJournal(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(model.Edit{What: "E1", Changes: added(device("E1", "+", "-")...)}))
	backup, err := os.ReadFile(path)
	must(t, err)
	want := f.Machine().Clone()
	must(t, f.Do(model.Edit{What: "E2", Changes: added(device("E2", "+", "-")...)}))
	copied, _ := endHalfWay(t, f, path)
	must(t, os.WriteFile(copied, backup, 0o644))
	refuse(t, copied, ErrLeftover)
	must(t, os.Rename(copied+rollbackSuffix, filepath.Join(t.TempDir(), "away")))
	same(t, reopen(t, copied, ReadWrite).Machine(), want, "the backup")
}

// The same for the log of a version before.
func TestABackupBesideAnotherLog(t *testing.T) {
	f, path := create(t)
	keepALog(t, f)
	must(t, f.Do(model.Edit{What: "E1", Changes: added(device("E1", "+", "-")...)}))
	copied, whole := project(t)
	must(t, copyFile(path+walSuffix, copied+walSuffix))
	refuse(t, copied, ErrLeftover)
	must(t, os.Remove(copied+walSuffix))
	if now, err := os.ReadFile(copied); err != nil || string(now) != string(whole) {
		t.Error("the backup was written")
	}
}

// While another program writes, its journal is that of this file: whoever reads
// meanwhile reads what was before, or waits and reads what is after.
func TestReadingBesideAWriter(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	_, out, _ := start(t, ownProgram(t), "log", path)
	if _, err := out.ReadString('\n'); err != nil {
		t.Fatal(err)
	}
	rounds := 30
	if testing.Short() {
		rounds = 8
	}
	last := 0
	for range rounds {
		read, err := Open(path, ReadOnly)
		must(t, err)
		if got := len(read.Machine().Readings); got < last {
			t.Fatalf("%d readings, and %d before", got, last)
		} else {
			last = got
		}
		must(t, read.Close())
		if _, err := out.ReadString('\n'); err != nil { // the writer goes on
			t.Fatal(err)
		}
	}
	// A window that has it open follows.
	read, err := Open(path, ReadOnly)
	must(t, err)
	defer func() { must(t, read.Close()) }()
	before := len(read.Machine().Readings)
	for deadline := time.Now().Add(10 * time.Second); len(read.Machine().Readings) == before; {
		if _, err := read.Refresh(); err != nil {
			t.Fatal(err)
		}
		if time.Now().After(deadline) {
			t.Fatal("the reader never sees what is written")
		}
	}
}
