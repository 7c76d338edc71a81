package session

import (
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// plainStanding is what View.stand works out, wire after wire.
func plainStanding(m *model.Machine) View {
	known := faults.Diagnose(m)
	v := View{Machine: m, Proven: map[string]bool{}, ProvenBy: map[string][]int64{}, Stale: map[int64]bool{}}
	for _, wire := range m.Wires {
		if by := known.ProvenBy(wire.Name); len(by) > 0 {
			v.Proven[wire.Name], v.ProvenBy[wire.Name] = true, by
		}
	}
	for _, number := range faults.Stale(m) {
		v.Stale[number] = true
	}
	return v
}

// TestWhatStandsIsTheSameAsMadeFromNothing logs, strikes, edits, takes back and
// makes again at random; after each the view says what its machine says.
func TestWhatStandsIsTheSameAsMadeFromNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock.bellout")
	content, err := tables.ReadFS(t.Context(), assets.Demo(assets.AsFound), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	file, err := store.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	edit, err := content.EditFor(file.Machine())
	if err == nil {
		err = file.Do(edit)
	}
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	d := New(Options{})
	d.Open(path, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	defer func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	}()
	chance := rand.New(rand.NewPCG(1, 2)) // the same story each time
	staled := 0
	for step := range 60 {
		m := d.Machine()
		wire := m.Wires[chance.IntN(len(m.Wires))]
		switch chance.IntN(6) {
		default:
			d.PutTip(Red, wire.From)
			d.PutTip(Black, wire.To)
			entry, err := ReadEntry([]string{"b", "b", "s", "0.3", "OL"}[chance.IntN(5)])
			if err == nil {
				err = d.Log(entry)
			}
			if err != nil {
				t.Fatal(err)
			}
		case 3:
			var standing []int64
			for _, r := range m.Readings {
				if r.Stands() {
					standing = append(standing, r.Number)
				}
			}
			d.Strike(standing[chance.IntN(len(standing))], "a tip slipped")
		case 4:
			after := wire
			after.Removed = !after.Removed
			d.Do(model.Edit{What: "a wire", Changes: []model.Change{{Before: wire, After: after}}}, nil)
		case 5:
			if d.Undo(); chance.IntN(2) == 0 {
				d.Redo()
			}
		}
		got, want := d.View(), plainStanding(d.Machine())
		if !maps.Equal(got.Proven, want.Proven) || !maps.EqualFunc(got.ProvenBy, want.ProvenBy, slices.Equal) {
			t.Fatalf("step %d: proven by %v, made anew %v", step, got.ProvenBy, want.ProvenBy)
		}
		for number := range got.Stale { // one that was struck out may be left: it stands no more
			if r, there := m.Reading(number); there && !want.Stale[number] && r.Stands() {
				if now, _ := d.Machine().Reading(number); now.Stands() {
					t.Fatalf("step %d: reading %d is stale, made anew it is not", step, number)
				}
			}
		}
		for number := range want.Stale {
			staled++
			if !got.Stale[number] {
				t.Fatalf("step %d: reading %d is not stale, made anew it is", step, number)
			}
		}
	}
	if staled == 0 {
		t.Error("no reading was ever stale: nothing was tested of it")
	}
}
