package command

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bellout/model/tables"
)

// call runs bellout and returns what it printed and its exit code.
func call(t *testing.T, console Console, args ...string) (out, errs string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if console.Out == nil {
		console.Out = &stdout
	}
	console.Err = &stderr
	if console.Now == nil {
		console.Now = clockAtNoon
	}
	code = Run(context.Background(), args, console)
	return stdout.String(), stderr.String(), code
}

func lampFile(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lamp.bellout")
	if _, errs, code := call(t, Console{}, "import", path, filepath.Join("testdata", "lamp")); code != ExitDone {
		t.Fatalf("import ended with %d: %s", code, errs)
	}
	return path
}

func TestColourOnlyWhereAskedAndNeverAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if _, errs, code := call(t, Console{}, "demo", path); code != ExitDone {
		t.Fatalf("demo ended with %d: %s", code, errs)
	}
	plain, _, _ := call(t, Console{}, "check", path)
	painted, _, _ := call(t, Console{Colour: true}, "check", path)
	if strings.Contains(plain, "\x1b") {
		t.Error("paint where no terminal is")
	}
	if !strings.Contains(painted, "\x1b[") {
		t.Error("no paint on a terminal")
	}
	bare := painted
	for _, code := range []string{"\x1b[0m", "\x1b[1m", "\x1b[1;31m", "\x1b[33m", "\x1b[32m"} {
		bare = strings.ReplaceAll(bare, code, "")
	}
	if bare != plain {
		t.Error("the words differ with and without paint")
	}
	asJSON, _, _ := call(t, Console{Colour: true}, "check", path, "--json")
	if strings.Contains(asJSON, `\u001b`) || strings.Contains(asJSON, "\x1b") {
		t.Error("paint in JSON")
	}
}

func TestCheckFitsItsWidth(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if _, errs, code := call(t, Console{}, "demo", path); code != ExitDone {
		t.Fatalf("demo ended with %d: %s", code, errs)
	}
	for _, width := range []int{0, 60, 80, 100} {
		most := width
		if width == 0 {
			most = 80
		}
		for _, args := range [][]string{{"check", path}, {"nets", path}} {
			out, _, _ := call(t, Console{Width: width}, args...)
			for _, line := range strings.Split(out, "\n") {
				if n := len([]rune(line)); n > most {
					t.Errorf("%s at width %d: %d characters in %q", args[0], width, n, line)
				}
			}
		}
	}
}

type brokenPaper struct{}

func (brokenPaper) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestAnAnswerThatCannotBeWrittenIsNoSuccess(t *testing.T) {
	path := lampFile(t)
	for _, args := range [][]string{{"check", path}, {"check", path, "--json"}, {"nets", path}, {"trace", path, "E1"}, {"whatif", path, "W4"}, {"expect", path, "G1:+", "E1:+"}} {
		_, errs, code := call(t, Console{Out: brokenPaper{}}, args...)
		if code != ExitBad || strings.Count(errs, "\n") != 1 || !strings.Contains(errs, "no space left") {
			t.Errorf("%s: exit code %d, standard error %q", args[0], code, errs)
		}
	}
}

func TestProgressIsShownToWhoWaits(t *testing.T) {
	clock := noon
	show := func(terminal bool, after time.Duration) string {
		var errs bytes.Buffer
		console := &Console{Err: &errs, Progress: terminal, Now: func() time.Time { return clock }}
		clock = noon
		p := console.progress()
		clock = noon.Add(after)
		p.reading(tables.Progress{File: "wires.csv", Bytes: 50, Total: 200, Rows: 1000})
		p.end()
		return errs.String()
	}
	if got := show(true, time.Second); !strings.Contains(got, " 25 %  wires.csv, 1000 rows") || !strings.HasSuffix(got, "\r\x1b[K") {
		t.Errorf("after a second it says %q", got)
	}
	if got := show(true, 100*time.Millisecond); got != "" {
		t.Errorf("at once it says %q", got)
	}
	if got := show(false, time.Hour); got != "" {
		t.Errorf("with nobody in front it says %q", got)
	}
}

func TestStoppedImportLeavesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lamp.bellout")
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var stdout, stderr bytes.Buffer
	code := Run(ctx, []string{"import", path, filepath.Join("testdata", "lamp")}, Console{Out: &stdout, Err: &stderr, Now: time.Now})
	if code != ExitBad || stdout.Len() > 0 || stderr.String() != "bellout: stopped; nothing was changed\n" {
		t.Errorf("exit code %d, printed %q, standard error %q", code, stdout.String(), stderr.String())
	}
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
}

// A merge that is stopped leaves both files as they were, and the next one goes
// through.
func TestStoppedMergeLeavesBothFiles(t *testing.T) {
	dir := t.TempDir()
	mine, theirs := filepath.Join(dir, "lamp.bellout"), filepath.Join(dir, "lamp-anna.bellout")
	run := func(ctx context.Context, args ...string) (code int, said, bad string) {
		var stdout, stderr bytes.Buffer
		code = Run(ctx, args, Console{Out: &stdout, Err: &stderr, Now: time.Now})
		return code, stdout.String(), stderr.String()
	}
	if code, _, bad := run(t.Context(), "import", mine, filepath.Join("testdata", "lamp")); code != ExitDone {
		t.Fatal(bad)
	}
	copied, err := os.ReadFile(mine)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(theirs, copied, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, bad := run(t.Context(), "log", theirs, "G1:+", "E1:+", "beep"); code != ExitDone {
		t.Fatal(bad)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if code, said, bad := run(ctx, "merge", mine, theirs); code != ExitBad || said != "" || bad != "bellout: stopped; nothing was changed\n" {
		t.Errorf("exit code %d, printed %q, standard error %q", code, said, bad)
	}
	if code, said, bad := run(t.Context(), "merge", mine, theirs); code != ExitDone || !strings.Contains(said, "1 row, among them 1 reading") {
		t.Errorf("exit code %d, printed %q, standard error %q", code, said, bad)
	}
}
