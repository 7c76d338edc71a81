package store

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

func TestNamedStates(t *testing.T) {
	f, path := create(t)
	if list, err := f.States(); err != nil || list == nil || len(list) != 0 {
		t.Errorf("of a new file: %v, %v", list, err)
	}
	must(t, f.NameState("nothing yet"))
	must(t, f.Do(small()))
	must(t, f.NameState("as found"))
	found := f.Machine().Clone()
	must(t, f.Do(f.Machine().DeleteDevices("S1")))
	_, err := f.Log(reading("G1:+", "E1:+"))
	must(t, err)
	must(t, f.NameState("as repaired"))
	repaired := f.Machine().Clone()
	for range 3 {
		_, err := f.Undo()
		must(t, err)
	}
	must(t, f.Do(model.Edit{What: "another way", Changes: added(device("H1", "1")...)}))

	for _, name := range []string{"as found", "nothing yet", "As Found", "as  found", "AS REPAIRED", "", " as new", "two\nlines", strings.Repeat("x", 501)} {
		if err := f.NameState(name); err == nil {
			t.Errorf("the name %.20q was taken", name)
		}
	}
	if err := f.RenameState("as lost", "as found again"); !errors.Is(err, ErrState) || !strings.Contains(err.Error(), "as found") {
		t.Errorf("renaming a state that is not there: %v", err)
	}
	if err := f.RenameState("as repaired", "as found"); !errors.Is(err, ErrState) {
		t.Errorf("renaming to a name that is taken: %v", err)
	}
	must(t, f.RenameState("as repaired", "As repaired"))
	must(t, f.RenameState("As repaired", "as repaired in May"))
	must(t, f.Close())

	f = reopen(t, path, ReadOnly)
	list, err := f.States()
	if err != nil || len(list) != 3 || list[1].Name != "as found" || !list[1].At.Equal(noon) || list[2].Name != "as repaired in May" {
		t.Errorf("the states are %+v, %v", list, err)
	}
	for name, want := range map[string]*model.Machine{"nothing yet": model.NewMachine(), "as found": found, "as repaired in May": repaired} {
		got, err := f.MachineAt(name)
		must(t, err)
		same(t, got, want, name)
	}
	if m, err := f.MachineAt("as repaired"); !errors.Is(err, ErrState) {
		t.Errorf("got %v, %v", m, err)
	}
	if err := f.NameState("x"); !errors.Is(err, ErrReadOnly) {
		t.Errorf("naming in a file opened for reading: %v", err)
	}
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	must(t, f.ForgetState("as found"))
	if err := f.ForgetState("as found"); !errors.Is(err, ErrState) {
		t.Errorf("forgetting twice: %v", err)
	}
	must(t, f.NameState("as found"))
	got, err := f.MachineAt("as found")
	must(t, err)
	same(t, got, f.Machine(), "named again")
	check(t, f)
}

// The machine at a state is the file's, even where another program wrote since
// we looked; what we hold in memory stays for ErrChanged to tell of.
func TestAStateWhileAnotherProgramWrites(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.NameState("as found"))
	want := f.Machine().Clone()
	other := reopen(t, path, ReadWrite)
	must(t, other.Do(other.Machine().DeleteDevices("S1")))
	held := f.Machine()
	got, err := f.MachineAt("as found")
	must(t, err)
	same(t, got, want, "as found")
	if f.Machine() != held {
		t.Error("looking back changed what is in memory")
	}
	if err := f.NameState("later"); !errors.Is(err, ErrChanged) {
		t.Errorf("naming a machine that nobody has seen: %v", err)
	}
	must(t, f.NameState("later"))
	got, err = f.MachineAt("later")
	must(t, err)
	same(t, got, other.Machine(), "later")
}

// The history as far as a state goes by the order of the edits: a laptop's clock that
// was set back in between changes nothing.
func TestJournalUntilWhateverTheClock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock.bellout")
	now := noon
	f, err := Create(path, WithClock(func() time.Time { return now }))
	must(t, err)
	defer func() { must(t, f.Close()) }()
	edit := func(ref string, by time.Duration) {
		now = noon.Add(by)
		must(t, f.Do(model.Edit{What: "added " + ref, Changes: added(device(ref, "1")...)}))
	}
	whats := func(list []JournalRow, err error) string {
		must(t, err)
		var texts []string
		for _, row := range list {
			texts = append(texts, row.What)
		}
		return strings.Join(texts, ", ")
	}
	edit("H1", 3*time.Hour)
	edit("H2", 2*time.Hour)
	must(t, f.NameState("as found"))
	edited := func() bool {
		list, err := f.States()
		must(t, err)
		return list[len(list)-1].Edited
	}
	if edited() {
		t.Error("nothing was edited since")
	}
	edit("H3", time.Hour)
	if got := whats(f.JournalUntil("as found")); got != "added H2, added H1" {
		t.Errorf("as found: %s", got)
	}
	if !edited() {
		t.Error("H3 came since")
	}
	if got := whats(f.Journal(0)); got != "added H3, added H2, added H1" {
		t.Errorf("all: %s", got)
	}
	if _, err := f.JournalUntil("never"); !errors.Is(err, ErrState) {
		t.Errorf("no such state: %v", err)
	}
}
