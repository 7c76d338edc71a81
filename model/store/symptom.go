package store

import "bellout/model"

func loadSymptoms(c *conn) (list []model.Symptom, err error) {
	err = c.each("SELECT d.device, s.symptom, s.at, s.conditions, s.note, s.struck FROM symptoms s JOIN devices d ON d.id = s.device ORDER BY s.id", 6, func(row *cells) error {
		list = append(list, model.Symptom{Device: row.name(0), Word: word(row, 1, model.SymptomWords), At: row.moment(2),
			When: row.note(3), Note: row.note(4), Struck: row.note(5)})
		return nil
	})
	return list, err
}

// symptomKey is what tells symptoms apart, as the first parameters of a
// statement.
func symptomKey(s model.Symptom) []any {
	return []any{s.Device, string(s.Word), model.FormatTime(s.At.UTC()), s.When}
}

const symptomWhereSQL = " WHERE device = " + devicePlaceSQL + " AND symptom = ?2 AND utc = ?3 AND conditions = ?4"

func (w *writer) insertSymptom(s model.Symptom) error {
	return w.c.execOne("INSERT INTO symptoms (device, symptom, utc, conditions, at, note, struck) VALUES ("+devicePlaceSQL+", ?2, ?3, ?4, ?5, ?6, ?7)",
		append(symptomKey(s), model.FormatTime(s.At), s.Note, s.Struck)...)
}

func (w *writer) updateSymptom(s model.Symptom) error {
	return w.c.execOne("UPDATE symptoms SET at = ?5, note = ?6, struck = ?7"+symptomWhereSQL, append(symptomKey(s), model.FormatTime(s.At), s.Note, s.Struck)...)
}

func (w *writer) deleteSymptom(s model.Symptom) error {
	return w.c.execOne("DELETE FROM symptoms"+symptomWhereSQL, symptomKey(s)...)
}
