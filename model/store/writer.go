package store

import (
	"fmt"
	"slices"

	"bellout/model"
)

// writer writes the rows of one transaction.
type writer struct {
	c   *conn
	ids map[model.TerminalRef]int64
	// by is the journal row that this is about, lastReading the highest number
	// that was in the file before.
	by, lastReading int64
	// undone holds the readings that were stored by the edit that is taken back.
	undone map[int64]bool

	rows  int          // written so far
	ended func() error // see WithContext; nil: nothing ends it
}

func newWriter(c *conn, by, lastReading int64) *writer {
	return &writer{c: c, ids: map[model.TerminalRef]int64{}, by: by, lastReading: lastReading}
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
				if err := w.wrote(); err != nil {
					return err
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
			if err := w.wrote(); err != nil {
				return err
			}
		}
	}
	return nil
}

func (w *writer) failed(row model.Row, err error) error {
	return fmt.Errorf("%s %s: %w", row.Table(), row.ID(), err)
}

func (w *writer) add(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return w.insertSetting(row)
	case model.Device:
		return w.insertDevice(row)
	case model.Terminal:
		return w.insertTerminal(row)
	case model.Link:
		return w.insertLink(row)
	case model.Wire:
		return w.insertWire(row)
	case model.Bond:
		return w.insertBond(row)
	case model.Reading:
		if row.Number <= w.lastReading {
			return w.returnReading(row)
		}
		return w.insertReading(row)
	case model.Symptom:
		return w.insertSymptom(row)
	case model.Event:
		return w.insertEvent(row)
	case model.Place:
		return w.insertPlace(row)
	case model.Photo:
		return w.insertPhoto(row)
	case model.Template:
		return w.insertTemplate(row)
	}
	return errNoTable
}

func (w *writer) change(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return w.updateSetting(row)
	case model.Device:
		return w.updateDevice(row)
	case model.Terminal:
		return w.updateTerminal(row)
	case model.Link:
		return w.updateLink(row)
	case model.Wire:
		return w.updateWire(row)
	case model.Bond:
		return w.updateBond(row)
	case model.Reading:
		return w.strikeReading(row)
	case model.Symptom:
		return w.updateSymptom(row)
	case model.Event:
		return w.updateEvent(row)
	case model.Place:
		return w.updatePlace(row)
	case model.Photo:
		return w.updatePhoto(row)
	case model.Template:
		return w.updateTemplate(row)
	}
	return errNoTable
}

func (w *writer) remove(row model.Row) error {
	switch row := row.(type) {
	case model.Setting:
		return w.deleteSetting(row)
	case model.Device:
		return w.deleteDevice(row)
	case model.Terminal:
		return w.deleteTerminal(row)
	case model.Link:
		return w.deleteLink(row)
	case model.Wire:
		return w.deleteWire(row)
	case model.Bond:
		return w.deleteBond(row)
	case model.Reading:
		return w.sendReadingAway(row)
	case model.Symptom:
		return w.deleteSymptom(row)
	case model.Event:
		return w.deleteEvent(row)
	case model.Place:
		return w.deletePlace(row)
	case model.Photo:
		return w.deletePhoto(row)
	case model.Template:
		return w.deleteTemplate(row)
	}
	return errNoTable
}
