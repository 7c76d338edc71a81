package compare

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

func TestAMachineIsLikeItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		if c := Machines(m, m.Sorted(), nil); !c.Empty() {
			t.Fatalf("a machine differs from itself: %+v", c)
		}
		if edit := Edit(m, m.Sorted()); len(edit.Changes) > 0 {
			t.Fatalf("a machine is made like itself by %v", edit)
		}
	})
}

// What Edit returns makes one machine of the other, related or not, and the
// lists are empty exactly where it has nothing to do.
func TestEditMakesTheOtherMachine(t *testing.T) {
	changes := 0
	rapid.Check(t, func(t *rapid.T) {
		a := sample.Draw(t)
		b := sample.Draw(t)
		if rapid.Bool().Draw(t, "related") {
			b = a.Clone()
			if err := b.Apply(sample.DrawEdit(t, b, "n", 6)); err != nil {
				t.Fatal(err)
			}
		}
		edit := Edit(a, b)
		c := Machines(a, b, nil)
		readings := slices.ContainsFunc(edit.Changes, func(change model.Change) bool { return change.Table() == model.TableReading })
		if !readings && c.Empty() != (len(edit.Changes) == 0) {
			t.Fatalf("empty: %v; the edit has %d changes", c.Empty(), len(edit.Changes))
		}
		changes += len(edit.Changes)
		made := a.Clone()
		if err := made.ApplyStored(edit); err != nil {
			t.Fatalf("%+v: %v", edit, err)
		}
		if !made.Equal(b) {
			t.Fatalf("%+v made another machine", edit)
		}
	})
	if changes < 100 {
		t.Errorf("only %d changes", changes)
	}
}

// Every wire of both machines is in exactly as many lists as it must be: one
// that differs in one, one that does not in none.
func TestEveryDifferentWireIsInOneList(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := sample.Draw(t)
		b := a.Clone()
		if err := b.Apply(sample.DrawEdit(t, b, "n", 8)); err != nil {
			t.Fatal(err)
		}
		w := Machines(a, b, nil).Wires
		was, is := map[string]int{}, map[string]int{}
		for _, wire := range slices.Concat(w.Removed, w.Noted.Removed) {
			was[wire.Name]++
		}
		for _, wire := range slices.Concat(w.Added, w.Noted.Added) {
			is[wire.Name]++
		}
		for _, pair := range slices.Concat(w.Moved, w.Changed, w.Renamed, w.Noted.Changed) {
			was[pair.Before.Name]++
			is[pair.After.Name]++
			if len(pair.Fields) == 0 {
				t.Fatalf("no field of %s differs", pair.Before.Name)
			}
		}
		for _, wire := range a.Wires {
			after := b.Row(model.TableWire, wire.Name)
			differs := !model.SameRow(wire, after)
			// A wire taken out, or put in, by its mark stands on one side only.
			total := max(was[wire.Name], is[wire.Name])
			if differs != (total > 0) || was[wire.Name] > 1 || is[wire.Name] > 1 {
				t.Fatalf("%s: differs %v, in %d lists of before and %d of after", wire.Name, differs, was[wire.Name], is[wire.Name])
			}
		}
		for _, wire := range b.Wires {
			if a.Row(model.TableWire, wire.Name) == nil && is[wire.Name] != 1 {
				t.Fatalf("%s came and is in %d lists", wire.Name, is[wire.Name])
			}
		}
	})
}

func TestListsAreSortedAndNeverNil(t *testing.T) {
	a, b := model.NewMachine(), sample.Machine(1, 600)
	for _, c := range []*Comparison{Machines(a, a, nil), Machines(a, b, nil), Machines(b, a, nil)} {
		noNil(t, reflect.ValueOf(*c), "Comparison")
	}
	c := Machines(a, b, nil)
	if len(c.Wires.Added) != len(b.Wires) || len(c.Terminals.Added) != 600 {
		t.Errorf("%d wires and %d terminals came", len(c.Wires.Added), len(c.Terminals.Added))
	}
	if !slices.IsSortedFunc(c.Wires.Added, func(x, y model.Wire) int { return model.Compare(x.Name, y.Name) }) {
		t.Error("the wires are not sorted")
	}
	if again := Machines(a, b, nil); fmt.Sprint(again) != fmt.Sprint(c) {
		t.Error("the same machines compare differently")
	}
}

func noNil(t *testing.T, value reflect.Value, path string) {
	for i := range value.NumField() {
		field, name := value.Field(i), path+"."+value.Type().Field(i).Name
		switch field.Kind() {
		case reflect.Slice:
			if field.IsNil() {
				t.Errorf("%s is nil", name)
			}
		case reflect.Struct:
			noNil(t, field, name)
		}
	}
}

