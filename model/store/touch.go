package store

import "bellout/model"

func loadTouches(c *conn) (list []model.Touch, err error) {
	err = c.each("SELECT stored, a, b FROM touches ORDER BY stored, a, b", 3, func(row *cells) error {
		list = append(list, model.Touch{Stored: row.integer(0), A: row.ref(1), B: row.ref(2)})
		return nil
	})
	return list, err
}

func insertTouch(c *conn, t model.Touch) error {
	return c.execOne("INSERT INTO touches (stored, a, b) VALUES (?, ?, ?)", t.Stored, t.A.String(), t.B.String())
}

// touchesOf returns where the changes of one edit, in journal row stored, made,
// changed or took away a conduction path, each pair of ends once. Wires that
// are new are left out where discovery says that the meter found them: they
// were there all along.
func touchesOf(net []netChange, stored int64, discovery bool) []model.Touch {
	var list []model.Touch
	met := map[[2]model.TerminalRef]bool{}
	touch := func(a, b model.TerminalRef) {
		if model.CompareRefs(b, a) < 0 {
			a, b = b, a
		}
		if ends := [2]model.TerminalRef{a, b}; !met[ends] {
			met[ends] = true
			list = append(list, model.Touch{Stored: stored, A: a, B: b})
		}
	}
	for _, change := range net {
		switch change.table() {
		case model.TableWire:
			before, was := change.before.(model.Wire)
			after, is := change.after.(model.Wire)
			if discovery && !was {
				continue
			}
			was, is = was && !before.Removed, is && !after.Removed
			same := was && is && before.From == after.From && before.To == after.To &&
				before.Gauge == after.Gauge && before.LengthMetres == after.LengthMetres
			if was && !same {
				touch(before.From, before.To)
			}
			if is && !same {
				touch(after.From, after.To)
			}
		case model.TableLink:
			before, was := change.before.(model.Link)
			after, is := change.after.(model.Link)
			if was && is && before == after {
				continue
			}
			if was {
				touch(before.FromRef(), before.ToRef())
			}
			if is {
				touch(after.FromRef(), after.ToRef())
			}
		}
	}
	return list
}
