package store

import (
	"bytes"
	"compress/gzip"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

var writeGolden = flag.Bool("write-golden", false, "write the file of the newest version in testdata anew")

// goldenSteps says what was done to the file of each version.
var goldenSteps = map[int]func() []step{1: steps, 2: windowStepsToo, 3: windowStepsToo, 4: windowStepsToo, 5: stepsOfVersion5, 6: stepsOfVersion6, 7: stepsOfVersion7, 8: allSteps}

// windowStepsToo are the steps of files from before there was a history.
func windowStepsToo() []step { return append(steps(), windowSteps()...) }

func goldenPath(version int) string {
	return filepath.Join("testdata", fmt.Sprintf("v%d.bellout.gz", version))
}

// A file as any version wrote it opens for ever. Small, and kept compressed.
func TestGoldenFiles(t *testing.T) {
	if *writeGolden {
		writeGoldenFile(t)
	}
	for version := 1; version <= len(migrations); version++ {
		t.Run(fmt.Sprintf("version %d", version), func(t *testing.T) { readGoldenFile(t, version) })
	}
}

func writeGoldenFile(t *testing.T) {
	f, path := create(t)
	for _, step := range goldenSteps[len(migrations)]() {
		must(t, step.do(f))
	}
	must(t, keepGoldenBench(f))
	must(t, f.Close())
	content, err := os.ReadFile(path)
	must(t, err)
	var packed bytes.Buffer
	w, _ := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	_, err = w.Write(content)
	must(t, errors.Join(err, w.Close(), os.MkdirAll("testdata", 0o755), os.WriteFile(goldenPath(len(migrations)), packed.Bytes(), 0o644)))
}

// goldenBench is what the golden files keep for the bench, from the version on that
// has room for it.
var goldenBench = BenchThings{BenchHeld: {"unplugged J4", "lifted W12"}, BenchLive: {"volts-dc 12 0 G1:+ G1:-"}, BenchAside: {"open W1"}}

func keepGoldenBench(f *File) error {
	for _, kind := range benchKinds {
		if err := f.KeepBench(kind, goldenBench[kind]); err != nil {
			return err
		}
	}
	return nil
}

func readGoldenFile(t *testing.T, version int) {
	packed, err := os.Open(goldenPath(version))
	must(t, err)
	defer packed.Close() //nolint:errcheck // read only
	r, err := gzip.NewReader(packed)
	must(t, err)
	content, err := io.ReadAll(r)
	must(t, err)
	path := filepath.Join(t.TempDir(), "old.bellout")
	must(t, os.WriteFile(path, content, 0o644))
	if seen, err := lookAt(path); err != nil || seen.version != version {
		t.Fatalf("it is of version %d, %v", seen.version, err)
	}
	f := reopen(t, path, ReadWrite)
	check(t, f)
	bench := BenchThings{}
	if version >= 4 {
		bench = goldenBench
	}
	if got, err := f.Bench(); err != nil || !reflect.DeepEqual(got, bench) {
		t.Errorf("for the bench it keeps %v, %v, want %v", got, err, bench)
	}

	fresh, _ := create(t)
	for _, step := range goldenSteps[version]() {
		must(t, step.do(fresh))
	}
	same(t, f.Machine(), fresh.Machine(), "the old file and the same edits today")
	moves, err := lastMove(f.c)
	must(t, err)
	for move := moves; move >= 0; move-- {
		m, err := f.machineAfter(move)
		if err != nil {
			t.Fatalf("after move %d: %v", move, err)
		}
		if move == 0 && len(m.Rows()) > 0 {
			t.Errorf("before the first move there are %v", m.Rows())
		}
	}
	for {
		_, err := f.Undo()
		_, freshErr := fresh.Undo()
		if errors.Is(err, ErrNothingToUndo) && errors.Is(freshErr, ErrNothingToUndo) {
			break
		}
		must(t, errors.Join(err, freshErr))
		same(t, f.Machine(), fresh.Machine(), "on the way back")
	}
	if at := f.Machine(); len(at.Devices) != 0 {
		t.Errorf("the way back ends at %d devices", len(at.Devices))
	}
}
