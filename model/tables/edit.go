package tables

import (
	"errors"
	"fmt"
	"path/filepath"

	"bellout/model"
)

// ImportOf begins what the edit of an import is called.
const ImportOf = "import of "

// EditFor returns the edit that brings the content into a machine, which is
// left as it is: rows replace those of the same key cell by cell, columns that a
// file leaves out stay, links by device, marks and kind, bonds by pair, other
// rows stay; readings are added, unless the
// same row is there, and numbered on from the machine's last. Only rows that
// differ become changes.
//
// The edit is tried on a copy: what it returns without an error, the machine
// takes. devices.csv and terminals.csv must have been there, unless the machine
// has devices already. Errors are *Error. Cost: linear in both.
func (c *Content) EditFor(m *model.Machine) (model.Edit, error) {
	if err := c.checkWhole(m); err != nil {
		return model.Edit{}, err
	}
	edit := model.Edit{What: ImportOf + filepath.Base(c.From)}
	c.origins = c.origins[:0]
	add := func(before, after model.Row, from origin) {
		edit.Changes = append(edit.Changes, model.Change{Before: before, After: after})
		c.origins = append(c.origins, from)
	}
	for _, err := range []error{
		merge(c.settings, m, sameValue[model.Setting], add),
		merge(c.devices, m, sameDevice, add),
		merge(c.terminals, m, sameValue[model.Terminal], add),
		merge(c.links, m, sameValue[model.Link], add),
		merge(c.wires, m, sameValue[model.Wire], add),
		merge(c.symptoms, m, sameSymptom, add),
		merge(c.bonds, m, sameValue[model.Bond], add),
		merge(c.events, m, sameEvent, add),
	} {
		if err != nil {
			return model.Edit{}, err
		}
	}
	merged := m.Clone()
	if err := merged.Apply(edit); err != nil {
		return model.Edit{}, c.Locate(err)
	}
	if err := c.addReadings(m, merged, add); err != nil {
		return model.Edit{}, err
	}
	return edit, nil
}

// checkWhole says which file is missing.
func (c *Content) checkWhole(m *model.Machine) error {
	if len(m.Devices) > 0 {
		return nil
	}
	for _, file := range []struct{ found, name string }{{c.devices.file, "devices.csv"}, {c.terminals.file, "terminals.csv"}} {
		if file.found == "" {
			return &Error{File: file.name, Problem: "the file is missing in " + c.From,
				Mend: "a new machine needs devices.csv and terminals.csv"}
		}
	}
	return nil
}

func sameValue[T comparable](a, b T) bool { return a == b }

// merge adds a change for each row that the machine does not hold just so. Of a
// row that it holds, the cells of columns that the file leaves out stay.
func merge[T model.Row](from rows[T], m *model.Machine, same func(a, b T) bool, add func(before, after model.Row, from origin)) error {
	var first *Error
	for i, row := range from.list {
		at := origin{file: from.file, line: from.lines[i]}
		before, isThere := m.Row(row.Table(), row.ID()).(T)
		if !isThere {
			if doubt := from.doubts[i]; doubt != nil && first == nil {
				copied := *doubt
				first = &copied
			} else if doubt != nil && doubt.Line != first.Line {
				first.More++
			}
			add(nil, row, at)
			continue
		}
		row, err := tableOf[T]().complete(row, before, from.absent)
		if err != nil {
			return err
		}
		if !same(before, row) {
			add(before, row, at)
		}
	}
	if first != nil {
		return first
	}
	return nil
}

// tableOf returns the table whose rows are of a type.
func tableOf[T any]() *table[T] {
	for _, t := range Tables {
		if t, is := t.(*table[T]); is {
			return t
		}
	}
	panic("tables: no table has such rows")
}

// complete returns a row with the cells of the columns at these places as they
// are in another row.
func (t *table[T]) complete(row, from T, places []int) (T, error) {
	for _, place := range places {
		if err := t.columns[place].Parse(&row, Cell{Text: t.columns[place].Print(from)}); err != nil {
			return row, err
		}
	}
	return row, nil
}

// Locate turns the *model.RowError that the edit of EditFor met into an *Error
// with file, line and column. Other errors come back as they are.
func (c *Content) Locate(err error) error {
	var row *model.RowError
	if !errors.As(err, &row) || row.At < 0 || row.At >= len(c.origins) {
		return err
	}
	from := c.origins[row.At]
	problem, mend := explain(row.Err)
	if errors.Is(row.Err, model.ErrOutdated) {
		problem = fmt.Sprintf("%s %s was changed while it was imported", row.Change.Table(), rowID(row.Change))
		mend = "import the folder again"
	}
	return &Error{File: from.file, Line: int(from.line), Column: row.Field, Problem: problem, Mend: mend, Err: err}
}

func rowID(change model.Change) string {
	if change.After != nil {
		return change.After.ID()
	}
	return change.Before.ID()
}
