package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/mattn/go-sqlite3"

	"bellout/model"
	"bellout/model/merge"
)

// project writes the small machine into a file and returns its bytes too.
func project(t testing.TB) (path string, whole []byte) {
	t.Helper()
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	whole, err := os.ReadFile(path)
	must(t, err)
	return path, whole
}

// refuse opens a file in both ways and demands the kind of error, one line that
// names the file, and a folder that is as it was.
func refuse(t *testing.T, path string, kind error) {
	t.Helper()
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		before := folder(t, filepath.Dir(path))
		f, err := Open(path, mode)
		if err == nil {
			t.Fatalf("mode %d: opened, want %v", mode, errors.Join(kind, f.Close()))
		}
		var ours *Error
		if !errors.Is(err, kind) || !errors.As(err, &ours) {
			t.Fatalf("mode %d: got %v, want the kind %q", mode, err, kind)
		}
		if text := err.Error(); strings.Contains(text, "\n") || !strings.Contains(text, path) || ours.Mend == "" {
			t.Errorf("mode %d: not one line with place and mend: %q", mode, text)
		}
		if after := folder(t, filepath.Dir(path)); after != before {
			t.Errorf("mode %d: the folder changed from\n%s\nto\n%s", mode, before, after)
		}
	}
}

// folder prints names, times and bytes of what lies in a folder.
func folder(t testing.TB, dir string) string {
	t.Helper()
	var out strings.Builder
	entries, err := os.ReadDir(dir)
	must(t, err)
	for _, entry := range entries {
		stat, err := entry.Info()
		must(t, err)
		sum := 0
		if entry.Type().IsRegular() {
			content, err := os.ReadFile(filepath.Join(dir, entry.Name()))
			must(t, err)
			for _, b := range content {
				sum = sum*31 + int(b)
			}
		}
		out.WriteString(strings.Join([]string{entry.Name(), stat.ModTime().String(), stat.Mode().String()}, " "))
		_ = binary.Write(&out, binary.BigEndian, int64(sum))
	}
	return out.String()
}

func TestFilesThatCannotBeUsed(t *testing.T) {
	_, whole := project(t)
	patch := func(at int, with ...byte) []byte {
		patched := bytes.Clone(whole)
		copy(patched[at:], with)
		return patched
	}
	cases := []struct {
		name    string
		content []byte
		kind    error
	}{
		{"an empty file", nil, ErrEmpty},
		{"a text", []byte("wire,from,to\n"), ErrNotProject},
		{"a long text", bytes.Repeat([]byte("wire,from,to\n"), 1000), ErrNotProject},
		{"SQLite of another program", patch(offApplication, 0, 0, 0, 9), ErrNotProject},
		{"SQLite of nobody", patch(offApplication, 0, 0, 0, 0), ErrNotProject},
		{"a newer version", patch(offUserVersion, 0, 0, 0, byte(len(migrations)+1)), ErrNewer},
		{"version 0", patch(offUserVersion, 0, 0, 0, 0), ErrDamaged},
		{"a page size that cannot be", patch(offPageSize, 3, 7), ErrDamaged},
		{"50 bytes", whole[:50], ErrDamaged},
		{"one page", whole[:4096], ErrDamaged},
		{"the last page missing", whole[:len(whole)-4096], ErrDamaged},
		{"the last byte missing", whole[:len(whole)-1], ErrDamaged},
		{"the first page's tree overwritten", patch(headerSize, bytes.Repeat([]byte{0xA5}, 600)...), ErrDamaged},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "x.bellout")
			must(t, os.WriteFile(path, c.content, 0o644))
			refuse(t, path, c.kind)
		})
	}
	t.Run("no file", func(t *testing.T) { refuse(t, filepath.Join(t.TempDir(), "x.bellout"), ErrNotThere) })
	t.Run("a folder", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "x.bellout")
		must(t, os.Mkdir(dir, 0o755))
		refuse(t, dir, ErrFolder)
	})
}

