package store

import "bellout/model"

func loadSettings(c *conn) (list []model.Setting, err error) {
	err = c.each("SELECT key, value FROM settings ORDER BY id", 2, func(row *cells) error {
		list = append(list, model.Setting{Key: word(row, 0, model.SettingKeys), Value: row.note(1)})
		return nil
	})
	return list, err
}

func (w *writer) insertSetting(s model.Setting) error {
	return w.c.execOne("INSERT INTO settings (key, value) VALUES (?, ?)", s.Key, s.Value)
}

func (w *writer) updateSetting(s model.Setting) error {
	return w.c.execOne("UPDATE settings SET value = ?2 WHERE key = ?1", s.Key, s.Value)
}

func (w *writer) deleteSetting(s model.Setting) error {
	return w.c.execOne("DELETE FROM settings WHERE key = ?", s.Key)
}
