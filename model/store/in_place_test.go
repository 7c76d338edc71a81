package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

// open is a project that is open for writing, with one reading more than its
// backup.
func openWithBackup(t *testing.T) (f *File, path, backup string) {
	t.Helper()
	path, whole := project(t)
	backup = filepath.Join(t.TempDir(), "backup.bellout")
	must(t, os.WriteFile(backup, whole, 0o644))
	f = reopen(t, path, ReadWrite)
	_, err := f.Log(reading("G1:+", "E1:+"))
	must(t, err)
	return f, path, backup
}

// A project that is renamed, deleted or replaced under its program takes no
// change any more: each says so in a line, in memory nothing changes, and what
// is open can be saved elsewhere, whole. Nothing is written beside what is at
// the path now.
func TestMovedWhileOpen(t *testing.T) {
	for name, move := range map[string]func(path, backup string) error{
		"renamed":  func(path, _ string) error { return os.Rename(path, path+".old") },
		"deleted":  func(path, _ string) error { return os.Remove(path) },
		"replaced": func(path, backup string) error { return os.Rename(backup, path) },
		"replaced by a link": func(path, backup string) error {
			return errors.Join(os.Remove(path), os.Symlink(backup, path))
		},
		"replaced by a folder": func(path, _ string) error { return errors.Join(os.Remove(path), os.Mkdir(path, 0o755)) },
	} {
		t.Run(name, func(t *testing.T) {
			f, path, backup := openWithBackup(t)
			want := f.Machine().Clone()
			must(t, move(path, backup))
			before := folder(t, filepath.Dir(path))
			for what, write := range map[string]func() error{
				"Log":         func() error { _, err := f.Log(reading("G1:+", "E1:+")); return err },
				"Do":          func() error { return f.Do(model.Edit{What: "H1", Changes: added(device("H1")...)}) },
				"Undo":        func() error { _, err := f.Undo(); return err },
				"KeepBench":   func() error { return f.KeepBench(BenchHeld, []string{"unplugged J4"}) },
				"NoteCaution": func() error { return f.NoteCaution(noon, "") },
				"NameState":   func() error { return f.NameState("as found") },
				"Refresh":     func() error { _, err := f.Refresh(); return err },
				"Journal":     func() error { _, err := f.Journal(0); return err },
			} {
				err := write()
				if !errors.Is(err, ErrMoved) || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), path) {
					t.Errorf("%s: %v", what, err)
				}
				same(t, f.Machine(), want, what)
			}
			if after := folder(t, filepath.Dir(path)); after != before {
				t.Errorf("the folder changed from\n%s\nto\n%s", before, after)
			}
			saved := filepath.Join(t.TempDir(), "saved.bellout")
			must(t, f.Backup(context.Background(), saved, nil))
			must(t, f.Close())
			again := reopen(t, saved, ReadWrite)
			same(t, again.Machine(), want, "saved elsewhere")
			check(t, again)
		})
	}
}

// One that comes back to its place goes on.
func TestMovedAndPutBack(t *testing.T) {
	f, path, _ := openWithBackup(t)
	must(t, os.Rename(path, path+".old"))
	if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrMoved) {
		t.Fatal(err)
	}
	must(t, os.Rename(path+".old", path))
	number, err := f.Log(reading("G1:+", "E1:+"))
	must(t, err)
	must(t, f.Close())
	if _, there := reopen(t, path, ReadOnly).Machine().Reading(number); !there {
		t.Error("the reading is not in the file")
	}
}

// It is looked at once more before the change is acknowledged: moved between the
// two, it is not.
func TestMovedWhileItWrites(t *testing.T) {
	f, path, _ := openWithBackup(t)
	want := f.Machine().Clone()
	f.mu.Lock()
	err := f.transact(func() error {
		return errors.Join(f.do(model.Edit{What: "H1", Changes: added(device("H1")...)}, kindEdit), os.Rename(path, path+".old"))
	})
	f.mu.Unlock()
	if !errors.Is(err, ErrMoved) {
		t.Errorf("got %v", err)
	}
	same(t, f.Machine(), want, "in memory")
	must(t, f.Close())
	same(t, reopen(t, path+".old", ReadOnly).Machine(), want, "in the file that was moved")
}

// A journal of another file at the path is none of ours: SQLite would roll it in.
func TestMovedWithAnotherJournalAtThePath(t *testing.T) {
	f, path, _ := openWithBackup(t)
	must(t, os.Rename(path, path+".old"))
	must(t, os.WriteFile(path+rollbackSuffix, []byte(rollbackMagic+"of another"), 0o644))
	before := folder(t, filepath.Dir(path))
	if err := f.Backup(context.Background(), filepath.Join(t.TempDir(), "x"), nil); !errors.Is(err, ErrMoved) {
		t.Errorf("got %v", err)
	}
	if after := folder(t, filepath.Dir(path)); after != before {
		t.Error("the journal of another file was touched")
	}
}

