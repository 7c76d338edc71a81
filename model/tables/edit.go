package tables

import (
	"errors"
	"fmt"
	"path/filepath"

	"bellout/model"
)

// EditFor returns the edit that brings the content into a machine, which is
// left as it is: rows replace those of the same key, links by device, marks
// and kind, bonds by pair, other rows stay; readings are added, unless the
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
	edit := model.Edit{What: "import of " + filepath.Base(c.From)}
	c.origins = c.origins[:0]
	add := func(before, after model.Row, from origin) {
		edit.Changes = append(edit.Changes, model.Change{Before: before, After: after})
		c.origins = append(c.origins, from)
	}
	merge(c.settings, m, sameValue[model.Setting], add)
	merge(c.devices, m, sameDevice, add)
	merge(c.terminals, m, sameValue[model.Terminal], add)
	merge(c.links, m, sameValue[model.Link], add)
	merge(c.wires, m, sameValue[model.Wire], add)
	merge(c.bonds, m, sameValue[model.Bond], add)

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

// merge adds a change for each row that the machine does not hold just so.
func merge[T model.Row](from rows[T], m *model.Machine, same func(a, b T) bool, add func(before, after model.Row, from origin)) {
	for i, row := range from.list {
		at := origin{file: from.file, line: from.lines[i]}
		switch before := m.Row(row.Table(), row.ID()); {
		case before == nil:
			add(nil, row, at)
		case !same(before.(T), row):
			add(before, row, at)
		}
	}
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
