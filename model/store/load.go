package store

import "bellout/model"

// state is what a file holds, but for its journal.
type state struct {
	machine     *model.Machine
	lastJournal int64 // the highest journal row
	lastReading int64 // the highest number ever given to a reading, those away included
	firstStored int64 // the journal row of the first reading; 0: there is none
	version     int64 // SQLite's own count of what others wrote
}

// loadState reads everything in one transaction, so that a writer cannot come
// between two tables.
func loadState(c *conn) (loaded state, err error) {
	if c.db.AutoCommit() { // else the caller's
		if err := c.script("BEGIN"); err != nil {
			return loaded, err
		}
		defer func() {
			if ended := c.rollback(); err == nil {
				err = ended
			}
		}()
	}
	if loaded.machine, err = loadMachine(c); err != nil {
		return loaded, err
	}
	for _, number := range []struct {
		to    *int64
		query string
	}{
		{&loaded.lastJournal, "SELECT ifnull(max(id), 0) FROM journal"},
		{&loaded.lastReading, "SELECT ifnull(max(reading), 0) FROM readings"},
		// Numbers and journal rows rise together.
		{&loaded.firstStored, "SELECT stored FROM readings ORDER BY reading LIMIT 1"},
		{&loaded.version, "PRAGMA data_version"},
	} {
		if *number.to, err = c.number(number.query); err != nil {
			return loaded, err
		}
	}
	return loaded, nil
}

func loadMachine(c *conn) (*model.Machine, error) {
	var rows model.Machine
	var err error
	if rows.SettingRows, err = loadSettings(c); err != nil {
		return nil, err
	}
	devices, deviceRefs, err := loadDevices(c)
	if err != nil {
		return nil, err
	}
	terminals, refs, err := loadTerminals(c, deviceRefs)
	if err != nil {
		return nil, err
	}
	rows.Devices, rows.Terminals = devices, terminals
	if rows.Links, err = loadLinks(c, refs); err != nil {
		return nil, err
	}
	if rows.Wires, err = loadWires(c, refs); err != nil {
		return nil, err
	}
	if rows.Bonds, err = loadBonds(c, refs); err != nil {
		return nil, err
	}
	if rows.Readings, err = loadReadings(c); err != nil {
		return nil, err
	}
	if rows.Symptoms, err = loadSymptoms(c); err != nil {
		return nil, err
	}
	if rows.Events, err = loadEvents(c); err != nil {
		return nil, err
	}
	if rows.Places, err = loadPlaces(c); err != nil {
		return nil, err
	}
	if rows.Photos, err = loadPhotos(c); err != nil {
		return nil, err
	}
	if rows.Templates, err = loadTemplates(c); err != nil {
		return nil, err
	}
	if rows.Touches, err = loadTouches(c); err != nil {
		return nil, err
	}
	return model.NewMachineFromRows(rows)
}
