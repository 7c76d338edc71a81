package store

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bellout/model"
)

// history runs the store against what it should be: a list of whole machines
// in plain memory, and a place in it.
type history struct {
	f      *File
	path   string
	past   []*model.Machine // past[at] is the machine now; the rest can be redone
	at     int
	stored int64                   // the highest number given to a reading
	acked  map[int64]model.Reading // every reading that was ever acknowledged
	serial int
	states map[string]*model.Machine // what each named state was
}

func newHistory(t *rapid.T, dir string) *history {
	h := &history{path: filepath.Join(dir, "lock.bellout"), past: []*model.Machine{model.NewMachine()}, acked: map[int64]model.Reading{}, states: map[string]*model.Machine{}}
	f, err := Create(h.path, WithClock(fixedClock))
	if err != nil {
		t.Fatal(err)
	}
	h.f = f
	return h
}

func (h *history) name(prefix string) string {
	h.serial++
	return fmt.Sprintf("%s%d", prefix, h.serial)
}

// try makes an edit in both and demands the same answer.
func (h *history) try(t *rapid.T, edit model.Edit, discovery bool) {
	plain := h.past[h.at].Clone()
	numbered := model.Edit{What: edit.What}
	next := h.stored
	for _, change := range edit.Changes {
		if r, is := change.After.(model.Reading); is && change.Before == nil {
			next++
			r.Number = next
			change.After = r
		}
		if r, is := change.Before.(model.Reading); is && r.Struck == Undone {
			continue // plain memory does not know it
		}
		numbered.Changes = append(numbered.Changes, change)
	}
	want := plain.Apply(numbered)
	if want == nil {
		want = deletesReadings(plain, edit)
	}
	var got error
	if discovery {
		last := len(edit.Changes) - 1
		_, got = h.f.Log(edit.Changes[last].After.(model.Reading), edit.Changes[:last]...)
	} else {
		got = h.f.Do(edit)
	}
	if (got == nil) != (want == nil) {
		t.Fatalf("%s: the store says %v, plain memory %v", edit.What, got, want)
	}
	if got != nil {
		return
	}
	if len(edit.Changes) == 0 {
		return
	}
	h.past = append(h.past[:h.at+1], plain)
	h.at++
	h.stored = next
	for _, change := range numbered.Changes {
		if r, is := change.After.(model.Reading); is && change.Before == nil {
			h.acked[r.Number] = r
		}
	}
}

func deletesReadings(after *model.Machine, edit model.Edit) error {
	for _, change := range edit.Changes {
		if r, is := change.Before.(model.Reading); is && change.After == nil {
			_, red := after.Terminal(r.Red)
			_, black := after.Terminal(r.Black)
			if red && black {
				return errors.New("a reading is never deleted")
			}
		}
	}
	return nil
}

func (h *history) terminal(t *rapid.T, label string) (model.TerminalRef, bool) {
	list := h.past[h.at].Sorted().Terminals
	if len(list) == 0 {
		return model.TerminalRef{}, false
	}
	return rapid.SampledFrom(list).Draw(t, label).Ref(), true
}

func (h *history) twoTerminals(t *rapid.T) (a, b model.TerminalRef) {
	a, _ = h.terminal(t, "a")
	b, found := h.terminal(t, "b")
	if !found || a == b {
		t.Skip("no two terminals")
	}
	return a, b
}

func (h *history) addDevice(t *rapid.T) {
	name := rapid.SampledFrom([]string{"A1", "A2", "A3", "A4"}).Draw(t, "device")
	marks := rapid.SampledFrom([][]string{{"1"}, {"1", "2"}, {"1", "1-2", "2"}}).Draw(t, "marks")
	rows := device(name, marks...)
	if len(marks) > 1 {
		rows = append(rows, model.Link{Device: name, From: "1", To: "2", Kind: rapid.SampledFrom(model.LinkKinds).Draw(t, "kind")})
	}
	h.try(t, model.Edit{What: "add " + name, Changes: added(rows...)}, false)
}

func (h *history) dropDevice(t *rapid.T) {
	now := h.past[h.at].Sorted()
	if len(now.Devices) == 0 {
		t.Skip("no device")
	}
	gone := rapid.SampledFrom(now.Devices).Draw(t, "device")
	edit := model.Edit{What: "drop " + gone.Ref}
	for _, row := range h.f.Machine().Sorted().Rows() { // with the readings that were undone
		if belongs(row, gone.Ref) {
			edit.Changes = append(edit.Changes, model.Change{Before: row})
		}
	}
	h.try(t, edit, false)
}

func belongs(row model.Row, ref string) bool {
	switch row := row.(type) {
	case model.Device:
		return row.Ref == ref
	case model.Terminal:
		return row.Device == ref
	case model.Link:
		return row.Device == ref
	case model.Wire:
		return row.From.Device == ref || row.To.Device == ref
	case model.Bond:
		return row.From.Device == ref || row.To.Device == ref
	case model.Reading:
		return row.Red.Device == ref || row.Black.Device == ref
	}
	return false
}

