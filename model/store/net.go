package store

import (
	"fmt"
	"slices"

	"bellout/model"
)

// netChange is what an edit does, in the end, to the row of one ID: nil before
// means that there was none, nil after that there is none any more.
type netChange struct{ before, after model.Row }

func (n netChange) table() model.Table {
	if n.after != nil {
		return n.after.Table()
	}
	return n.before.Table()
}

// netChanges folds the changes of an edit. An edit may rename W1 to W2 and W2 to
// W1, or touch a row twice; the file need only see where that leads. The order
// is that of first appearance.
func netChanges(changes []model.Change) []netChange {
	list := make([]netChange, 0, len(changes))
	if !slices.ContainsFunc(changes, func(c model.Change) bool { return c.Before != nil }) {
		for _, change := range changes { // an import into a new file: nothing to fold
			list = append(list, netChange{after: change.After})
		}
		return list
	}
	type key struct {
		table model.Table
		id    string
	}
	place := make(map[key]int, len(changes))
	for _, change := range changes {
		if change.Before != nil {
			id := key{change.Table(), change.Before.ID()}
			if at, met := place[id]; met {
				list[at].after = nil
			} else {
				place[id] = len(list)
				list = append(list, netChange{before: change.Before})
			}
		}
		if change.After != nil {
			id := key{change.Table(), change.After.ID()}
			if at, met := place[id]; met {
				list[at].after = change.After
			} else {
				place[id] = len(list)
				list = append(list, netChange{after: change.After})
			}
		}
	}
	return slices.DeleteFunc(list, func(n netChange) bool { return n.before == nil && n.after == nil })
}

// write brings net changes to the tables: first what goes, from the rows that
// refer to the rows referred to, then what comes or changes, the other way.
func (w *writer) write(net []netChange) error {
	byTable := map[model.Table][]netChange{}
	for _, change := range net {
		byTable[change.table()] = append(byTable[change.table()], change)
	}
	for _, table := range slices.Backward(model.Tables) {
		for _, change := range byTable[table] {
			if change.after == nil {
				if err := w.remove(change.before); err != nil {
					return w.failed(change.before, err)
				}
			}
		}
	}
	for _, table := range model.Tables {
		for _, change := range byTable[table] {
			var err error
			switch {
			case change.after == nil:
				continue
			case change.before == nil:
				err = w.add(change.after)
			default:
				err = w.change(change.after)
			}
			if err != nil {
				return w.failed(change.after, err)
			}
		}
	}
	return nil
}

func (w *writer) failed(row model.Row, err error) error {
	return fmt.Errorf("%s %s: %w", row.Table(), row.ID(), err)
}

// writer writes the rows of one transaction.
type writer struct {
	c *conn
	// by is the journal row that this is about, lastReading the highest number
	// that was in the file before.
	by, lastReading int64
	// undone holds the readings that were stored by the edit that is taken back.
	undone map[int64]bool
}

func (w *writer) add(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return insertSetting(w.c, row)
	case model.Device:
		return insertDevice(w.c, row)
	case model.Terminal:
		return insertTerminal(w.c, row)
	case model.Link:
		return insertLink(w.c, row)
	case model.Wire:
		return insertWire(w.c, row)
	case model.Bond:
		return insertBond(w.c, row)
	case model.Reading:
		if row.Number <= w.lastReading {
			return returnReading(w.c, row)
		}
		return insertReading(w.c, row)
	}
	return errNoTable
}

func (w *writer) change(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return updateSetting(w.c, row)
	case model.Device:
		return updateDevice(w.c, row)
	case model.Terminal:
		return updateTerminal(w.c, row)
	case model.Link:
		return updateLink(w.c, row)
	case model.Wire:
		return updateWire(w.c, row)
	case model.Bond:
		return updateBond(w.c, row)
	case model.Reading:
		return strikeReading(w.c, row)
	}
	return errNoTable
}

func (w *writer) remove(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return deleteSetting(w.c, row)
	case model.Device:
		return deleteDevice(w.c, row)
	case model.Terminal:
		return deleteTerminal(w.c, row)
	case model.Link:
		return deleteLink(w.c, row)
	case model.Wire:
		return deleteWire(w.c, row)
	case model.Bond:
		return deleteBond(w.c, row)
	case model.Reading:
		struck := row.Struck
		if struck == "" && w.undone[row.Number] {
			struck = Undone
		}
		return sendReadingAway(w.c, row, struck, w.by)
	}
	return errNoTable
}
