package store

import (
	"testing"

	"bellout/model"
)

func TestEveryTableComesBackWhole(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	want := f.Machine().Clone()
	if len(want.Readings) != 3 || want.Readings[0].Stored != rankOf(1) || want.Readings[2].Number != 3 {
		t.Fatalf("readings were not numbered: %+v", want.Readings)
	}
	check(t, f)
	must(t, f.Close())
	if left := companions(path); left != nil {
		t.Errorf("closing left %v", left)
	}
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		again := reopen(t, path, mode)
		same(t, again.Machine(), want, "after reopening")
		must(t, again.Close())
	}
}

func TestAnEmptyMachineIsAFileToo(t *testing.T) {
	f, path := create(t)
	must(t, f.Close())
	same(t, reopen(t, path, ReadOnly).Machine(), model.NewMachine(), "an empty project")
}
