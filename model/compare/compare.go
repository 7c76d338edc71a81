// Package compare says in what two machines differ: two states of one file, as
// found and as repaired, or two files. It knows rows and where they end, no
// graph and no rule; the words for people are elsewhere.
package compare

import (
	"cmp"
	"slices"

	"bellout/model"
)

// Pair is a row before and after, and the fields in which the two differ.
type Pair[T model.Row] struct {
	Before, After T
	Fields        []model.FieldChange
}

// Rows is what became of the rows of one table that have one name before and
// after. Lists are never nil, and in the order in which people read them.
type Rows[T model.Row] struct {
	Added   []T
	Removed []T
	Changed []Pair[T]
}

// Empty says whether nothing differs.
func (r Rows[T]) Empty() bool { return len(r.Added)+len(r.Removed)+len(r.Changed) == 0 }

// Comparison is all in which two machines differ. Lists are never nil, and in
// the order in which people read them.
type Comparison struct {
	Wires    Wires
	Devices  Devices
	Readings Readings

	Terminals Rows[model.Terminal]
	Links     Rows[model.Link]
	Bonds     Rows[model.Bond]
	Settings  Rows[model.Setting]
	History   Rows[model.Event]
	Symptoms  Rows[model.Symptom]
	Places    Rows[model.Place]
	Photos    Rows[model.Photo]
	Templates Rows[model.Template]
}

// Empty says whether the machines say the same.
func (c *Comparison) Empty() bool {
	return c.Wires.Empty() && c.Devices.Empty() && c.Readings.Empty() && c.Terminals.Empty() && c.Links.Empty() && c.Bonds.Empty() &&
		c.Settings.Empty() && c.History.Empty() && c.Symptoms.Empty() && c.Places.Empty() && c.Photos.Empty() && c.Templates.Empty()
}

// Machines compares two machines, which are left as they are. stale are the
// numbers of the readings of after whose path was edited since they were taken;
// the model cannot know them, see faults.Stale. Cost: linear in both.
func Machines(before, after *model.Machine, stale []int64) *Comparison {
	c := &Comparison{
		Terminals: rowsOf(before, after, before.Terminals, after.Terminals,
			func(m *model.Machine, t model.Terminal) (model.Terminal, bool) { return m.Terminal(t.Ref()) },
			func(a, b model.Terminal) int { return model.CompareRefs(a.Ref(), b.Ref()) }),
		Links: rowsOf(before, after, before.Links, after.Links, rowOf, byID),
		Bonds: rowsOf(before, after, before.Bonds, after.Bonds, rowOf, byID),
		Settings: rowsOf(before, after, before.SettingRows, after.SettingRows, rowOf, func(a, b model.Setting) int {
			return cmp.Compare(slices.Index(model.SettingKeys, a.Key), slices.Index(model.SettingKeys, b.Key))
		}),
		History:   rowsOf(before, after, before.Events, after.Events, rowOf, byID),
		Symptoms:  rowsOf(before, after, before.Symptoms, after.Symptoms, rowOf, byID),
		Places:    rowsOf(before, after, before.Places, after.Places, rowOf, byID),
		Photos:    rowsOf(before, after, before.Photos, after.Photos, rowOf, byID),
		Templates: rowsOf(before, after, before.Templates, after.Templates, rowOf, byID),
	}
	c.Devices = devicesOf(rowsOf(before, after, before.Devices, after.Devices,
		func(m *model.Machine, d model.Device) (model.Device, bool) { return m.Device(d.Ref) }, byID))
	c.Wires = wiresOf(rowsOf(before, after, before.Wires, after.Wires,
		func(m *model.Machine, w model.Wire) (model.Wire, bool) { return m.Wire(w.Name) }, byID))
	c.Readings = readingsOf(before, after, stale)
	return c
}

func byID[T model.Row](a, b T) int { return model.Compare(a.ID(), b.ID()) }

// rowOf finds the row of a machine that has the ID of another.
func rowOf[T model.Row](m *model.Machine, like T) (row T, found bool) {
	row, found = m.Row(like.Table(), like.ID()).(T)
	return row, found
}

// rowsOf compares the rows of one table; find looks up the one of the same ID.
func rowsOf[T model.Row](before, after *model.Machine, was, is []T, find func(*model.Machine, T) (T, bool), order func(a, b T) int) Rows[T] {
	out := Rows[T]{Added: []T{}, Removed: []T{}, Changed: []Pair[T]{}}
	for _, row := range was {
		switch now, found := find(after, row); {
		case !found:
			out.Removed = append(out.Removed, row)
		case !model.SameRow(row, now):
			out.Changed = append(out.Changed, Pair[T]{Before: row, After: now, Fields: model.FieldChanges(row, now)})
		}
	}
	for _, row := range is {
		if _, found := find(before, row); !found {
			out.Added = append(out.Added, row)
		}
	}
	slices.SortFunc(out.Added, order)
	slices.SortFunc(out.Removed, order)
	slices.SortFunc(out.Changed, func(a, b Pair[T]) int { return order(a.After, b.After) })
	return out
}
