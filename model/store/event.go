package store

import "bellout/model"

func loadEvents(c *conn) (list []model.Event, err error) {
	err = c.each("SELECT d.device, h.event, h.at, h.note FROM history h JOIN devices d ON d.id = h.device ORDER BY h.id", 4, func(row *cells) error {
		list = append(list, model.Event{Device: row.name(0), Word: word(row, 1, model.EventWords), At: row.moment(2), Note: row.note(3)})
		return nil
	})
	return list, err
}

// eventKey is what tells events apart, as the first parameters of a statement.
func eventKey(e model.Event) []any {
	return []any{e.Device, string(e.Word), model.FormatTime(e.At.UTC()), e.Note}
}

const eventWhereSQL = " WHERE device = " + devicePlaceSQL + " AND event = ?2 AND utc = ?3 AND (utc <> '' OR note = ?4)"

func (w *writer) insertEvent(e model.Event) error {
	return w.c.execOne("INSERT INTO history (device, event, utc, note, at) VALUES ("+devicePlaceSQL+", ?2, ?3, ?4, ?5)", append(eventKey(e), model.FormatTime(e.At))...)
}

func (w *writer) updateEvent(e model.Event) error {
	return w.c.execOne("UPDATE history SET at = ?5, note = ?4"+eventWhereSQL, append(eventKey(e), model.FormatTime(e.At))...)
}

func (w *writer) deleteEvent(e model.Event) error {
	return w.c.execOne("DELETE FROM history"+eventWhereSQL, eventKey(e)...)
}
