//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"bellout/model"
	"bellout/model/sample"
	"bellout/model/store"
	"bellout/model/tables"
)

// manyFaults is a large machine of which every tenth reading is wrong and every
// seventh load has failed: work for minutes.
func manyFaults(terminals int) *model.Machine {
	m := sample.Machine(1, terminals)
	count := 0
	for i := range m.Readings {
		if m.Readings[i].Mode == model.ModeOhms {
			if count++; count%10 == 0 {
				m.Readings[i].Value = model.Value{Kind: model.ShowsOL}
			}
		}
	}
	for i := range m.Devices {
		if m.Devices[i].LoadAmps.Known {
			if count++; count%7 == 0 {
				m.Devices[i].Health = model.HealthFailed
			}
		}
	}
	return m
}

// The first signal ends every command within two seconds, in the middle of work
// that goes on for ten times that, and it says that it did nothing.
func TestTheFirstSignalEndsEveryCommand(t *testing.T) {
	if testing.Short() {
		t.Skip("it makes a large machine")
	}
	dir := t.TempDir()
	file, csv := filepath.Join(dir, "large.bellout"), filepath.Join(dir, "csv")
	machine := manyFaults(60_000)
	if err := tables.WriteFolder(context.Background(), machine, csv, false); err != nil {
		t.Fatal(err)
	}
	err := store.Make(file, func(f *store.File) error {
		edit := model.Edit{What: "a generated machine"}
		for _, row := range machine.Rows() {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
		return f.Do(edit)
	})
	if err != nil {
		t.Fatal(err)
	}
	failed := machine.Devices[slices.IndexFunc(machine.Devices, func(d model.Device) bool { return d.Health == model.HealthFailed })].Ref
	wire := machine.Wires[0]
	caught := 0
	for _, words := range [][]string{
		{"check", file},
		{"nets", file},
		{"suspects", file},
		{"next", file},
		{"station", file},
		{"log", file, wire.From.String(), wire.To.String(), "beep"},
		{"replace", file, failed},
		{"compare", file, file},
		{"whatif", file, wire.Name},
		{"import", filepath.Join(dir, "new.bellout"), csv},
		{"import", file, csv},
		{"export", file, "--as", "chart", "-o", filepath.Join(dir, "chart.pdf")},
		{"export", file, "--as", "book", "-o", filepath.Join(dir, "book.pdf")},
		{"export", file, "--as", "workbook", "-o", filepath.Join(dir, "book.xlsx")},
		{"export", file, "--as", "csv", "-o", filepath.Join(dir, "out")},
		{file, "--picture", filepath.Join(dir, "picture.png")},
	} {
		before := names(t, dir)
		program := on(t, nil, words...)
		var complaint bytes.Buffer
		program.Stderr = &complaint
		if _, err := program.StdinPipe(); err != nil { // of a station that waits
			t.Fatal(err)
		}
		if err := program.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(400 * time.Millisecond)
		began := time.Now()
		if err := program.Process.Signal(syscall.SIGTERM); err != nil {
			t.Logf("%s: ended before the signal", words[0])
			_ = program.Wait()
			continue
		}
		err := program.Wait()
		if took := time.Since(began); took > 2*time.Second {
			t.Errorf("%s: it went on for %v", words, took)
		}
		var ended *exec.ExitError
		if !errors.As(err, &ended) { // it was done before it saw the signal
			t.Logf("%s: ended with %v", words[0], err)
			for _, name := range names(t, dir) {
				if !slices.Contains(before, name) {
					if err := os.RemoveAll(filepath.Join(dir, name)); err != nil {
						t.Fatal(err)
					}
				}
			}
			continue
		}
		caught++
		// a test's build of the toolkit may have complained of its own threads before
		if !strings.HasSuffix("\n"+complaint.String(), "\nbellout: stopped; nothing was changed\n") {
			t.Errorf("%s: it said %q", words, complaint.String())
		}
		if after := names(t, dir); !slices.Equal(after, before) {
			t.Errorf("%s: it left %q in the folder, which held %q", words, after, before)
		}
	}
	if caught < 10 {
		t.Errorf("only %d commands were still at work: the machine is too small to tell", caught)
	}
}

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	list := make([]string, 0, len(entries))
	for _, entry := range entries {
		list = append(list, entry.Name())
	}
	return list
}
