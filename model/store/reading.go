package store

import (
	"encoding/json"
	"fmt"

	"bellout/model"
)

// readingColumns are those that are read; stored is the rank where there is one.
const readingColumns = "reading, " + rankSQL + ", at, red, black, mode, shows, value, drift, conditions, note, meter, struck"

var (
	storedDrifts = []model.Drift{model.DriftUnknown, model.DriftSteady, model.DriftRising, model.DriftFalling}
	// storedShows is in the order of model.ValueKind.
	storedShows = []string{"number", "OL", "beep", "silent"}
)

// loadReadings returns the readings whose terminals are in the map.
func loadReadings(c *conn) (list []model.Reading, err error) {
	err = c.each("SELECT "+readingColumns+" FROM readings WHERE away IS NULL ORDER BY reading", 13, func(row *cells) error {
		list = append(list, row.reading())
		return nil
	})
	return list, err
}

// awayReadings returns those that are away by a journal row.
func awayReadings(c *conn, by int64) (list []model.Reading, err error) {
	err = c.each("SELECT "+readingColumns+" FROM readings WHERE away = ? ORDER BY reading", 13, func(row *cells) error {
		list = append(list, row.reading())
		return nil
	}, by)
	return list, err
}

func (c *cells) reading() model.Reading {
	reading := model.Reading{
		Number: c.integer(0), Stored: c.integer(1), At: c.moment(2), Red: c.ref(3), Black: c.ref(4),
		Mode: word(c, 5, model.Modes), Drift: word(c, 8, storedDrifts), Note: c.note(10), Meter: c.note(11), Struck: c.note(12),
	}
	shown := word(c, 6, storedShows)
	for kind, name := range storedShows {
		if name == shown {
			reading.Value.Kind = model.ValueKind(kind)
		}
	}
	if number := c.optional(7); number.Known {
		reading.Value.Number = number.Value
	}
	if text := c.text(9); text != "" {
		if err := json.Unmarshal([]byte(text), &reading.Conditions); err != nil {
			c.err = fmt.Errorf("%w: conditions of reading %d", errCell, reading.Number)
		}
	}
	return reading
}

func (c *cells) ref(at int) model.TerminalRef {
	ref, err := model.ParseTerminalRef(c.text(at))
	if err != nil {
		c.err = errCell
	}
	return ref
}

func (w *writer) insertReading(r model.Reading) error {
	red, black, err := w.ends(r.Red, r.Black)
	if err != nil {
		return err
	}
	conditions := ""
	if len(r.Conditions) > 0 {
		text, err := json.Marshal(r.Conditions)
		if err != nil {
			return err
		}
		conditions = string(text)
	}
	var rank any // of its own only where it was stored elsewhere
	if r.Stored != rankOf(w.by) {
		rank = r.Stored
	}
	var number any
	if r.Value.Kind == model.ShowsNumber {
		number = r.Value.Number
	}
	return w.c.execOne("INSERT INTO readings (reading, stored, rank, at, red, black, mode, shows, value, drift, conditions, note, meter, struck, red_terminal, black_terminal) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
		r.Number, w.by, rank, model.FormatTime(r.At), r.Red.String(), r.Black.String(),
		string(r.Mode), storedShows[r.Value.Kind], number, string(r.Drift), conditions, r.Note, r.Meter, r.Struck, red, black)
}

// strikeReading is the one change that a stored reading allows.
func (w *writer) strikeReading(r model.Reading) error {
	return w.c.execOne("UPDATE readings SET struck = ?2 WHERE reading = ?1", r.Number, r.Struck)
}

// sendReadingAway keeps a reading whose terminal leaves the map.
func (w *writer) sendReadingAway(r model.Reading) error {
	struck := r.Struck
	if w.undone[r.Number] {
		struck = Undone
	}
	return w.c.execOne("UPDATE readings SET away = ?3, struck = ?2, red_terminal = NULL, black_terminal = NULL WHERE reading = ?1 AND away IS NULL",
		r.Number, struck, w.by)
}

func (w *writer) returnReading(r model.Reading) error {
	red, black, err := w.ends(r.Red, r.Black)
	if err != nil {
		return err
	}
	return w.c.execOne("UPDATE readings SET away = NULL, struck = ?2, red_terminal = ?3, black_terminal = ?4 WHERE reading = ?1 AND away IS NOT NULL",
		r.Number, r.Struck, red, black)
}