// Garbage in the middle is met either by SQLite or by us, or it hit nothing
// that belongs to the machine; it is never shown as another machine.
func TestGarbageInTheMiddle(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(large(20, 20, 50)))
	want := f.Machine().Clone()
	must(t, f.Close())
	whole, err := os.ReadFile(path)
	must(t, err)
	refused := 0
	for at := 4096; at+512 <= len(whole); at += 1536 {
		bad := filepath.Join(t.TempDir(), "x.bellout")
		content := bytes.Clone(whole)
		for i := range 512 {
			content[at+i] = byte(i*89 + at>>9)
		}
		must(t, os.WriteFile(bad, content, 0o644))
		opened, err := Open(bad, ReadOnly)
		if err == nil {
			same(t, opened.Machine(), want, "with garbage in a place that is not used")
			must(t, opened.c.each("PRAGMA quick_check", 1, func(row *cells) error {
				if row.text(0) != "ok" {
					t.Errorf("garbage at %d was let in: %s", at, row.text(0))
				}
				return nil
			}))
			must(t, opened.Close())
			continue
		}
		if refused++; refused%10 == 1 {
			refuse(t, bad, ErrDamaged)
		} else if !errors.Is(err, ErrDamaged) {
			t.Fatalf("garbage at %d: %v", at, err)
		}
	}
	if refused < 10 {
		t.Errorf("only %d places were seen to be damaged", refused)
	}
}

// One flipped bit never makes Open panic or write; what it changes is either
// refused or lies in a text or number that SQLite cannot tell from a good one.
func TestFlippedBits(t *testing.T) {
	_, whole := project(t)
	step := 101
	if testing.Short() {
		step = 1499
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "x.bellout")
	for at := headerSize; at < len(whole); at += step {
		content := bytes.Clone(whole)
		content[at] ^= 1 << (at % 8)
		must(t, os.WriteFile(path, content, 0o644))
		f, err := Open(path, ReadOnly)
		var ours *Error
		if err != nil && !errors.As(err, &ours) {
			t.Fatalf("bit flipped in byte %d: %v", at, err)
		}
		if err == nil {
			must(t, f.Close())
		}
		after, err := os.ReadFile(path)
		must(t, err)
		if !bytes.Equal(after, content) || companions(path) != nil {
			t.Fatalf("bit flipped in byte %d: the file was written", at)
		}
	}
}

// A damaged file with pages waiting in a write-ahead log is not written either:
// the log stays beside it.
func TestDamagedFileWithALog(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(large(20, 20, 0)))
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	keepALog(t, f)
	must(t, f.Do(model.Edit{What: "a device", Changes: added(model.Device{Ref: "E1", Health: model.HealthOK})}))
	copied := filepath.Join(t.TempDir(), "x.bellout")
	must(t, copyFile(path, copied))
	must(t, copyFile(path+walSuffix, copied+walSuffix))
	must(t, f.Close())
	content, err := os.ReadFile(copied)
	must(t, err)
	for i := 8 * 4096; i < 16*4096; i++ {
		content[i] = 0xA5
	}
	must(t, os.WriteFile(copied, content, 0o644))
	refuse(t, copied, ErrDamaged)
}

