package sheets

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// command makes a print command that does as the script says, the only one there.
func command(t *testing.T, name, script string) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("PATH", dir)
	if name == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+script+"\n"), 0o700); err != nil { // #nosec: it has to run
		t.Fatal(err)
	}
}

func TestPrintingSaysInOneLineWhatIsWrong(t *testing.T) {
	command(t, "", "")
	if _, err := printer(); !errors.Is(err, errNoPrinter) {
		t.Errorf("no print command: %v", err)
	}
	for _, c := range []struct{ script, want string }{
		{"echo 'lp: Error - No default destination available.' >&2; exit 1", "not printed, lp says: lp: Error - No default destination available; write a PDF, and print that"},
		{"exit 3", "not printed, lp says: exit status 3; write a PDF, and print that"},
		{"echo one; echo two; exit 1", "says: one two;"},
	} {
		command(t, "lp", c.script)
		found, err := printer()
		if err != nil {
			t.Fatal(err)
		}
		if err := handOver(t.Context(), found, "x.pdf"); err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", c.script, err)
		}
	}
	command(t, "lpr", `[ "$1" = x.pdf ]`)
	found, err := printer()
	if err != nil {
		t.Fatal(err)
	}
	if err := handOver(t.Context(), found, "x.pdf"); err != nil {
		t.Errorf("lpr: %v", err)
	}
	command(t, "lp", `[ "$1 $2" = "-c x.pdf" ] || exit 1`)
	if found, err = printer(); err != nil || handOver(t.Context(), found, "x.pdf") != nil {
		t.Errorf("lp: %v", err)
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if err := handOver(stopped, found, "x.pdf"); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
