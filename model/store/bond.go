package store

import "bellout/model"

func loadBonds(c *conn, refs map[int64]model.TerminalRef) (list []model.Bond, err error) {
	err = c.each("SELECT from_terminal, to_terminal, reason FROM bonds ORDER BY id", 3, func(row *cells) error {
		list = append(list, model.Bond{From: row.end(0, refs), To: row.end(1, refs), Reason: row.note(2)})
		return nil
	})
	return list, err
}

var (
	insertBondSQL = "INSERT INTO bonds (from_terminal, to_terminal, reason) VALUES (" + theTerminal(1, 2) + ", " + theTerminal(3, 4) + ", ?5)"
	// A bond is the same whichever end was written first.
	bondWhereSQL = " WHERE from_terminal = " + theTerminal(1, 2) + " AND to_terminal = " + theTerminal(3, 4) +
		" OR from_terminal = " + theTerminal(3, 4) + " AND to_terminal = " + theTerminal(1, 2)
	updateBondSQL = "UPDATE bonds SET from_terminal = " + theTerminal(1, 2) + ", to_terminal = " + theTerminal(3, 4) + ", reason = ?5" + bondWhereSQL
	deleteBondSQL = "DELETE FROM bonds" + bondWhereSQL
)

func insertBond(c *conn, b model.Bond) error { return c.execOne(insertBondSQL, bondValues(b)...) }

func updateBond(c *conn, b model.Bond) error { return c.execOne(updateBondSQL, bondValues(b)...) }

func deleteBond(c *conn, b model.Bond) error { return c.execOne(deleteBondSQL, bondValues(b)[:4]...) }

func bondValues(b model.Bond) []any {
	return []any{b.From.Device, b.From.Mark, b.To.Device, b.To.Mark, b.Reason}
}