func (h *history) addWire(t *rapid.T) {
	a, b := h.twoTerminals(t)
	w := wire(h.name("W"), a.String(), b.String())
	w.Removed = rapid.Bool().Draw(t, "removed")
	h.try(t, model.Edit{What: "add " + w.Name, Changes: added(w)}, false)
}

func (h *history) changeWire(t *rapid.T) {
	list := h.past[h.at].Sorted().Wires
	if len(list) == 0 {
		t.Skip("no wire")
	}
	before := rapid.SampledFrom(list).Draw(t, "wire")
	after := before
	switch rapid.SampledFrom([]string{"removed", "gauge", "moved", "renamed"}).Draw(t, "how") {
	case "removed":
		after.Removed = !after.Removed
	case "gauge":
		after.Gauge = model.Gauge{System: model.GaugeAWG, AWG: rapid.IntRange(-3, 40).Draw(t, "awg")}
	case "moved":
		after.To, _ = h.terminal(t, "to")
	case "renamed":
		after.Name = h.name("W")
	}
	h.try(t, model.Edit{What: "change " + before.Name, Changes: []model.Change{{Before: before, After: after}}}, false)
}

func (h *history) log(t *rapid.T) {
	a, b := h.twoTerminals(t)
	edit := model.Edit{What: "log"}
	if rapid.Bool().Draw(t, "discovery") {
		w := wire(h.name("P"), a.String(), b.String())
		w.Basis = model.BasisProbed
		edit.Changes = added(w)
	}
	r := reading(a.String(), b.String())
	r.Value.Number = float64(h.serial)
	edit.Changes = append(edit.Changes, model.Change{After: r})
	h.try(t, edit, true)
}

func (h *history) importReadings(t *rapid.T) {
	a, b := h.twoTerminals(t)
	r := reading(a.String(), b.String())
	r.Note = h.name("import ")
	r.Struck = rapid.SampledFrom([]string{"", "tip slipped"}).Draw(t, "struck")
	h.try(t, model.Edit{What: r.Note, Changes: added(r, model.Bond{From: a, To: b, Reason: r.Note})}, false)
}

func (h *history) strike(t *rapid.T) {
	for _, r := range h.past[h.at].Sorted().Readings {
		if r.Stands() {
			struck := r
			struck.Struck = "doubtful"
			if err := h.f.Strike(r.Number, "doubtful"); err != nil {
				t.Fatal(err)
			}
			plain := h.past[h.at].Clone()
			if err := plain.Apply(model.Edit{Changes: []model.Change{{Before: r, After: struck}}}); err != nil {
				t.Fatal(err)
			}
			h.past = append(h.past[:h.at+1], plain)
			h.at++
			return
		}
	}
	t.Skip("no reading stands")
}