// A sound pair of file and log, as versions before left it, opens, and reading
// leaves both as they are; opened for writing it is one file with all that was
// in both.
func TestAFileWithALogIsTakenOverWhole(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	keepALog(t, f)
	_, err := f.Log(reading("G1:+", "E1:+"))
	must(t, err)
	want := f.Machine().Clone()
	copied := filepath.Join(t.TempDir(), "x.bellout")
	must(t, copyFile(path, copied))
	must(t, copyFile(path+walSuffix, copied+walSuffix))
	before := folder(t, filepath.Dir(copied))
	read := reopen(t, copied, ReadOnly)
	same(t, read.Machine(), want, "file and log")
	if rows, err := read.Journal(0); err != nil || len(rows) != 2 {
		t.Errorf("journal %v, %v", rows, err)
	}
	must(t, read.Close())
	if after := folder(t, filepath.Dir(copied)); after != before {
		t.Errorf("reading changed the folder")
	}
	write := reopen(t, copied, ReadWrite)
	same(t, write.Machine(), want, "file and log, taken over")
	if left := companions(copied); left != nil {
		t.Errorf("beside the file lie %v", left)
	}
	alone := filepath.Join(t.TempDir(), "alone.bellout")
	must(t, copyFile(copied, alone))
	same(t, reopen(t, alone, ReadOnly).Machine(), want, "the file alone")
	must(t, write.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
	check(t, write)
	// Beside a program of before, which has the file open, nobody writes.
	if other, err := Open(path, ReadWrite, WithWait(10*time.Millisecond)); !errors.Is(err, ErrLocked) {
		t.Errorf("beside a program that keeps a log: %v, %v", other, err)
	}
	must(t, f.Close())
}

func TestReadOnlyNeverWrites(t *testing.T) {
	path, _ := project(t)
	before := folder(t, filepath.Dir(path))
	f := reopen(t, path, ReadOnly)
	for name, write := range map[string]func() error{
		"Do":     func() error { return f.Do(small()) },
		"Log":    func() error { _, err := f.Log(model.Reading{}); return err },
		"Strike": func() error { return f.Strike(1, "x") },
		"Undo":   func() error { _, err := f.Undo(); return err },
		"Redo":   func() error { _, err := f.Redo(); return err },

		"AddPhoto":    func() error { _, err := f.AddPhoto(model.Photo{Device: "G1"}, picture(1)); return err },
		"NoteCaution": func() error { return f.NoteCaution(noon, "") },
		"NameState":   func() error { return f.NameState("as found") },
		"RenameState": func() error { return f.RenameState("as found", "x") },
		"ForgetState": func() error { return f.ForgetState("as found") },
		"Merge": func() error {
			parting, err := f.Base(f)
			must(t, err)
			return f.Merge(f, parting, &merge.Result{Edit: small()})
		},
	} {
		if err := write(); !errors.Is(err, ErrReadOnly) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if what, ok, err := f.UndoWhat(); !ok || err != nil || what != "small machine" {
		t.Errorf("UndoWhat: %q, %v, %v", what, ok, err)
	}
	must(t, f.Close())
	if err := f.Do(small()); !errors.Is(err, ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
	if after := folder(t, filepath.Dir(path)); after != before {
		t.Errorf("reading changed the folder from\n%s\nto\n%s", before, after)
	}
}

func TestCreateReplacesNothing(t *testing.T) {
	path, whole := project(t)
	if _, err := Create(path); !errors.Is(err, ErrExists) {
		t.Errorf("over a project: %v", err)
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(now, whole) {
		t.Error("the project was written")
	}
	stale := filepath.Join(t.TempDir(), "x.bellout")
	must(t, os.WriteFile(stale+walSuffix, []byte("a log of a file that is gone"), 0o644))
	if _, err := Create(stale); !errors.Is(err, ErrExists) || !strings.Contains(err.Error(), walSuffix) {
		t.Errorf("beside a log of another file: %v", err)
	}
	if _, err := Create(filepath.Join(t.TempDir(), "no", "x.bellout")); !errors.Is(err, ErrNotThere) {
		t.Errorf("in a folder that is not there: %v", err)
	}
	odd := filepath.Join(t.TempDir(), "a b%20#?ü.bellout")
	f, err := Create(odd)
	must(t, err)
	must(t, f.Do(small()))
	must(t, f.Close())
	if entries, _ := os.ReadDir(filepath.Dir(odd)); len(entries) != 1 || entries[0].Name() != filepath.Base(odd) {
		t.Errorf("an odd name became %v", entries)
	}
}

func TestErrorsOfSQLiteInTheWordsOfTheBench(t *testing.T) {
	for code, kind := range map[sqlite3.ErrNo]error{
		sqlite3.ErrBusy: ErrLocked, sqlite3.ErrFull: ErrFull, sqlite3.ErrCorrupt: ErrDamaged, sqlite3.ErrNotADB: ErrDamaged,
		sqlite3.ErrReadonly: ErrReadOnly, sqlite3.ErrCantOpen: ErrReadOnly, sqlite3.ErrIoErr: ErrDisk,
	} {
		if err := fileError("x.bellout", sqlite3.Error{Code: code}); !errors.Is(err, kind) {
			t.Errorf("code %d: %v, want %v", code, err, kind)
		}
	}
	// The log beside the file meets a full disk as an error of the disk.
	if err := fileError("x.bellout", sqlite3.Error{Code: sqlite3.ErrIoErr, SystemErrno: syscall.ENOSPC}); !errors.Is(err, ErrFull) || !strings.Contains(err.Error(), "make room") {
		t.Errorf("no space left: %v", err)
	}
}
