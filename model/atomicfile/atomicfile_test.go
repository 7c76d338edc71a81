package atomicfile

import (
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	must(t, err)
	return string(text)
}

// alone fails unless the folder holds only the files named.
func alone(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	must(t, err)
	var found []string
	for _, entry := range entries {
		found = append(found, entry.Name())
	}
	if got, want := strings.Join(found, " "), strings.Join(names, " "); got != want {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

func say(text string) func(io.Writer) error {
	return func(out io.Writer) error {
		_, err := io.WriteString(out, text)
		return err
	}
}

// aProject is as much of a project as tells that it is one.
func aProject() string {
	header := make([]byte, 100)
	copy(header, sqliteMagic)
	binary.BigEndian.PutUint32(header[offApplication:], ApplicationID)
	return string(header) + "and pages"
}

func TestWriteKeepsTheOldFileUntilTheNewOneIsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "nets.csv")
	must(t, Write(path, false, say("old")))
	broken := errors.New("half way")
	err := Write(path, true, func(out io.Writer) error {
		if _, err := io.WriteString(out, strings.Repeat("new ", 100000)); err != nil {
			return err
		}
		alone(t, dir, filepath.Base(only(t, dir, folderPrefix)), "nets.csv")
		if got := read(t, path); got != "old" {
			t.Errorf("on the way the file holds %q", got)
		}
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("got error %v, want %v", err, broken)
	}
	if got := read(t, path); got != "old" {
		t.Errorf("after a failure the file holds %q", got)
	}
	must(t, Write(path, true, say("new")))
	if got := read(t, path); got != "new" {
		t.Errorf("the file holds %q", got)
	}
	alone(t, dir, "nets.csv")
}

// only returns the one path in a folder that begins so.
func only(t *testing.T, dir, prefix string) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(dir, prefix+"*"))
	must(t, err)
	if len(found) != 1 {
		t.Fatalf("%d paths begin with %s: %v", len(found), prefix, found)
	}
	return found[0]
}

// What must not be written over stays as it is, byte for byte, and nothing else
// appears: another file unless the caller says so, and even then no project
// under any name, no link and no folder.
func TestWhatIsNeverWrittenOver(t *testing.T) {
	for _, c := range []struct {
		name    string
		make    func(t *testing.T, path string)
		replace bool
		says    string
	}{
		{"a file", func(t *testing.T, path string) { must(t, os.WriteFile(path, []byte("mine"), 0o644)) }, false, "is there already"},
		{"a project", func(t *testing.T, path string) { must(t, os.WriteFile(path, []byte(aProject()), 0o644)) }, true, "is a Bellout project"},
		{"a project, nobody asked", func(t *testing.T, path string) { must(t, os.WriteFile(path, []byte(aProject()), 0o644)) }, false, "is a Bellout project"},
		{"a link to a file", func(t *testing.T, path string) {
			must(t, os.WriteFile(path+".real", []byte("mine"), 0o644))
			must(t, os.Symlink(path+".real", path))
		}, true, "is a link"},
		{"a link to nothing", func(t *testing.T, path string) { must(t, os.Symlink("nowhere", path)) }, true, "is a link"},
		{"a folder", func(t *testing.T, path string) { must(t, os.Mkdir(path, 0o755)) }, true, "is no file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "out.csv")
			c.make(t, path)
			before := folderState(t, dir)
			for what, write := range map[string]func() error{
				"Write":    func() error { return Write(path, c.replace, say("new")) },
				"WriteAll": func() error { return WriteAll(dir, c.replace, File{"other", say("x")}, File{"out.csv", say("new")}) },
			} {
				err := write()
				if err == nil || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), path) || strings.Contains(err.Error(), "\n") {
					t.Errorf("%s: got %v, want %s and %q", what, err, path, c.says)
				}
				if after := folderState(t, dir); after != before {
					t.Errorf("%s: the folder went from\n%s\nto\n%s", what, before, after)
				}
			}
			if err := New(path, func(draft string) error { return os.WriteFile(draft, nil, 0o644) }); !errors.Is(err, fs.ErrExist) {
				t.Errorf("New: %v", err)
			}
			if after := folderState(t, dir); after != before {
				t.Errorf("New: the folder went from\n%s\nto\n%s", before, after)
			}
		})
	}
}

// A project that appears while the draft is written is not written over either.
func TestAProjectThatAppearsMeanwhile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.csv")
	err := Write(path, true, func(out io.Writer) error { return os.WriteFile(path, []byte(aProject()), 0o644) })
	if err == nil || read(t, path) != aProject() {
		t.Errorf("got %v, the file holds %.20q", err, read(t, path))
	}
	alone(t, filepath.Dir(path), "out.csv")
}

func folderState(t *testing.T, dir string) string {
	t.Helper()
	var out strings.Builder
	must(t, filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		about, err := entry.Info()
		if err != nil {
			return err
		}
		out.WriteString(path + " " + about.Mode().String())
		if entry.Type().IsRegular() {
			out.WriteString(" " + read(t, path))
		}
		out.WriteString("\n")
		return nil
	}))
	return out.String()
}

func TestNewMakesAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lock.bellout")
	draftOf := func(text string, fail error) func(string) error {
		return func(draft string) error {
			return errors.Join(os.WriteFile(draft, []byte(text), 0o644), os.WriteFile(draft+"-journal", nil, 0o644), fail)
		}
	}
	broken := errors.New("half way")
	if err := New(path, draftOf("half", broken)); !errors.Is(err, broken) {
		t.Errorf("got error %v, want %v", err, broken)
	}
	alone(t, dir)
	must(t, New(path, draftOf("first", nil)))
	if err := New(path, draftOf("second", nil)); err == nil {
		t.Error("a file that was there was replaced")
	}
	if got := read(t, path); got != "first" {
		t.Errorf("the file holds %q", got)
	}
	alone(t, dir, "lock.bellout")
}

func TestNewDoesNotTakeANameThatAppearedMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lock.bellout")
	err := New(path, func(draft string) error {
		return errors.Join(os.WriteFile(draft, []byte("mine"), 0o644), os.WriteFile(path, []byte("theirs"), 0o644))
	})
	if !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v", err)
	}
	if got := read(t, path); got != "theirs" {
		t.Errorf("the file holds %q", got)
	}
	alone(t, dir, "lock.bellout")
}

func TestNewFolderAppearsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "book")
	broken := errors.New("half way")
	err := WriteNewFolder(path, File{"1.svg", say("one")}, File{"2.svg", func(io.Writer) error { return broken }})
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
	alone(t, dir)
	must(t, os.Mkdir(path, 0o755)) // an empty one may be there
	must(t, WriteNewFolder(path, File{"1.svg", say("one")}, File{"2.svg", say("two")}))
	alone(t, path, "1.svg", "2.svg")
	if err := WriteNewFolder(path, File{"1.svg", say("x")}); err == nil || read(t, filepath.Join(path, "1.svg")) != "one" {
		t.Errorf("pages of two printings mix: %v", err)
	}
	alone(t, dir, "book")
}
