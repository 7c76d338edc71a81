package store

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"bellout/model"
)

// After each acknowledged change the file alone holds it: a copy of that one
// file, taken while it is open, is the whole machine, and nothing lies beside it.
func TestACopyOfTheFileAloneIsTheWhole(t *testing.T) {
	f, path := create(t)
	dir := t.TempDir()
	for i, step := range allSteps() {
		must(t, step.do(f))
		if left := companions(path); left != nil {
			t.Fatalf("after %s: beside the file lie %v", step.name, left)
		}
		copied := filepath.Join(dir, fmt.Sprintf("copy%d.bellout", i))
		must(t, copyFile(path, copied))
		read := reopen(t, copied, ReadOnly)
		same(t, read.Machine(), f.Machine(), "the copy after "+step.name)
		must(t, read.Close())
	}
}

// A copy that is taken in the very moment of a write may hold some pages from
// before and some from after. It is refused, or it lacks nothing that had been
// acknowledged before the copy began: nothing is lost in silence.
func TestACopyTakenInTheMiddleOfAWrite(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	dir := t.TempDir()
	copied := filepath.Join(dir, "copy.bellout")
	refused, whole := 0, 0
	steps := 60
	if testing.Short() {
		steps = 40
	}
	for i := range steps {
		before, err := os.ReadFile(path)
		must(t, err)
		acknowledged := f.Machine().Clone()
		switch {
		case i%40 == 39:
			must(t, f.Do(renamed(large(6, 6, 30), i)))
		case i%7 == 6:
			name := fmt.Sprintf("C%d", i)
			must(t, f.Do(model.Edit{What: name, Changes: added(wire(name, "G1:+", "E1:+"))}))
		default:
			note := reading("G1:+", "E1:+")
			note.Note = fmt.Sprintf("%0*d", i*37%3000, i)
			_, err := f.Log(note)
			must(t, err)
		}
		after, err := os.ReadFile(path)
		must(t, err)
		for _, torn := range tears(before, after) {
			must(t, os.WriteFile(copied, torn, 0o644))
			read, err := Open(copied, ReadOnly)
			if err != nil {
				if !errors.Is(err, ErrDamaged) {
					t.Fatalf("step %d: %v", i, err)
				}
				refused++
				continue
			}
			whole++
			for _, row := range acknowledged.Rows() {
				if now := read.Machine().Row(row.Table(), row.ID()); now == nil {
					t.Fatalf("step %d: a copy opens without %s %s", i, row.Table(), row.ID())
				}
			}
			must(t, read.Close())
		}
	}
	if refused == 0 || whole == 0 {
		t.Errorf("%d copies were refused and %d opened: nothing was tested", refused, whole)
	}
	t.Logf("%d copies were refused, %d opened whole", refused, whole)
}

// tears returns mixtures of two states of a file: the pages up to some page from
// one and those behind it from the other, either way round.
func tears(before, after []byte) (list [][]byte) {
	const page = 4096
	var changed []int
	for at := 0; at < len(after); at += page {
		if at+page > len(before) || !bytes.Equal(before[at:at+page], after[at:at+page]) {
			changed = append(changed, at)
		}
	}
	for _, cut := range changed[1:] {
		list = append(list, append(bytes.Clone(after[:cut]), before[min(cut, len(before)):]...))
		if cut <= len(before) {
			list = append(list, append(bytes.Clone(before[:cut]), after[cut:]...))
		}
	}
	return list
}

// renamed gives the devices of an edit names of their own.
func renamed(edit model.Edit, number int) model.Edit {
	for i, change := range edit.Changes {
		edit.Changes[i].After = renamedRow(change.After, fmt.Sprintf("X%d", number))
	}
	return edit
}

func renamedRow(row model.Row, prefix string) model.Row {
	end := func(ref model.TerminalRef) model.TerminalRef { ref.Device = prefix + ref.Device; return ref }
	switch row := row.(type) {
	case model.Device:
		row.Ref = prefix + row.Ref
		return row
	case model.Terminal:
		row.Device = prefix + row.Device
		return row
	case model.Link:
		row.Device = prefix + row.Device
		return row
	case model.Wire:
		row.Name, row.From, row.To = prefix+row.Name, end(row.From), end(row.To)
		return row
	case model.Bond:
		row.From, row.To = end(row.From), end(row.To)
		return row
	case model.Reading:
		row.Red, row.Black = end(row.Red), end(row.Black)
		return row
	}
	return row
}
