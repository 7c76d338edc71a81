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

var (
	insertLinkSQL = "INSERT INTO links (from_terminal, to_terminal, kind, value, state) VALUES (" +
		theTerminal(1, 2) + ", " + theTerminal(1, 3) + ", ?4, ?5, ?6)"
	// Only a diode has a direction; another link may be written the other way.
	linkWhereSQL = " WHERE kind = ?4 AND (from_terminal = " + theTerminal(1, 2) + " AND to_terminal = " + theTerminal(1, 3) +
		" OR kind <> 'diode' AND from_terminal = " + theTerminal(1, 3) + " AND to_terminal = " + theTerminal(1, 2) + ")"
	updateLinkSQL = "UPDATE links SET from_terminal = " + theTerminal(1, 2) + ", to_terminal = " + theTerminal(1, 3) +
		", value = ?5, state = ?6" + linkWhereSQL
	deleteLinkSQL = "DELETE FROM links" + linkWhereSQL
)

func insertLink(c *conn, l model.Link) error { return c.execOne(insertLinkSQL, linkValues(l)...) }

func updateLink(c *conn, l model.Link) error { return c.execOne(updateLinkSQL, linkValues(l)...) }

func deleteLink(c *conn, l model.Link) error { return c.execOne(deleteLinkSQL, linkValues(l)[:4]...) }

func linkValues(l model.Link) []any {
	return []any{l.Device, l.From, l.To, string(l.Kind), sqlNumber(l.Value), string(l.State)}
}
