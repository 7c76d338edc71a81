package store

import (
	"errors"

	"bellout/model"
)

// prepare numbers the new readings of an edit, and gives every reading the
// journal row that stored it. added is how many are new.
func (f *File) prepare(edit model.Edit, id int64) (prepared model.Edit, added int64) {
	prepared = model.Edit{What: edit.What, Changes: append([]model.Change(nil), edit.Changes...)}
	given := map[int64]int64{} // a number in the edit, and the one it got
	number := func(row model.Row, isNew bool) model.Row {
		reading, isReading := row.(model.Reading)
		if !isReading {
			return row
		}
		known, there := f.machine.Reading(reading.Number)
		switch {
		case isNew:
			added++
			if !there && reading.Number != 0 {
				given[reading.Number] = f.lastReading + added
			}
			reading.Number, reading.Stored = f.lastReading+added, rankOf(id)
		case there:
			reading.Stored = known.Stored
		case given[reading.Number] != 0:
			reading.Number, reading.Stored = given[reading.Number], rankOf(id)
		}
		return reading
	}
	for at, change := range prepared.Changes {
		isNew := change.Before == nil
		if !isNew {
			change.Before = number(change.Before, false)
		}
		if change.After != nil {
			change.After = number(change.After, isNew)
		}
		prepared.Changes[at] = change
	}
	return prepared, added
}

// keepReadings refuses, after the edit was applied, a reading that is deleted
// while both of its terminals stay.
func (f *File) keepReadings(edit model.Edit) error {
	brought := map[int64]bool{}
	for at, change := range edit.Changes {
		if reading, isNew := change.After.(model.Reading); isNew && change.Before == nil {
			brought[reading.Number] = true
		}
		reading, isReading := change.Before.(model.Reading)
		if !isReading || change.After != nil {
			continue
		}
		if brought[reading.Number] {
			return &model.RowError{At: at, Change: change, Err: errors.New("the edit brings this reading and deletes it; leave it out")}
		}
		_, red := f.machine.Terminal(reading.Red)
		_, black := f.machine.Terminal(reading.Black)
		if red && black {
			return &model.RowError{At: at, Change: change, Err: errors.New("a reading is never deleted; strike it out with a reason")}
		}
	}
	return nil
}
