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
	return w.writeLink(l, `INSERT INTO links (from_terminal, to_terminal, kind, value, state, device)
		VALUES (?1, ?2, ?3, ?4, ?5, (SELECT device FROM terminals WHERE id = ?1))`,
		sqlNumber(l.Value), string(l.State))
}

// Only a diode has a direction; another link may be written the other way.
const linkWhereSQL = ` WHERE kind = ?3 AND (from_terminal = ?1 AND to_terminal = ?2
	OR ?3 <> 'diode' AND from_terminal = ?2 AND to_terminal = ?1)`

func (w *writer) updateLink(l model.Link) error {
	return w.writeLink(l, "UPDATE links SET from_terminal = ?1, to_terminal = ?2, value = ?4, state = ?5"+linkWhereSQL,
		sqlNumber(l.Value), string(l.State))
}

func (w *writer) deleteLink(l model.Link) error {
	return w.writeLink(l, "DELETE FROM links"+linkWhereSQL)
}

func (w *writer) writeLink(l model.Link, statement string, more ...any) error {
	from, to, err := w.ends(l.FromRef(), l.ToRef())
	if err != nil {
		return err
	}
	return w.c.execOne(statement, append([]any{from, to, string(l.Kind)}, more...)...)
}