// A backup that is copied over the open file is no damage: the caller is told
// that the file is another one now, and goes on in that. Also where SQLite's own
// count of changes says that nothing happened.
func TestABackupCopiedOverTheOpenFile(t *testing.T) {
	for _, later := range []bool{false, true} {
		f, path, backup := openWithBackup(t)
		if later { // a backup that somebody worked in: as many changes, but others
			other := reopen(t, backup, ReadWrite)
			must(t, other.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
			must(t, other.Close())
			mine, err := lookAt(path)
			must(t, err)
			if theirs, err := lookAt(backup); err != nil || mine.changed != theirs.changed {
				t.Fatalf("%d and %d changes, %v", mine.changed, theirs.changed, err)
			}
		}
		content, err := os.ReadFile(backup)
		must(t, err)
		want := reopen(t, backup, ReadOnly).Machine()
		time.Sleep(20 * time.Millisecond) // the clock of the disk
		must(t, os.WriteFile(path, content, 0o644))
		if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrChanged) {
			t.Fatalf("got %v", err)
		}
		same(t, f.Machine(), want, "after the backup was put there")
		_, err = f.Log(reading("G1:+", "E1:+"))
		must(t, err)
		check(t, f)
		must(t, f.Close())
		if got := len(reopen(t, path, ReadOnly).Machine().Readings); got != len(want.Readings)+1 {
			t.Errorf("%d readings, want one more than the %d of the backup", got, len(want.Readings))
		}
	}
}

// While the backup is still being copied, what is there is cut short: that is
// waited for, and never called damage. So is a file that stays cut short: it is
// said what happened, and when the copy comes, the file goes on.
func TestABackupThatIsStillBeingCopied(t *testing.T) {
	for _, cut := range []int{0, 50, 4096, 5 * 4096} {
		f, path, backup := openWithBackup(t)
		content, err := os.ReadFile(backup)
		must(t, err)
		time.Sleep(20 * time.Millisecond)
		must(t, os.WriteFile(path, content[:cut], 0o644))
		if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrMoved) || errors.Is(err, ErrDamaged) || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), "wrote over the file") {
			t.Errorf("cut to %d: %v", cut, err)
		}
		f.options.wait = 5 * time.Second
		copied := make(chan error)
		go func() {
			time.Sleep(50 * time.Millisecond)
			copied <- os.WriteFile(path, content, 0o644)
		}()
		_, err = f.Log(reading("G1:+", "E1:+"))
		for errors.Is(err, ErrChanged) {
			_, err = f.Log(reading("G1:+", "E1:+"))
		}
		must(t, errors.Join(err, <-copied))
		check(t, f)
		must(t, f.Close())
		if got := len(reopen(t, path, ReadOnly).Machine().Readings); got != 4 {
			t.Errorf("cut to %d: %d readings, want the 3 of the backup and one", cut, got)
		}
	}
}

// Who only reads is told that the file is another one, and opens it again.
func TestAReaderOfAFileThatIsReplaced(t *testing.T) {
	path, _ := project(t)
	read := reopen(t, path, ReadOnly)
	if changed, err := read.Refresh(); changed || err != nil {
		t.Errorf("nothing happened: %v, %v", changed, err)
	}
	write := reopen(t, path, ReadWrite)
	_, err := write.Log(reading("G1:+", "E1:+"))
	must(t, errors.Join(err, write.Close()))
	if changed, err := read.Refresh(); !changed || err != nil {
		t.Errorf("a reading came: %v, %v", changed, err)
	}
	if got := len(read.Machine().Readings); got != 4 {
		t.Errorf("%d readings", got)
	}
	_, whole := project(t)
	must(t, os.WriteFile(path+".new", whole, 0o644))
	must(t, os.Rename(path+".new", path))
	if _, err := read.Refresh(); !errors.Is(err, ErrChanged) {
		t.Errorf("another file: %v", err)
	}
}

// One project that is reached through a link is the file that it leads to, with
// what lies beside that.
func TestAProjectThroughALink(t *testing.T) {
	path, _ := project(t)
	link := filepath.Join(t.TempDir(), "link.bellout")
	must(t, os.Symlink(path, link))
	f := reopen(t, link, ReadWrite)
	_, err := f.Log(reading("G1:+", "E1:+"))
	must(t, err)
	other, _ := project(t)
	must(t, errors.Join(os.Remove(link), os.Symlink(other, link)))
	if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrMoved) || !strings.Contains(err.Error(), link) {
		t.Errorf("the link leads elsewhere: %v", err)
	}
	must(t, f.Close())
	if got := len(reopen(t, path, ReadOnly).Machine().Readings); got != 4 {
		t.Errorf("%d readings", got)
	}
}

// Moved in the very moment of the commit, the change is in the moved file and in
// memory, and is not acknowledged: who saves everything elsewhere has it once.
func TestMovedWhileItIsCommitted(t *testing.T) {
	f, path, _ := openWithBackup(t)
	f.c.db.RegisterCommitHook(func() int {
		must(t, os.Rename(path, path+".old"))
		return 0
	})
	if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrMoved) {
		t.Errorf("got %v", err)
	}
	saved := filepath.Join(t.TempDir(), "saved.bellout")
	must(t, f.Backup(context.Background(), saved, nil))
	want := f.Machine().Clone()
	must(t, f.Close())
	if len(want.Readings) != 5 {
		t.Errorf("%d readings in memory, want 5", len(want.Readings))
	}
	same(t, reopen(t, path+".old", ReadOnly).Machine(), want, "in the file that was moved")
	same(t, reopen(t, saved, ReadOnly).Machine(), want, "saved elsewhere")
}
