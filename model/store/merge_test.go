package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/mattn/go-sqlite3"
	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/merge"
	"bellout/model/sample"
)

// copyOf makes a copy of a project, as somebody does who takes it to another
// laptop, and opens it.
func copyOf(t testing.TB, f *File) *File {
	t.Helper()
	path := filepath.Join(t.TempDir(), "other.bellout")
	must(t, f.Backup(context.Background(), path, nil))
	return reopen(t, path, ReadWrite)
}

func takeIn(f, other *File, choose func(merge.Conflict) merge.Choice) (*merge.Result, error) {
	parting, err := f.Base(other)
	if err != nil {
		return nil, err
	}
	result, err := planned(parting.Base, f.Machine(), other.Machine()).Decide(choose)
	if err != nil {
		return nil, err
	}
	return result, f.Merge(other, parting, result)
}

// told prints what a machine says, whatever numbers its readings have.
func told(m *model.Machine) string {
	var lines []string
	for _, row := range withoutUndone(m).Sorted().Rows() {
		if r, is := row.(model.Reading); is {
			r.At, r.Number, r.Stored = r.At.UTC(), 0, 0
			row = r
		}
		if d, is := row.(model.Device); is {
			d.FailedAt = d.FailedAt.UTC()
			row = d
		}
		lines = append(lines, fmt.Sprintf("%T %+v", row, row))
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

// work does drawn edits, logs, undoes and redoes on a file.
func work(t *rapid.T, f *File, mark string) {
	for range rapid.IntRange(0, 5).Draw(t, "work of "+mark) {
		var err error
		switch rapid.IntRange(0, 5).Draw(t, "what") {
		case 0:
			if _, err = f.Undo(); errors.Is(err, ErrNothingToUndo) {
				err = nil
			}
		case 1:
			if _, err = f.Redo(); errors.Is(err, ErrNothingToRedo) {
				err = nil
			}
		default:
			edit := sample.DrawEdit(t, f.Machine(), mark, 3)
			edit.Changes = slices.DeleteFunc(edit.Changes, func(c model.Change) bool { return c.Table() == model.TablePhoto }) // those drawn have no bytes
			var row *model.RowError
			if err = f.Do(edit); errors.As(err, &row) {
				err = nil // without its photos it does not hold together
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// chooser chooses one of two people for each row, whoever receives.
func chooser(first bool) func(merge.Conflict) merge.Choice {
	return func(c merge.Conflict) merge.Choice {
		if (len(c.ID)%2 == 0) == first {
			return merge.Mine
		}
		return merge.Theirs
	}
}

func TestTwoCopiesBecomeOne(t *testing.T) {
	fewer(t, 30)
	root := t.TempDir()
	count, conflicts, merges := 0, 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		count++
		paths := [2]string{filepath.Join(root, fmt.Sprintf("%d-a.bellout", count)), filepath.Join(root, fmt.Sprintf("%d-b.bellout", count))}
		a, err := Create(paths[0], WithClock(fixedClock))
		must(t, err)
		defer func() { must(t, a.Close()) }()
		must(t, a.Do(small()))
		work(rt, a, "c")
		must(t, a.NameState("parted"))
		must(t, a.Backup(context.Background(), paths[1], nil))
		b, err := Open(paths[1], ReadWrite, WithClock(fixedClock))
		must(t, err)
		defer func() { must(t, b.Close()) }()
		base := a.Machine().Clone()
		for round := range 2 {
			work(rt, a, "n")
			work(rt, b, "n")
			parting, err := a.Base(b)
			must(t, err)
			if round == 0 && difference(parting.Base, base) != "" {
				rt.Fatalf("the base: %s", difference(parting.Base, base))
			}
			conflicts += len(planned(parting.Base, a.Machine(), b.Machine()).Conflicts())
			oldA := a.Machine().Clone()
			plainA := filepath.Join(root, fmt.Sprintf("%d-%d-old.bellout", count, round))
			must(t, a.Backup(context.Background(), plainA, nil))
			before, err := Open(plainA, ReadWrite, WithClock(fixedClock)) // as a was, for b
			must(t, err)

			result, err := takeIn(a, b, chooser(true))
			must(t, err)
			if _, err := takeIn(b, before, chooser(false)); err != nil {
				rt.Fatal(err)
			}
			must(t, before.Close())
			for _, f := range []*File{a, b} {
				if problem := checkFile(f); problem != "" {
					rt.Fatal(problem)
				}
				was, err := f.MachineAt("parted")
				must(t, err)
				if diff := difference(was, base); diff != "" {
					rt.Fatalf("as parted: %s", diff)
				}
			}
			if told(a.Machine()) != told(b.Machine()) {
				rt.Fatalf("merged both ways they differ:\n%s\n\n%s", told(a.Machine()), told(b.Machine()))
			}
			if len(result.Edit.Changes) == 0 {
				continue
			}
			merges++
			merged := a.Machine().Clone()
			if _, err := a.Undo(); err != nil {
				rt.Fatal(err)
			}
			if got := withoutUndone(a.Machine()); told(got) != told(oldA) {
				rt.Fatalf("undo of the merge leaves\n%s\n\nnot\n%s", told(got), told(oldA))
			}
			if _, err := a.Redo(); err != nil {
				rt.Fatal(err)
			}
			if diff := difference(a.Machine(), merged); diff != "" {
				rt.Fatalf("the merge done again: %s", diff)
			}
			if problem := checkFile(a); problem != "" {
				rt.Fatal(problem)
			}
			again, err := takeIn(a, b, nil)
			must(t, err)
			if len(again.Edit.Changes) > 0 {
				rt.Fatalf("merged a second time: %+v", again.Edit)
			}
		}
	})
	t.Logf("%d merges, %d conflicts", merges, conflicts)
	if !testing.Short() && (merges < 5 || conflicts < 2) {
		t.Error("nothing was tested")
	}
}

func TestStrangersAreNotMerged(t *testing.T) {
	a, _ := create(t)
	b, _ := create(t)
	must(t, a.Do(small()))
	if _, err := a.Base(b); !errors.Is(err, ErrStrangers) || strings.Contains(err.Error(), "\n") {
		t.Errorf("got %v", err)
	}
	// Copies of a file in which nothing was done yet are no strangers.
	c, _ := create(t)
	d := copyOf(t, c)
	must(t, c.Do(small()))
	if parting, err := c.Base(d); err != nil || len(parting.Base.Rows()) != 0 {
		t.Errorf("copies of an empty file: %v", err)
	}
	if _, err := takeIn(d, c, nil); err != nil || !d.Machine().Equal(c.Machine()) {
		t.Errorf("into an empty copy: %v", err)
	}
}

// Copies of a file of version 2, brought up to date on two laptops, know each
// other.
func TestCopiesOfAnOldFileAreMerged(t *testing.T) {
	was := migrations
	defer func() { migrations = was }()
	migrations = was[:2]
	old := filepath.Join(t.TempDir(), "old.bellout")
	c, err := openConn(old, "mode=rwc", 0)
	must(t, err)
	must(t, errors.Join(c.script("PRAGMA journal_mode=WAL"), migrate(c, old, migrations)))
	for _, statement := range []string{
		"INSERT INTO journal VALUES (1, '2026-05-04T12:00:00Z', 'G1', 'edit', 2, 'done')",
		`INSERT INTO edits VALUES (1, 'json', CAST('[{"table":"device","after":{"device":"G1","kind":"","title":"","zone":"","health":"ok","failed_at":"0001-01-01T00:00:00Z","load_a":null,"limit_a":null,"note":""}}]' AS BLOB))`,
		"INSERT INTO devices VALUES (1, 'G1', '', '', '', 'ok', '', NULL, NULL, '')",
	} {
		must(t, c.script(statement))
	}
	must(t, c.close())
	content, err := os.ReadFile(old)
	must(t, err)
	migrations = was
	var copies [2]*File
	for i := range copies {
		path := filepath.Join(t.TempDir(), "copy.bellout")
		must(t, os.WriteFile(path, content, 0o644))
		copies[i] = reopen(t, path, ReadWrite)
	}
	must(t, copies[0].Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
	must(t, copies[1].Do(model.Edit{What: "H2", Changes: added(device("H2", "1")...)}))
	parting, err := copies[0].Base(copies[1])
	must(t, err)
	if _, there := parting.Base.Device("G1"); !there || len(parting.Base.Devices) != 1 {
		t.Errorf("the base is %v", parting.Base.Rows())
	}
	_, err = takeIn(copies[0], copies[1], nil)
	must(t, err)
	if len(copies[0].Machine().Devices) != 3 {
		t.Errorf("merged: %v", copies[0].Machine().Devices)
	}
	check(t, copies[0])
}

func TestPhotosComeWithTheirPictures(t *testing.T) {
	a, _ := create(t)
	must(t, a.Do(small()))
	b := copyOf(t, a)
	photo, err := b.AddPhoto(model.Photo{Device: "G1", Face: "front"}, picture(5))
	must(t, err)
	_, err = takeIn(a, b, nil)
	must(t, err)
	if content, err := a.PictureBytes(photo.Hash); err != nil || len(content) == 0 || len(a.Machine().PhotosOf("G1")) != 1 {
		t.Errorf("%v, photos %v", err, a.Machine().PhotosOf("G1"))
	}
	check(t, a)
}

func TestAMergeOfWhatWasWrittenMeanwhile(t *testing.T) {
	a, _ := create(t)
	must(t, a.Do(small()))
	b := copyOf(t, a)
	must(t, b.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
	parting, err := a.Base(b)
	must(t, err)
	result, err := planned(parting.Base, a.Machine(), b.Machine()).Decide(nil)
	must(t, err)
	must(t, b.Do(model.Edit{What: "H2", Changes: added(device("H2", "1")...)}))
	before := a.Machine().Clone()
	if err := a.Merge(b, parting, result); !errors.Is(err, ErrChanged) {
		t.Errorf("got %v", err)
	}
	same(t, a.Machine(), before, "after a merge that was refused")
}

// Readings go on holding, or not, as they did where they were taken.
func TestWhichReadingsHoldAfterAMerge(t *testing.T) {
	now := noon
	clock := WithClock(func() time.Time { now = now.Add(time.Minute); return now })
	path := filepath.Join(t.TempDir(), "a.bellout")
	a, err := Create(path, clock)
	must(t, err)
	defer func() { must(t, a.Close()) }()
	must(t, a.Do(small()))
	other := filepath.Join(t.TempDir(), "b.bellout")
	must(t, a.Backup(context.Background(), other, nil))
	b, err := Open(other, ReadWrite, clock)
	must(t, err)
	defer func() { must(t, b.Close()) }()

	log := func(f *File, red, black, note string) {
		t.Helper()
		r := reading(red, black)
		r.At, r.Note = time.Time{}, note
		_, err := f.Log(r)
		must(t, err)
	}
	longer := func(f *File, name string) {
		t.Helper()
		before, _ := f.machine.Wire(name)
		after := before
		after.LengthMetres = model.Known(float64(now.Minute()))
		must(t, f.Do(model.Edit{What: name, Changes: []model.Change{{Before: before, After: after}}}))
	}
	log(b, "G1:+", "S1:1-a", "before b's edit of W1")
	log(a, "G1:+", "S1:1-a", "of a, before b's edit")
	longer(b, "W1")
	log(b, "G1:+", "S1:1-a", "after b's edit of W1")
	log(a, "G1:+", "S1:1-a", "of a, after b's edit")
	log(b, "S1:2", "E1:+", "before a's edit of W2")
	longer(a, "W2")
	log(b, "S1:2", "E1:+", "after a's edit of W2")
	old := reading("S1:2", "E1:+")
	old.At, old.Note = noon.Add(-time.Hour), "of last week, brought in late"
	must(t, b.Do(model.Edit{What: "import", Changes: added(old)}))
	old.At, old.Note = time.Time{}, "of no known time"
	must(t, b.Do(model.Edit{What: "import", Changes: added(old)}))
	_, err = takeIn(a, b, nil)
	must(t, err)
	check(t, a)

	stale := func(m *model.Machine, note string) bool {
		t.Helper()
		return isStale(t, m, note)
	}
	for note, want := range map[string]bool{
		"before b's edit of W1": true, "of a, before b's edit": true, "after b's edit of W1": false, "of a, after b's edit": false, "before a's edit of W2": true, "after a's edit of W2": false,
		"of last week, brought in late": true, "of no known time": true,
	} {
		if got := stale(a.Machine(), note); got != want {
			t.Errorf("the reading %s is stale: %v", note, got)
		}
	}
	if stale(b.Machine(), "after b's edit of W1") {
		t.Error("stale where it was taken")
	}
	_, err = a.Undo()
	must(t, err)
	check(t, a)
	_, err = a.Redo()
	must(t, err)
	check(t, a)
}

// Every operation of a merge fails once: the file is then as it was, with and
// without the other's pictures.
func TestEveryOperationOfAMergeFails(t *testing.T) {
	a, path := create(t)
	must(t, a.Do(small()))
	b := copyOf(t, a)
	must(t, a.Do(model.Edit{What: "H1", Changes: added(device("H1", "1")...)}))
	_, err := b.AddPhoto(model.Photo{Device: "G1"}, picture(5))
	must(t, err)
	_, err = b.Log(reading("G1:+", "E1:+"))
	must(t, err)
	before, _ := b.machine.Wire("W1")
	after := before
	after.LengthMetres = model.Known(9)
	must(t, b.Do(model.Edit{What: "W1", Changes: []model.Change{{Before: before, After: after}}}))
	parting, err := a.Base(b)
	must(t, err)
	result, err := planned(parting.Base, a.Machine(), b.Machine()).Decide(nil)
	must(t, err)
	old := a.Machine().Clone()
	for fail := 1; ; fail++ {
		count := 0
		a.c.fault = func() error {
			if count++; count == fail {
				return sqlite3.Error{Code: sqlite3.ErrIoErr}
			}
			return nil
		}
		err := a.Merge(b, parting, result)
		a.c.fault = nil
		if err == nil {
			if fail < 15 {
				t.Errorf("only %d failures", fail-1)
			}
			break
		}
		if !errors.Is(err, ErrDisk) {
			t.Fatalf("operation %d: %v", fail, err)
		}
		same(t, a.Machine(), old, fmt.Sprintf("operation %d failed", fail))
		check(t, a)
	}
	check(t, a)
	merged := a.Machine().Clone()
	must(t, a.Close())
	a = reopen(t, path, ReadWrite)
	same(t, a.Machine(), merged, "opened again")
	if len(merged.Photos) != 1 || len(merged.Readings) != 4 {
		t.Errorf("%d photos, %d readings", len(merged.Photos), len(merged.Readings))
	}
}

// isStale says whether a reading between the ends of one wire is stale.
func isStale(t *testing.T, m *model.Machine, note string) bool {
	t.Helper()
	for _, r := range m.Readings {
		if r.Note != note {
			continue
		}
		for _, touch := range m.Touches {
			joins := touch.A == r.Red && touch.B == r.Black || touch.A == r.Black && touch.B == r.Red
			if joins && touch.Stored > r.Stored {
				return true
			}
		}
		return false
	}
	t.Fatalf("the reading %q is lost", note)
	return false
}

// Two go on for days, each taking in the other's work again and again: what was
// verified after an edit stays verified, on both laptops.
func TestVerifiedStaysVerifiedOverManyMerges(t *testing.T) {
	now := noon
	clock := WithClock(func() time.Time { now = now.Add(time.Minute); return now })
	paths := [2]string{filepath.Join(t.TempDir(), "a.bellout"), filepath.Join(t.TempDir(), "b.bellout")}
	a, err := Create(paths[0], clock)
	must(t, err)
	defer func() { must(t, a.Close()) }()
	must(t, a.Do(small()))
	must(t, a.Backup(context.Background(), paths[1], nil))
	b, err := Open(paths[1], ReadWrite, clock)
	must(t, err)
	defer func() { must(t, b.Close()) }()
	want := map[string]bool{} // of each note, whether it is stale
	ends := map[string][2]string{"W1": {"G1:+", "S1:1-a"}, "W2": {"S1:2", "E1:+"}}
	log := func(f *File, wire, note string) {
		t.Helper()
		r := reading(ends[wire][0], ends[wire][1])
		r.At, r.Note = time.Time{}, wire+" "+note
		_, err := f.Log(r)
		must(t, err)
		want[r.Note] = false
	}
	edit := func(f *File, name string) {
		t.Helper()
		before, _ := f.machine.Wire(name)
		after := before
		after.LengthMetres = model.Known(now.Sub(noon).Minutes())
		must(t, f.Do(model.Edit{What: name, Changes: []model.Change{{Before: before, After: after}}}))
		for note := range want {
			want[note] = want[note] || strings.HasPrefix(note, name)
		}
	}
	for round := range 5 {
		for i, f := range []*File{a, b} {
			log(f, "W1", fmt.Sprintf("before, round %d of %d", round, i))
		}
		edit([]*File{a, b}[round%2], "W1")
		log(a, "W1", fmt.Sprintf("verified by a in round %d", round))
		log(b, "W1", fmt.Sprintf("verified by b in round %d", round))
		edit([]*File{b, a}[round%2], "W2")
		log(b, "W2", fmt.Sprintf("verified by b in round %d", round))
		into, from := a, b
		if round%3 == 1 {
			into, from = b, a
		}
		for range 2 {
			_, err := takeIn(into, from, nil)
			must(t, err)
			check(t, into)
			into, from = from, into
		}
		for note, stale := range want {
			for i, f := range []*File{a, b} {
				if got := isStale(t, f.Machine(), note); got != stale {
					t.Errorf("round %d, on laptop %d: %q is stale: %v", round, i, note, got)
				}
			}
		}
	}
}

// A third laptop's work, older, comes in by way of the second after the first
// had the second's already: nothing moves behind what was verified.
func TestOlderWorkComesInLater(t *testing.T) {
	now := noon
	clock := WithClock(func() time.Time { now = now.Add(time.Minute); return now })
	var files [3]*File
	for i := range files {
		path := filepath.Join(t.TempDir(), "copy.bellout")
		if i == 0 {
			f, err := Create(path, clock)
			must(t, err)
			must(t, f.Do(small()))
			files[0] = f
		} else {
			must(t, files[0].Backup(context.Background(), path, nil))
			f, err := Open(path, ReadWrite, clock)
			must(t, err)
			files[i] = f
		}
		defer func() { must(t, files[i].Close()) }()
	}
	a, b, c := files[0], files[1], files[2]
	log := func(f *File, note string) {
		t.Helper()
		r := reading("G1:+", "S1:1-a")
		r.At, r.Note = time.Time{}, note
		_, err := f.Log(r)
		must(t, err)
	}
	for i := range 4 {
		log(c, fmt.Sprintf("of c, %d", i))
	}
	before, _ := b.machine.Wire("W1")
	after := before
	after.LengthMetres = model.Known(7)
	must(t, b.Do(model.Edit{What: "W1", Changes: []model.Change{{Before: before, After: after}}}))
	log(b, "verified")
	for _, step := range [][2]*File{{a, b}, {b, c}, {a, b}, {a, c}} {
		_, err := takeIn(step[0], step[1], nil)
		must(t, err)
		check(t, step[0])
	}
	for _, f := range []*File{a, b} {
		if isStale(t, f.Machine(), "verified") || !isStale(t, f.Machine(), "of c, 3") {
			t.Errorf("verified: stale %v; older: stale %v", isStale(t, f.Machine(), "verified"), isStale(t, f.Machine(), "of c, 3"))
		}
		if len(f.Machine().Readings) != 3+5 {
			t.Errorf("%d readings", len(f.Machine().Readings))
		}
	}
}

// planned is merge.Make where nobody stops it.
func planned(base, mine, theirs *model.Machine) *merge.Plan {
	p, err := merge.Make(context.Background(), base, mine, theirs)
	if err != nil {
		panic(err)
	}
	return p
}
