package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/mattn/go-sqlite3"

	"bellout/model"
)

// limitPages lets the file grow to a number of pages and no further, as a full
// disk does.
func limitPages(t testing.TB, f *File, pages int64) {
	t.Helper()
	must(t, f.c.script(fmt.Sprintf("PRAGMA max_page_count=%d", pages)))
}

// Every kind of edit is tried on a disk that is full at the first page, then at
// the second, until it goes through. After each failure the machine in memory,
// and the file opened again, are the old ones; after success the new ones.
func TestFullDisk(t *testing.T) {
	_, path := create(t)
	all := allSteps()
	failures := 0
	for _, step := range all {
		f := reopen(t, path, ReadWrite)
		old := f.Machine().Clone()
		must(t, f.Close())
		for extra := int64(0); ; extra++ {
			f = reopen(t, path, ReadWrite)
			pages, err := f.c.number("PRAGMA page_count")
			must(t, err)
			limitPages(t, f, pages+extra)
			err = step.do(f)
			if err == nil {
				limitPages(t, f, 1<<30)
				check(t, f)
				now := f.Machine().Clone()
				must(t, f.Close())
				f = reopen(t, path, ReadWrite)
				same(t, f.Machine(), now, step.name+", opened again")
				must(t, f.Close())
				break
			}
			failures++
			if !errors.Is(err, ErrFull) {
				t.Fatalf("%s with %d pages more: %v", step.name, extra, err)
			}
			same(t, f.Machine(), old, step.name+" failed, in memory")
			limitPages(t, f, 1<<30)
			check(t, f)
			must(t, f.Close())
			f = reopen(t, path, ReadWrite)
			same(t, f.Machine(), old, step.name+" failed, opened again")
			must(t, f.Close())
			if extra > 200 {
				t.Fatalf("%s never goes through", step.name)
			}
		}
	}
	if failures < 2 {
		t.Errorf("only %d failures: nothing was tested", failures)
	}
}

// Every operation of every kind of edit fails once, the commit included.
func TestEveryOperationFails(t *testing.T) {
	_, path := create(t)
	failures := 0
	for _, step := range allSteps() {
		f := reopen(t, path, ReadWrite)
		old := f.Machine().Clone()
		for fail := 1; ; fail++ {
			count := 0
			f.c.fault = func() error {
				if count++; count == fail {
					return sqlite3.Error{Code: sqlite3.ErrIoErr}
				}
				return nil
			}
			err := step.do(f)
			f.c.fault = nil
			if err == nil {
				break
			}
			failures++
			if !errors.Is(err, ErrDisk) {
				t.Fatalf("%s, operation %d: %v", step.name, fail, err)
			}
			// Where more than one edit makes the step, the first may have been made.
			if step.name != "setting and bond dropped" {
				same(t, f.Machine(), old, fmt.Sprintf("%s, operation %d failed", step.name, fail))
			} else if len(f.Machine().SettingRows) < len(old.SettingRows) {
				_, err := f.Undo()
				must(t, err)
			}
			check(t, f)
		}
		check(t, f)
		must(t, f.Close())
	}
	if failures < 100 {
		t.Errorf("only %d failures", failures)
	}
}

// A larger import fails at many places, with pages already in the log.
func TestFullDiskDuringAnImport(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(model.Edit{What: "E1", Changes: added(device("E1", "+", "-")...)}))
	old := f.Machine().Clone()
	edit := large(12, 12, 20)
	pages, err := f.c.number("PRAGMA page_count")
	must(t, err)
	step := int64(1)
	if testing.Short() {
		step = 9
	}
	// A cache of ten pages: what does not fit goes to the log before the commit.
	must(t, f.c.script("PRAGMA cache_size=10"))
	for extra := int64(0); ; extra += step {
		limitPages(t, f, pages+extra)
		err := f.Do(edit)
		if err == nil {
			break
		}
		if !errors.Is(err, ErrFull) {
			t.Fatalf("with %d pages more: %v", extra, err)
		}
		same(t, f.Machine(), old, "after a failed import")
		check(t, f)
	}
	check(t, f)
	must(t, f.Close())
	check(t, reopen(t, path, ReadWrite))
}

// Create on a disk without room leaves nothing.
func TestCreateWithoutRoom(t *testing.T) {
	dir := t.TempDir()
	was := migrations
	defer func() { migrations = was }()
	migrations = []string{"PRAGMA max_page_count=9; " + was[0]}
	if _, err := Create(filepath.Join(dir, "x.bellout")); !errors.Is(err, ErrFull) {
		t.Fatalf("got %v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("left %v", left)
	}
}

// What is in memory goes back too when only the commit fails.
func TestCommitFails(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	want := f.Machine().Clone()
	// A row that refers to nothing is seen at the commit, not before.
	err := f.transact(func() error {
		if err := f.do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}, kindEdit); err != nil {
			return err
		}
		return f.c.execOne("INSERT INTO terminals (device, terminal, role, section) VALUES (999, 'x', '', '')")
	})
	if err == nil {
		t.Fatal("a terminal without a device was committed")
	}
	same(t, f.Machine(), want, "after a commit that failed")
	check(t, f)
	must(t, f.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
	check(t, f)
}
