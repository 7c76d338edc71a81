package store

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

// holdOpen is a window in another process: it opens the file for editing, says
// so, and closes it when its input ends.
func holdOpen(path string) error {
	f, err := Open(path, ReadWrite, WithHold())
	if err != nil {
		fmt.Println("error:", err)
		return nil
	}
	fmt.Println("open")
	_, err = io.Copy(io.Discard, os.Stdin)
	return errors.Join(err, f.Close())
}

func openWithHold(path string) (*File, error) {
	return Open(path, ReadWrite, WithHold(), WithClock(fixedClock), WithWait(20*time.Millisecond))
}

func says(t *testing.T, from *bufio.Reader, want string) {
	t.Helper()
	if line, err := from.ReadString('\n'); err != nil || !strings.HasPrefix(line, want) {
		t.Fatalf("got %q, %v; want %q", line, err, want)
	}
}

func TestHeldByAnotherWindow(t *testing.T) {
	path, _ := project(t)
	cmd, out, in := start(t, ownProgram(t), "window", path)
	says(t, out, "open")

	f, err := openWithHold(path)
	var held *HeldError
	if !errors.Is(err, ErrHeld) || !errors.As(err, &held) {
		t.Fatalf("a second window: %v, %v", f, err)
	}
	if held.By.PID != cmd.Process.Pid || held.By.Since.IsZero() {
		t.Errorf("it is held by %+v, should be process %d", held.By, cmd.Process.Pid)
	}
	if text := err.Error(); strings.Contains(text, "\n") || !strings.Contains(text, path) {
		t.Errorf("not one line that names the file: %q", text)
	}
	// Reading goes, and so do the short commands, whose work the window is told.
	must(t, reopen(t, path, ReadOnly).Close())
	short := reopen(t, path, ReadWrite)
	_, err = short.Log(reading("G1:+", "E1:+"))
	must(t, errors.Join(err, short.Close()))

	must(t, in.Close())
	must(t, cmd.Wait())
	if entries, _ := os.ReadDir(filepath.Dir(path)); len(entries) != 1 {
		t.Errorf("it left %v", entries)
	}
	f, err = openWithHold(path)
	must(t, err)
	must(t, f.Close())
}

// However a window ends, the next one gets the file.
func TestHoldOfAKilledWindow(t *testing.T) {
	path, _ := project(t)
	for range 3 {
		cmd, out, _ := start(t, ownProgram(t), "window", path)
		says(t, out, "open")
		must(t, cmd.Process.Kill())
		_ = cmd.Wait()
		if _, err := os.Stat(path + holdSuffix); err != nil {
			t.Fatalf("a killed window took its mark away: %v", err)
		}
	}
	f, err := openWithHold(path)
	must(t, err)
	if other, err := openWithHold(path); !errors.Is(err, ErrHeld) {
		t.Fatalf("two windows in one process: %v, %v", other, err)
	}
	if err := f.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}); err != nil {
		t.Error(err)
	}
	must(t, f.Close())
	if entries, _ := os.ReadDir(filepath.Dir(path)); len(entries) != 1 {
		t.Errorf("it left %v", entries)
	}
}

// A file that cannot be opened is not held.
func TestNoHoldOnAFileThatDoesNotOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.bellout")
	must(t, os.WriteFile(path, []byte("wire,from,to\n"), 0o644))
	if _, err := openWithHold(path); !errors.Is(err, ErrNotProject) {
		t.Errorf("got %v", err)
	}
	good, whole := project(t)
	must(t, os.WriteFile(good, whole[:4096], 0o644))
	if _, err := openWithHold(good); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
	for _, path := range []string{path, good} {
		if _, err := os.Stat(path + holdSuffix); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("a mark is left: %v", err)
		}
	}
}

// One project under two names is one project.
func TestHoldThroughALink(t *testing.T) {
	path, _ := project(t)
	link := filepath.Join(t.TempDir(), "other.bellout")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	f, err := openWithHold(link)
	must(t, err)
	if _, err := openWithHold(path); !errors.Is(err, ErrHeld) {
		t.Errorf("got %v", err)
	}
	must(t, f.Close())
}

// Windows that all start at once: at every moment at most one has the file.
func TestWindowsThatStartAtOnce(t *testing.T) {
	path, _ := project(t)
	got := make(chan bool)
	const windows, rounds = 4, 25
	var inside = make(chan struct{}, 1)
	for range windows {
		go func() {
			had := 0
			for range rounds {
				h, err := takeHold(path, noon)
				if err != nil {
					if !errors.Is(err, ErrHeld) {
						t.Error(err)
					}
					continue
				}
				select {
				case inside <- struct{}{}:
				default:
					t.Error("two windows have the file")
				}
				had++
				<-inside
				if err := h.letGo(); err != nil {
					t.Error(err)
				}
			}
			got <- had > 0
		}()
	}
	any := false
	for range windows {
		any = <-got || any
	}
	if !any {
		t.Error("no window ever got the file")
	}
}

// The holder lets go between our opening its mark and locking it, and perhaps a
// third takes the file: the lock that we then get is on a mark that is gone, and
// keeps nobody out.
func TestHoldOfAMarkThatIsTakenAway(t *testing.T) {
	for _, taken := range []bool{false, true} {
		path, _ := project(t)
		first, err := takeHold(path, noon)
		must(t, err)
		var third *hold
		beforeLock = func() {
			beforeLock = nil
			must(t, first.letGo())
			if taken {
				third, err = takeHold(path, noon)
				must(t, err)
			}
		}
		second, err := takeHold(path, noon)
		beforeLock = nil
		if taken {
			if !errors.Is(err, ErrHeld) {
				t.Fatalf("two windows have the file: %v", err)
			}
			must(t, third.letGo())
			continue
		}
		must(t, err)
		if other, err := takeHold(path, noon); !errors.Is(err, ErrHeld) {
			t.Errorf("two windows have the file: %v, %v", other, err)
		}
		must(t, second.letGo())
	}
}

// What lies under the name of the mark and is none stays as it is: a link that
// leads into somebody's file, or a file of that name.
func TestHoldWhereTheMarkIsSomebodysFile(t *testing.T) {
	foreign := filepath.Join(t.TempDir(), "letter.txt")
	must(t, os.WriteFile(foreign, []byte("dear"), 0o644))
	for name, put := range map[string]func(mark string) error{
		"a link":            func(mark string) error { return os.Symlink(foreign, mark) },
		"a link to nothing": func(mark string) error { return os.Symlink(foreign+"2", mark) },
		"a file":            func(mark string) error { return os.WriteFile(mark, []byte("dear"), 0o644) },
		"a folder":          func(mark string) error { return os.Mkdir(mark, 0o755) },
	} {
		t.Run(name, func(t *testing.T) {
			path, _ := project(t)
			must(t, put(path+holdSuffix))
			before := folder(t, filepath.Dir(path))
			_, err := openWithHold(path)
			if !errors.Is(err, ErrExists) || !strings.Contains(err.Error(), path+holdSuffix) || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v", err)
			}
			if after := folder(t, filepath.Dir(path)); after != before {
				t.Errorf("the folder changed from\n%s\nto\n%s", before, after)
			}
			if text, err := os.ReadFile(foreign); err != nil || string(text) != "dear" {
				t.Errorf("the foreign file holds %q, %v", text, err)
			}
			if _, err := os.Stat(foreign + "2"); err == nil {
				t.Error("a file was made at the end of the link")
			}
		})
	}
}