func (h *history) undo(t *rapid.T) {
	_, err := h.f.Undo()
	if h.at == 0 {
		if !errors.Is(err, ErrNothingToUndo) {
			t.Fatalf("undo of nothing: %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	h.at--
}

func (h *history) redo(t *rapid.T) {
	_, err := h.f.Redo()
	if h.at == len(h.past)-1 {
		if !errors.Is(err, ErrNothingToRedo) {
			t.Fatalf("redo of nothing: %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	h.at++
}

func (h *history) nameState(t *rapid.T) {
	if len(h.states) == 4 {
		t.Skip("states enough")
	}
	name := h.name("state ")
	if err := h.f.NameState(name); err != nil {
		t.Fatal(err)
	}
	h.states[name] = h.f.Machine().Clone()
}

// checkStates holds that every named state is what it was, whatever was done,
// undone and done again since.
func (h *history) checkStates(t *rapid.T) {
	for name, want := range h.states {
		got, err := h.f.MachineAt(name)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if diff := difference(got, want); diff != "" {
			t.Fatalf("%s: %s", name, diff)
		}
	}
}

func (h *history) reopen(t *rapid.T) {
	if err := h.f.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := Open(h.path, ReadWrite, WithClock(fixedClock), WithWait(time.Second))
	if err != nil {
		t.Fatal(err)
	}
	h.f = f
}

// check holds after every step: memory is disk, the machine is the plain one
// but for readings that undo struck out, and no acknowledged reading is lost.
func (h *history) check(t *rapid.T) {
	if problem := checkFile(h.f); problem != "" {
		t.Fatal(problem)
	}
	// The plain machines know of struck readings only what was so in their time:
	// an undone one may stand in the store's machine beside them.
	want := h.past[h.at]
	got := withoutUndone(h.f.Machine())
	if !got.Equal(want) {
		t.Fatalf("%s", difference(got, want))
	}
	kept := map[int64]model.Reading{}
	err := h.f.c.each("SELECT "+readingColumns+" FROM readings", 13, func(row *cells) error {
		r := row.reading()
		kept[r.Number] = r
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(kept) != len(h.acked) {
		t.Fatalf("%d readings in the file, %d were acknowledged", len(kept), len(h.acked))
	}
	for number, r := range h.acked {
		if now := kept[number]; !now.SamePair(r) {
			t.Fatalf("reading %d is %+v, was %+v", number, now, r)
		}
	}
	h.checkTouches(t)
	h.checkStates(t)
}

// checkTouches says what a touch must be in few words: none older than the
// first reading, none of an edit that is not done.
func (h *history) checkTouches(t *rapid.T) {
	rows, err := h.f.Journal(0)
	if err != nil {
		t.Fatal(err)
	}
	states := map[int64]State{}
	for _, row := range rows {
		states[row.ID] = row.State
	}
	for _, touch := range h.f.Machine().Touches {
		if touch.Stored <= rankOf(h.f.firstStored) || states[touch.Stored/rankStep] != Done {
			t.Fatalf("touch %+v; the first reading was stored by row %d, the edit is %s", touch, h.f.firstStored, states[touch.Stored])
		}
	}
}

func TestHistoryAgainstPlainMemory(t *testing.T) {
	if testing.Short() {
		fewer(t, 15)
	}
	dirs := 0
	root := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		dirs++
		dir := filepath.Join(root, fmt.Sprint(dirs))
		mkdir(t, dir)
		h := newHistory(t, dir)
		defer func() { _ = h.f.Close() }()
		t.Repeat(map[string]func(*rapid.T){
			"add device": h.addDevice, "drop device": h.dropDevice, "add wire": h.addWire, "change wire": h.changeWire,
			"log": h.log, "import": h.importReadings, "strike": h.strike, "undo": h.undo, "redo": h.redo,
			"undo again": h.undo, "name": h.nameState, "reopen": h.reopen, "": h.check,
		})
	})
}

// fewer sets how many machines a property is tried on, where nobody asked for a
// number: those that write to the disk take long.
func fewer(t *testing.T, count int) {
	checks := flag.Lookup("rapid.checks")
	if checks.Value.String() == checks.DefValue {
		must(t, flag.Set("rapid.checks", fmt.Sprint(count)))
		t.Cleanup(func() { must(t, flag.Set("rapid.checks", checks.DefValue)) })
	}
}

func mkdir(t *rapid.T, dir string) {
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
}

// One edit that takes a reading in and strikes it out: the way back and forth is
// the same as through two. One that takes it in and deletes it is refused.
func TestAReadingChangedByTheEditThatBringsIt(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	must(t, f.NameState("before"))
	before := f.Machine().Clone()
	fresh := reading("G1:+", "E1:+")
	fresh.Number = 9
	struck := fresh
	struck.Struck = "tip slipped"
	var row *model.RowError
	for _, more := range [][]model.Change{nil, f.Machine().DeleteDevices("E1").Changes} {
		edit := model.Edit{What: "in and out", Changes: append([]model.Change{{After: fresh}, {Before: fresh}}, more...)}
		if err := f.Do(edit); !errors.As(err, &row) || row.At != 1 {
			t.Errorf("got %v", err)
		}
	}
	same(t, f.Machine(), before, "after an edit that was refused")
	must(t, f.Do(model.Edit{What: "in and struck", Changes: []model.Change{{After: fresh}, {Before: fresh, After: struck}}}))
	after := f.Machine().Clone()
	must(t, f.NameState("after"))
	check(t, f)
	_, err := f.Undo()
	must(t, err)
	check(t, f)
	if r, _ := f.Machine().Reading(4); r.Struck != Undone {
		t.Errorf("undone, it is %+v", r)
	}
	_, err = f.Redo()
	must(t, err)
	same(t, f.Machine(), after, "done again")
	check(t, f)
	for name, want := range map[string]*model.Machine{"before": before, "after": after} {
		got, err := f.MachineAt(name)
		must(t, err)
		same(t, got, want, name)
	}
}

// The same, where the edit brings the terminals too: on the way back the reading
// leaves with them, and comes again.
func TestAReadingThatComesWithItsDevice(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	fresh := reading("G1:+", "H1:1")
	fresh.Number = 9
	struck := fresh
	struck.Struck = "tip slipped"
	must(t, f.Do(model.Edit{What: "H1", Changes: append(added(device("H1", "1")...), model.Change{After: fresh}, model.Change{Before: fresh, After: struck})}))
	after := f.Machine().Clone()
	for range 2 {
		_, err := f.Undo()
		must(t, err)
		check(t, f)
		if _, here := f.Machine().Reading(4); here {
			t.Error("the reading stayed without its terminal")
		}
		_, err = f.Redo()
		must(t, err)
		same(t, f.Machine(), after, "done again")
		check(t, f)
	}
}
