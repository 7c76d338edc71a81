package store

import (
	"time"

	"bellout/model"
)

// loadTouches returns those of the edits that are done.
func loadTouches(c *conn) (list []model.PathChange, err error) {
	err = c.each(`SELECT ifnull(t.rank, t.stored * 2199023255552), t.a, t.b FROM touches t JOIN journal j ON j.id = t.stored
		WHERE j.state = 'done' ORDER BY t.stored, t.a, t.b`, 3, func(row *cells) error {
		list = append(list, model.PathChange{Stored: row.integer(0), A: row.ref(1), B: row.ref(2)})
		return nil
	})
	return list, err
}

// touchesStored returns those of one journal row, done or not.
func touchesStored(c *conn, by int64) (list []model.PathChange, err error) {
	err = c.each("SELECT "+rankSQL+", a, b FROM touches WHERE stored = ? ORDER BY a, b", 3, func(row *cells) error {
		list = append(list, model.PathChange{Stored: row.integer(0), A: row.ref(1), B: row.ref(2)})
		return nil
	}, by)
	return list, err
}

// touchesWhile gives a machine the touches that it had while those journal rows
// were done.
func touchesWhile(c *conn, m *model.Machine, done map[int64]bool) error {
	m.Touches = nil
	return c.each("SELECT stored, "+rankSQL+", a, b FROM touches ORDER BY stored, a, b", 4, func(row *cells) error {
		if done[row.integer(0)] {
			m.Touches = append(m.Touches, model.PathChange{Stored: row.integer(1), A: row.ref(2), B: row.ref(3)})
		}
		return nil
	})
}

// timedTouch is a touch that was made at another time than that of the journal
// row that brought it: elsewhere. The zero time is that of the row.
type timedTouch struct {
	model.PathChange
	at time.Time
}

// insertTouch keeps a touch of a journal row; its rank and its time where those
// are others.
func insertTouch(c *conn, row int64, t timedTouch) error {
	var rank, at any
	if t.Stored != rankOf(row) {
		rank = t.Stored
	}
	if !t.at.IsZero() {
		at = model.FormatTime(t.at)
	}
	return c.execOne("INSERT INTO touches (stored, rank, at, a, b) VALUES (?, ?, ?, ?, ?)", row, rank, at, t.A.String(), t.B.String())
}

// timedTouches returns those of the edits that are done, higher than a rank,
// with the times at which they were made.
func timedTouches(c *conn, above int64) (list []timedTouch, err error) {
	err = c.each(`SELECT ifnull(t.rank, t.stored * 2199023255552), t.a, t.b, ifnull(t.at, j.at) FROM touches t JOIN journal j ON j.id = t.stored
		WHERE j.state = 'done' AND ifnull(t.rank, t.stored * 2199023255552) > ? ORDER BY t.stored, t.a, t.b`, 4, func(row *cells) error {
		list = append(list, timedTouch{PathChange: model.PathChange{Stored: row.integer(0), A: row.ref(1), B: row.ref(2)}, at: row.moment(3)})
		return nil
	}, above)
	return list, err
}

// way is one conduction path as far as a touch cares: a wire under another name
// is the same way.
type way struct {
	a, b  model.TerminalRef // the wire's or link's ends; but for a diode, lower first
	gauge model.Gauge
	kind  model.LinkKind // empty for a wire
	value model.Optional // ohms, amperes or farads; a wire's length in metres
	state model.LinkState
}

func wayOf(row model.Row) (w way, conducts bool) {
	switch row := row.(type) {
	case model.Wire:
		w, conducts = way{a: row.From, b: row.To, gauge: row.Gauge, value: row.LengthMetres}, !row.Removed
	case model.Link:
		w, conducts = way{a: row.FromRef(), b: row.ToRef(), kind: row.Kind, value: row.Value, state: row.State}, true
	}
	if w.kind != model.LinkDiode && model.CompareRefs(w.b, w.a) < 0 {
		w.a, w.b = w.b, w.a
	}
	return w, conducts
}

// touchesOf returns where the changes of one edit, in journal row stored, made,
// changed or took away a conduction path, each pair of ends once. Wires that
// are new are left out where discovery says that the meter found them: they
// were there all along.
func touchesOf(net []netChange, stored int64, discovery bool) []model.PathChange {
	counts := map[way]int{}
	var order []way
	count := func(row model.Row, by int) {
		if w, conducts := wayOf(row); conducts {
			counts[w] += by
			order = append(order, w)
		}
	}
	for _, change := range net {
		if table := change.table(); table != model.TableWire && table != model.TableLink {
			continue
		}
		if discovery && change.before == nil && change.table() == model.TableWire {
			continue
		}
		count(change.before, -1)
		count(change.after, +1)
	}
	var list []model.PathChange
	met := map[model.PathChange]bool{}
	for _, w := range order {
		if counts[w] == 0 {
			continue
		}
		touch := model.PathChange{Stored: rankOf(stored), A: w.a, B: w.b}
		if model.CompareRefs(touch.B, touch.A) < 0 {
			touch.A, touch.B = touch.B, touch.A
		}
		if !met[touch] {
			met[touch] = true
			list = append(list, touch)
		}
	}
	return list
}