func repaired(t *testing.T) (before, after *model.Machine) {
	t.Helper()
	before = model.NewMachine()
	ref := func(device, mark string) model.TerminalRef { return model.TerminalRef{Device: device, Mark: mark} }
	wire := func(name string, from, to model.TerminalRef) model.Wire {
		return model.Wire{Name: name, From: from, To: to, Colour: "RD", Basis: model.BasisSeen}
	}
	reading := func(number int64, struck string) model.Reading {
		return model.Reading{Number: number, Red: ref("G1", "+"), Black: ref("E1", "1"), Mode: model.ModeOhms, Value: model.Value{Number: float64(number)}, Struck: struck}
	}
	var rows []model.Row
	for device, marks := range map[string][]string{"G1": {"+", "-"}, "E1": {"1", "2"}, "E2": {"1", "2"}} {
		rows = append(rows, model.Device{Ref: device, Kind: model.KindLamp, Health: model.HealthFailed})
		for _, mark := range marks {
			rows = append(rows, model.Terminal{Device: device, Mark: mark})
		}
	}
	rows = append(rows, wire("W1", ref("G1", "+"), ref("E1", "1")), wire("W2", ref("E1", "2"), ref("G1", "-")), wire("W3", ref("G1", "+"), ref("E2", "1")),
		wire("W4", ref("E2", "2"), ref("G1", "-")), wire("W5", ref("E1", "1"), ref("E2", "1")), reading(1, ""), reading(2, ""), reading(3, "slipped"), reading(4, ""))
	edit := model.Edit{}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := before.Apply(edit); err != nil {
		t.Fatal(err)
	}
	after = before.Clone()
	changed := func(table model.Table, id string, with func(model.Row) model.Row) model.Change {
		row := before.Row(table, id)
		return model.Change{Before: row, After: with(row)}
	}
	edit = model.Edit{Changes: []model.Change{
		changed(model.TableWire, "W1", func(r model.Row) model.Row { w := r.(model.Wire); w.To, w.Colour = ref("E2", "1"), "BK"; return w }),
		changed(model.TableWire, "W2", func(r model.Row) model.Row { w := r.(model.Wire); w.Removed = true; return w }),
		changed(model.TableWire, "W3", func(r model.Row) model.Row { w := r.(model.Wire); w.Name = "W9"; return w }),
		changed(model.TableWire, "W4", func(r model.Row) model.Row { w := r.(model.Wire); w.From, w.To = w.To, w.From; return w }),
		changed(model.TableDevice, "E1", func(r model.Row) model.Row { d := r.(model.Device); d.Health = model.HealthOK; return d }),
		changed(model.TableDevice, "E2", func(r model.Row) model.Row { d := r.(model.Device); d.Title = "lower lamp"; return d }),
		changed(model.TableReading, "2", func(r model.Row) model.Row { v := r.(model.Reading); v.Struck = "slipped"; return v }),
		changed(model.TableReading, "3", func(r model.Row) model.Row { v := r.(model.Reading); v.Struck = ""; return v }),
		{After: reading(5, "")},
	}}
	if err := after.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return before, after
}

func TestBeforeAndAfterARepair(t *testing.T) {
	before, after := repaired(t)
	c := Machines(before, after, []int64{4, 5, 3})
	w := c.Wires
	if len(w.Moved) != 1 || w.Moved[0].After.Name != "W1" || len(w.Moved[0].Fields) != 2 || w.Moved[0].Fields[0] != (model.FieldChange{Field: "to", Before: "E1:1", After: "E2:1"}) {
		t.Errorf("moved: %+v", w.Moved)
	}
	if len(w.Removed) != 1 || w.Removed[0].Name != "W2" || len(w.Added) != 0 {
		t.Errorf("removed %+v, added %+v", w.Removed, w.Added)
	}
	if len(w.Renamed) != 1 || w.Renamed[0].Before.Name != "W3" || w.Renamed[0].After.Name != "W9" {
		t.Errorf("renamed: %+v", w.Renamed)
	}
	if len(w.Changed) != 1 || w.Changed[0].After.Name != "W4" {
		t.Errorf("changed: %+v", w.Changed)
	}
	if d := c.Devices; len(d.Replaced) != 1 || d.Replaced[0].After.Ref != "E1" || len(d.Changed) != 1 || d.Changed[0].Fields[0].After != "lower lamp" {
		t.Errorf("devices: %+v", d)
	}
	r := c.Readings
	if len(r.Added) != 1 || r.Added[0].Number != 5 || len(r.Struck) != 1 || r.Struck[0].Number != 2 || len(r.Stood) != 1 || r.Stood[0].Number != 3 ||
		len(r.Stale) != 1 || r.Stale[0].Number != 4 || len(r.Gone) != 0 {
		t.Errorf("readings: %+v", r)
	}
	if back := Machines(after, before, nil).Readings; len(back.Gone) != 1 || back.Gone[0].Number != 5 {
		t.Errorf("the other way: %+v", back)
	}
}

func BenchmarkMachines(b *testing.B) {
	before := sample.Machine(1, 100000)
	after := before.Clone()
	for b.Loop() {
		if !Machines(before, after, nil).Empty() {
			b.Fatal("they differ")
		}
	}
}
