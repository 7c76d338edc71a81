package listing

import (
	"fmt"
	"slices"
	"strings"

	"bellout/model"
)

// SetCells returns the edit that writes one text into a column of several rows.
// Rows that hold it already are left alone; an edit of no changes means that all
// did. An error says why a cell does not take it, and nothing is to be changed.
func SetCells(rows []model.Row, column, text string) (model.Edit, error) {
	edit := model.Edit{What: fmt.Sprintf("%s of %s set to %q", column, names(rows), text)}
	for _, row := range rows {
		after, err := tableOf(row.Table()).SetCell(row, column, text)
		if err != nil {
			return model.Edit{}, err
		}
		for _, complaint := range (model.Change{Before: row, After: after}).Complaints() {
			return model.Edit{}, complaint
		}
		if after != row {
			edit.Changes = append(edit.Changes, model.Change{Before: row, After: after})
		}
	}
	return edit, nil
}

// names lists rows for the journal.
func names(rows []model.Row) string {
	const most = 3
	var list []string
	for _, row := range rows {
		if len(list) == most {
			return fmt.Sprintf("%s and %d more", strings.Join(list, ", "), len(rows)-most)
		}
		list = append(list, row.ID())
	}
	return strings.Join(list, ", ")
}

// Delete returns the edit that takes rows off the map together with what cannot
// stay without them: the wires, links, bonds and readings at a terminal, and all
// that belongs to a device. Readings by themselves are never deleted, only
// struck out.
func Delete(m *model.Machine, rows []model.Row) (model.Edit, error) {
	gone := map[string]bool{} // table and ID of what goes
	var devices []string
	terminals := map[model.TerminalRef]bool{}
	edit := model.Edit{What: names(rows) + " deleted"}
	for _, row := range rows {
		switch row := row.(type) {
		case model.Reading:
			return model.Edit{}, fmt.Errorf("reading %d cannot be deleted; strike it out with a reason", row.Number)
		case model.Device:
			devices = append(devices, row.Ref)
		case model.Terminal:
			terminals[row.Ref()] = true
		}
	}
	if len(devices) > 0 {
		with := m.DeleteDevices(devices...)
		for _, change := range with.Changes {
			gone[key(change.Before)] = true
		}
		edit.Changes = with.Changes
	}
	drop := func(row model.Row) {
		if !gone[key(row)] {
			gone[key(row)] = true
			edit.Changes = append(edit.Changes, model.Change{Before: row})
		}
	}
	dropAt(m, terminals, drop)
	for _, row := range rows {
		drop(row)
	}
	return edit, nil
}

func key(row model.Row) string { return string(row.Table()) + " " + row.ID() }

// dropAt drops what hangs on terminals, in the order in which it may go.
func dropAt(m *model.Machine, terminals map[model.TerminalRef]bool, drop func(model.Row)) {
	if len(terminals) == 0 {
		return
	}
	for _, r := range m.Readings {
		clipped := slices.ContainsFunc(r.Conditions, func(c model.Condition) bool {
			return slices.ContainsFunc(c.ClippedRefs(), func(ref model.TerminalRef) bool { return terminals[ref] })
		})
		if terminals[r.Red] || terminals[r.Black] || clipped {
			drop(r)
		}
	}
	for _, bond := range m.Bonds {
		if terminals[bond.From] || terminals[bond.To] {
			drop(bond)
		}
	}
	for _, wire := range m.Wires {
		if terminals[wire.From] || terminals[wire.To] {
			drop(wire)
		}
	}
	for _, link := range m.Links {
		if terminals[link.FromRef()] || terminals[link.ToRef()] {
			drop(link)
		}
	}
}
