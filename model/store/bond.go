package store

import "bellout/model"

func loadBonds(c *conn, refs map[int64]model.TerminalRef) (list []model.Bond, err error) {
	err = c.each("SELECT from_terminal, to_terminal, reason FROM bonds ORDER BY id", 3, func(row *cells) error {
		list = append(list, model.Bond{From: row.end(0, refs), To: row.end(1, refs), Reason: row.note(2)})
		return nil
	})
	return list, err
}

func (w *writer) insertBond(b model.Bond) error {
	return w.writeBond(b, "INSERT INTO bonds (from_terminal, to_terminal, reason) VALUES (?, ?, ?)", b.Reason)
}

// A bond is the same whichever end was written first.
const bondWhereSQL = " WHERE from_terminal = ?1 AND to_terminal = ?2 OR from_terminal = ?2 AND to_terminal = ?1"

func (w *writer) updateBond(b model.Bond) error {
	return w.writeBond(b, "UPDATE bonds SET from_terminal = ?1, to_terminal = ?2, reason = ?3"+bondWhereSQL, b.Reason)
}

func (w *writer) deleteBond(b model.Bond) error {
	return w.writeBond(b, "DELETE FROM bonds"+bondWhereSQL)
}

func (w *writer) writeBond(b model.Bond, statement string, more ...any) error {
	from, to, err := w.ends(b.From, b.To)
	if err != nil {
		return err
	}
	return w.c.execOne(statement, append([]any{from, to}, more...)...)
}
