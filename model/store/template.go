package store

import "bellout/model"

func loadTemplates(c *conn) (list []model.Template, err error) {
	err = c.each("SELECT template, definition FROM templates ORDER BY id", 2, func(row *cells) error {
		list = append(list, model.Template{Name: row.note(0), Definition: row.note(1)})
		return nil
	})
	return list, err
}

func (w *writer) insertTemplate(t model.Template) error {
	return w.c.execOne("INSERT INTO templates (template, definition) VALUES (?, ?)", t.Name, t.Definition)
}

func (w *writer) updateTemplate(t model.Template) error {
	return w.c.execOne("UPDATE templates SET definition = ?2 WHERE template = ?1", t.Name, t.Definition)
}

func (w *writer) deleteTemplate(t model.Template) error {
	return w.c.execOne("DELETE FROM templates WHERE template = ?", t.Name)
}
