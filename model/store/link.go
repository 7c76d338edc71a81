package store

import "bellout/model"

var storedStates = []model.LinkState{model.StateUnknown, model.StateOpen, model.StateClosed}

func loadLinks(c *conn, refs map[int64]model.TerminalRef) ([]model.Link, error) {
	count, err := c.number("SELECT count(*) FROM links")
	if err != nil {
		return nil, err
	}
	list := make([]model.Link, 0, count)
	err = c.each("SELECT from_terminal, to_terminal, kind, value, state FROM links ORDER BY id", 5, func(row *cells) error {
		from, to := row.end(0, refs), row.end(1, refs)
		if from.Device != to.Device {
			row.err = errCell
		}
		list = append(list, model.Link{
			Device: from.Device, From: from.Mark, To: to.Mark,
			Kind: word(row, 2, model.LinkKinds), Value: row.optional(3), State: word(row, 4, storedStates),
		})
		return nil
	})
	return list, err
}

func (w *writer) insertLink(l model.Link) error {
	from, to, err := w.ends(l.FromRef(), l.ToRef())
	if err != nil {
		return err
	}
	return w.c.execOne(`INSERT INTO links (from_terminal, to_terminal, kind, value, state, device)
		VALUES (?1, ?2, ?3, ?4, ?5, (SELECT device FROM terminals WHERE id = ?1))`,
		from, to, string(l.Kind), sqlNumber(l.Value), string(l.State))
}

func (w *writer) updateLink(l model.Link) error {
	id, err := w.linkID(l)
	if err != nil {
		return err
	}
	from, to, err := w.ends(l.FromRef(), l.ToRef())
	if err != nil {
		return err
	}
	return w.c.execOne("UPDATE links SET from_terminal = ?2, to_terminal = ?3, value = ?4, state = ?5 WHERE id = ?1",
		id, from, to, sqlNumber(l.Value), string(l.State))
}

func (w *writer) deleteLink(l model.Link) error {
	id, err := w.linkID(l)
	if err != nil {
		return err
	}
	return w.c.execOne("DELETE FROM links WHERE id = ?", id)
}

// linkID finds the row of a link. Only a diode has a direction; another may be
// written the other way. The + keeps SQLite (3.54.1) from the partial indices:
// with a value for kind it makes a plan of them that it then cannot follow.
func (w *writer) linkID(l model.Link) (int64, error) {
	from, to, err := w.ends(l.FromRef(), l.ToRef())
	if err != nil {
		return 0, err
	}
	const query = "SELECT id FROM links WHERE from_terminal = ? AND to_terminal = ? AND +kind = ?"
	id, err := w.c.number(query, from, to, string(l.Kind))
	if err == nil && id == 0 && l.Kind != model.LinkDiode {
		id, err = w.c.number(query, to, from, string(l.Kind))
	}
	if err == nil && id == 0 {
		err = errNoRow
	}
	return id, err
}
