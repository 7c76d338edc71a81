package store

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"bellout/model"
	"bellout/model/sample"
)

// A signal ends what is long, and leaves the file as it was; what is short is
// done to its end.
func TestLongWorkEndsWithItsContext(t *testing.T) {
	f, path := create(t)
	machine := sample.Machine(1, 20000)
	edit := model.Edit{What: "a generated machine"}
	for _, row := range machine.Rows() {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	must(t, f.Close())
	ctx, stop := context.WithCancel(t.Context())
	stop()

	f, err := Open(path, ReadWrite, WithContext(ctx))
	must(t, err) // a small file is open before anybody asks
	if err := f.Do(edit); !errors.Is(err, context.Canceled) {
		t.Errorf("a long edit: %v", err)
	}
	if len(f.Machine().Devices) > 0 {
		t.Error("the machine in memory holds some of the edit")
	}
	must(t, f.Do(small()))
	if _, err := f.Log(reading("G1:+", "E1:+")); err != nil {
		t.Errorf("a reading: %v", err)
	}
	check(t, f)
	for range 2 { // the small edit and the reading
		_, err = f.Undo()
		must(t, err)
	}
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	must(t, f.Do(edit))
	must(t, f.Close())

	before := folder(t, filepath.Dir(path))
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		if _, err := Open(path, mode, WithContext(ctx)); !errors.Is(err, context.Canceled) {
			t.Errorf("mode %d: opening a large file: %v", mode, err)
		}
		if after := folder(t, filepath.Dir(path)); after != before {
			t.Errorf("mode %d: the folder changed from\n%s\nto\n%s", mode, before, after)
		}
	}
}
