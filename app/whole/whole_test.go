package whole

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// alone fails unless the folder holds only the files named.
func alone(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
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

func TestReplaceKeepsTheOldFileUntilTheNewOneIsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "nets.csv")
	if err := Replace(path, say("old")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("half way")
	err := Replace(path, func(out io.Writer) error {
		if _, err := io.WriteString(out, strings.Repeat("new ", 10000)); err != nil {
			return err
		}
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("got error %v, want %v", err, broken)
	}
	if got := read(t, path); got != "old" {
		t.Errorf("after a failure the file holds %q", got)
	}
	if err := Replace(path, say("new")); err != nil {
		t.Fatal(err)
	}
	if got := read(t, path); got != "new" {
		t.Errorf("the file holds %q", got)
	}
	alone(t, dir, "nets.csv")
}

func TestReplaceFollowsALink(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.csv")
	if err := os.WriteFile(real, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Fatal(err)
	}
	if err := Replace(link, say("new")); err != nil {
		t.Fatal(err)
	}
	if at, err := os.Lstat(link); err != nil || at.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is no link any more (%v)", err)
	}
	if got := read(t, real); got != "new" {
		t.Errorf("the file behind the link holds %q", got)
	}
}

func TestReplaceRefusesAFolder(t *testing.T) {
	dir := t.TempDir()
	if err := Replace(dir, say("new")); err == nil {
		t.Error("a folder was replaced by a file")
	}
}

func TestNewMakesAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lock.bellout")
	draftOf := func(text string, fail error) func(string) error {
		return func(draft string) error {
			return errors.Join(os.WriteFile(draft, []byte(text), 0o644), os.WriteFile(draft+"-wal", nil, 0o644), fail)
		}
	}
	broken := errors.New("half way")
	if err := New(path, draftOf("half", broken)); !errors.Is(err, broken) {
		t.Errorf("got error %v, want %v", err, broken)
	}
	alone(t, dir)
	if err := New(path, draftOf("first", nil)); err != nil {
		t.Fatal(err)
	}
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
	if err == nil {
		t.Error("no error")
	}
	if got := read(t, path); got != "theirs" {
		t.Errorf("the file holds %q", got)
	}
}
