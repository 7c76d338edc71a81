package store

import (
	"errors"
	"path/filepath"
	"testing"

	"bellout/model"
	"bellout/model/sample"
)

func TestOpenTellsHowFarItIsAndEndsWhereItIsTold(t *testing.T) {
	f, path := create(t)
	machine := sample.Machine(1, 20000)
	edit := model.Edit{What: "a generated machine"}
	for _, row := range machine.Rows() {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	must(t, f.Do(edit))
	must(t, f.Close())

	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		last, calls := -1, 0
		f, err := Open(path, mode, WithProgress(func(done, of int) error {
			calls++
			if done < last || done > of {
				t.Errorf("mode %d: %d after %d, of %d", mode, done, last, of)
			}
			last = done
			return nil
		}))
		must(t, err)
		if calls < 5 {
			t.Errorf("mode %d: it told %d times how far it is", mode, calls)
		}
		must(t, f.Close())

		enough := errors.New("enough")
		before := folder(t, filepath.Dir(path))
		_, err = Open(path, mode, WithHold(), WithProgress(func(done, _ int) error {
			if done > 5000 {
				return enough
			}
			return nil
		}))
		if !errors.Is(err, enough) {
			t.Errorf("mode %d: it ended with %v", mode, err)
		}
		if after := folder(t, filepath.Dir(path)); after != before {
			t.Errorf("mode %d: the folder changed from\n%s\nto\n%s", mode, before, after)
		}
	}
}
