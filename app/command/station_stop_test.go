package command

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model/store"
)

// What was answered is stored and acknowledged, also where the sitting is
// stopped before it is worked out what it means.
func TestAnAnswerIsStoredThoughTheSittingIsStopped(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if _, errs, code := call(t, Console{}, "demo", path); code != ExitDone {
		t.Fatal(errs)
	}
	ctx, stop := context.WithCancel(t.Context())
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(clockAtNoon))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var out bytes.Buffer
	s := newStationOver(file, faults.Diagnose(file.Snapshot()), nextprobe.Options{Goal: nextprobe.Verify}, &Console{Out: &out, Now: clockAtNoon})
	proposal, err := s.next(ctx)
	if err != nil || proposal.Probe == nil {
		t.Fatalf("%+v, %v", proposal, err)
	}
	before := len(file.Machine().Readings)
	stop()
	if _, err := s.answer(ctx, `{"value":"beep"}`, proposal); !errors.Is(err, errStop) {
		t.Errorf("the answer ended with %v", err)
	}
	if got := len(file.Machine().Readings); got != before+1 {
		t.Errorf("%d readings in the file, %d before", got, before)
	}
	if err := s.end(ctx, true); err != nil {
		t.Error(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 2 || !strings.Contains(lines[0], `"outcome":"undecided"`) || !strings.HasPrefix(lines[1], `{"done":true,"stopped":true,`) || !strings.Contains(lines[1], `"probes":1`) {
		t.Errorf("it said %q", lines)
	}
}
