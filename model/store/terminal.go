package store

import (
	"fmt"

	"bellout/model"
)

// storedRoles is every role, the unknown one too.
var storedRoles = append([]model.Role{model.RoleUnknown}, model.Roles...)

// loadTerminals returns the terminals and, for the rows that end at them, their
// references by id: the text of a reference is in memory once.
func loadTerminals(c *conn, devices map[int64]string) (list []model.Terminal, refs map[int64]model.TerminalRef, err error) {
	count, err := c.number("SELECT count(*) FROM terminals")
	if err != nil {
		return nil, nil, err
	}
	list, refs = make([]model.Terminal, 0, count), make(map[int64]model.TerminalRef, count)
	err = c.each("SELECT id, device, terminal, role, volts, min_v, max_v, section FROM terminals ORDER BY id", 8, func(row *cells) error {
		device, found := devices[row.integer(1)]
		if !found {
			return fmt.Errorf("%w: terminal %s has no device", errCell, row.text(2))
		}
		terminal := model.Terminal{
			Device: device, Mark: row.name(2), Role: word(row, 3, storedRoles),
			Volts: row.optional(4), MinVolts: row.optional(5), MaxVolts: row.optional(6), Section: row.note(7),
		}
		list = append(list, terminal)
		refs[row.integer(0)] = terminal.Ref()
		return nil
	})
	return list, refs, err
}

// end reads the id of a terminal.
func (c *cells) end(at int, refs map[int64]model.TerminalRef) model.TerminalRef {
	ref, found := refs[c.integer(at)]
	if !found && c.err == nil {
		c.err = fmt.Errorf("%w: a row ends at a terminal that is not there", errCell)
	}
	return ref
}

// terminalID finds the row of a terminal. Within a transaction each is looked
// up once: a large import asks for every terminal several times.
func (w *writer) terminalID(ref model.TerminalRef) (int64, error) {
	if id, known := w.ids[ref]; known {
		return id, nil
	}
	id, err := w.c.number("SELECT id FROM terminals WHERE device = (SELECT id FROM devices WHERE device = ?) AND terminal = ?", ref.Device, ref.Mark)
	if err != nil {
		return 0, err
	}
	if id == 0 {
		return 0, fmt.Errorf("no terminal %q", ref)
	}
	w.ids[ref] = id
	return id, nil
}

// ends finds the rows of both ends of a row.
func (w *writer) ends(a, b model.TerminalRef) (idA, idB int64, err error) {
	if idA, err = w.terminalID(a); err == nil {
		idB, err = w.terminalID(b)
	}
	return idA, idB, err
}

func (w *writer) insertTerminal(t model.Terminal) (err error) {
	w.ids[t.Ref()], err = w.c.insert(`INSERT INTO terminals (device, terminal, role, volts, min_v, max_v, section)
		VALUES ((SELECT id FROM devices WHERE device = ?), ?, ?, ?, ?, ?, ?)`, terminalValues(t)...)
	return err
}

func (w *writer) updateTerminal(t model.Terminal) error {
	return w.c.execOne(`UPDATE terminals SET role = ?3, volts = ?4, min_v = ?5, max_v = ?6, section = ?7
		WHERE device = (SELECT id FROM devices WHERE device = ?1) AND terminal = ?2`, terminalValues(t)...)
}

func terminalValues(t model.Terminal) []any {
	return []any{t.Device, t.Mark, string(t.Role), sqlNumber(t.Volts), sqlNumber(t.MinVolts), sqlNumber(t.MaxVolts), t.Section}
}

func (w *writer) deleteTerminal(t model.Terminal) error {
	delete(w.ids, t.Ref())
	return w.c.execOne("DELETE FROM terminals WHERE device = (SELECT id FROM devices WHERE device = ?) AND terminal = ?", t.Device, t.Mark)
}
