package command

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print now into the scripts and the README")

// noon is the clock of every test.
var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func clockAtNoon() time.Time { return noon }

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"bellout": func() {
			os.Exit(Run(context.Background(), os.Args[1:], Console{
				Out: os.Stdout, Err: os.Stderr, Now: clockAtNoon,
			}))
		},
	})
}

// The scripts in testdata/script are calls with what they must print. Besides
// testscript's own words they know:
//
//	exits N COMMAND...   runs the command, which must end with exit code N
//	bad COMMAND...       runs the command, which must end with exit code 2, print
//	                     one line on standard error and nothing else, and leave
//	                     every project file as it was
//
// Each starts with the folders of testdata beside it: lamp, the CSV of a small
// sound machine.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("testdata", "script"),
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			return os.CopyFS(filepath.Join(env.WorkDir, "lamp"), os.DirFS(filepath.Join("testdata", "lamp")))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": scriptExits, "bad": scriptBad},
	})
}

func scriptExits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits N COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if code := exitCode(ts, args[1:]); code != want {
		ts.Fatalf("exit code %d, want %d", code, want)
	}
}

func exitCode(ts *testscript.TestScript, args []string) int {
	err := ts.Exec(args[0], args[1:]...)
	if exit, failed := errors.AsType[*exec.ExitError](err); failed {
		return exit.ExitCode()
	}
	ts.Check(err)
	return 0
}

func scriptBad(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: bad COMMAND...")
	}
	before := projectSums(ts)
	if code := exitCode(ts, args); code != ExitBad {
		ts.Fatalf("exit code %d, want %d", code, ExitBad)
	}
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("bad input, and yet it printed %q", out)
	}
	line := ts.ReadFile("stderr")
	if strings.Count(line, "\n") != 1 || !strings.HasPrefix(line, "bellout: ") || !strings.HasSuffix(line, "\n") {
		ts.Fatalf("standard error is not one line of bellout's: %q", line)
	}
	if after := projectSums(ts); after != before {
		ts.Fatalf("project files changed:\nbefore: %s\nafter:  %s", before, after)
	}
}

// projectSums is a fingerprint of every project file of a script.
func projectSums(ts *testscript.TestScript) string {
	paths, err := filepath.Glob(ts.MkAbs("*.bellout*"))
	ts.Check(err)
	var sums bytes.Buffer
	for _, path := range paths {
		content, err := os.ReadFile(path)
		ts.Check(err)
		fmt.Fprintf(&sums, "%s %x; ", filepath.Base(path), sha256.Sum256(content))
	}
	return sums.String()
}
