package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"bellout/model"
)

func TestBackup(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(large(60, 60, 100)))
	to := filepath.Join(t.TempDir(), "backup.bellout")
	calls, last := 0, 0
	must(t, f.Backup(context.Background(), to, func(done, total int) {
		if calls++; done < last || done > total || total == 0 {
			t.Errorf("progress %d of %d after %d", done, total, last)
		}
		last = done
	}))
	if calls < 2 {
		t.Errorf("progress was told %d times", calls)
	}
	backup := reopen(t, to, ReadWrite)
	same(t, backup.Machine(), f.Machine(), "the backup")
	check(t, backup)
	if _, err := backup.Undo(); err != nil {
		t.Errorf("undo in the backup: %v", err)
	}
	must(t, backup.Close())

	// Never over an older one; with an edit made meanwhile.
	if err := f.Backup(context.Background(), to, nil); !errors.Is(err, ErrExists) {
		t.Errorf("over an older backup: %v", err)
	}
	must(t, os.Remove(to))
	first := true
	must(t, f.Backup(context.Background(), to, func(int, int) {
		if first {
			first = false
			done := make(chan error)
			go func() { done <- f.Do(model.Edit{What: "K1", Changes: added(device("K1")...)}) }()
			t.Cleanup(func() { must(t, <-done) })
		}
	}))
	backup = reopen(t, to, ReadOnly)
	if count := len(backup.Machine().Devices); count != 60 && count != 61 {
		t.Errorf("%d devices in the backup", count)
	}
	must(t, backup.Close())
	if left, err := os.ReadDir(filepath.Dir(to)); err != nil || len(left) != 1 {
		t.Errorf("left %v, %v", left, err)
	}
}

func TestBackupThatStopsLeavesNothing(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(large(60, 60, 0)))
	to := filepath.Join(t.TempDir(), "backup.bellout")
	ctx, cancel := context.WithCancel(context.Background())
	if err := f.Backup(ctx, to, func(int, int) { cancel() }); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if left, _ := os.ReadDir(filepath.Dir(to)); len(left) != 0 {
		t.Errorf("left %v", left)
	}
	foreign, other := filepath.Join(t.TempDir(), "letter.txt"), filepath.Join(t.TempDir(), "other.bellout")
	must(t, os.WriteFile(foreign, []byte("dear"), 0o644))
	must(t, reopenNew(t, other).Close())
	link := filepath.Join(t.TempDir(), "link.bellout")
	must(t, os.Symlink(filepath.Join(t.TempDir(), "nowhere"), link))
	before := folder(t, filepath.Dir(other))
	for name, c := range map[string]struct {
		path string
		kind error
	}{
		"the project itself": {path, ErrExists}, "another file": {foreign, ErrExists}, "a folder": {t.TempDir(), ErrFolder},
		"another project": {other, ErrExists}, "a link to nothing": {link, ErrExists},
		"a folder that is not there": {filepath.Join(t.TempDir(), "no", "x"), ErrNotThere},
	} {
		if err := f.Backup(context.Background(), c.path, nil); !errors.Is(err, c.kind) {
			t.Errorf("onto %s: %v", name, err)
		}
	}
	if text, _ := os.ReadFile(foreign); string(text) != "dear" {
		t.Error("the other file was written")
	}
	if after := folder(t, filepath.Dir(other)); after != before {
		t.Error("the other project was written")
	}
}

// reopenNew makes another project.
func reopenNew(t testing.TB, path string) *File {
	t.Helper()
	f, err := Create(path)
	must(t, err)
	must(t, f.Do(small()))
	return f
}
