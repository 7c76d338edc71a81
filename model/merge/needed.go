package merge

import "bellout/model"

// endsAt returns the rows that a row cannot be without.
func endsAt(row model.Row) []key {
	terminals := func(refs ...model.TerminalRef) (list []key) {
		for _, ref := range refs {
			list = append(list, key{model.TableTerminal, ref.String()})
		}
		return list
	}
	device := func(ref string) []key { return []key{{model.TableDevice, ref}} }
	switch row := row.(type) {
	case model.Terminal:
		return device(row.Device)
	case model.Link:
		return terminals(row.FromRef(), row.ToRef())
	case model.Wire:
		return terminals(row.From, row.To)
	case model.Bond:
		return terminals(row.From, row.To)
	case model.Reading:
		return terminals(row.Red, row.Black)
	case model.Symptom:
		return device(row.Device)
	case model.Event:
		return device(row.Device)
	case model.Place:
		return device(row.Device)
	case model.Photo:
		return device(row.Device)
	}
	return nil
}

// findNeeded makes a conflict of each device and terminal that one side deleted
// while something that the other side brought, or may bring by a choice, ends
// there.
func (p *Plan) findNeeded(look *pace, base, mine, theirs map[key]model.Row) error {
	var work []model.Row // whatever may be in the outcome and must have its ends
	for _, row := range p.rows {
		if row != nil && row.Table() != model.TablePlace { // a place is no reason to keep a device
			work = append(work, row)
		}
	}
	for _, conflict := range p.conflicts {
		for _, row := range []model.Row{conflict.Mine, conflict.Theirs} {
			if row != nil {
				work = append(work, row)
			}
		}
	}
	for _, reading := range p.readings.fresh {
		work = append(work, reading)
	}
	for len(work) > 0 {
		if err := look.step(); err != nil {
			return err
		}
		row := work[len(work)-1]
		work = work[:len(work)-1]
		for _, end := range endsAt(row) {
			if _, open := p.conflicts[end]; open || p.rows[end] != nil {
				continue
			}
			there := mine[end]
			if there == nil {
				there = theirs[end]
			}
			if there == nil {
				continue // both deleted it, and the row with it
			}
			delete(p.rows, end)
			p.conflicts[end] = Conflict{Table: end.table, ID: end.id, Reason: Needed, Base: base[end], Mine: mine[end], Theirs: theirs[end]}
			work = append(work, there)
		}
	}
	return nil
}

// bringBack undoes, in the outcome, a deletion that was not chosen: of each row
// in kept that from has and gone lacks, it brings back what went with it, as
// from has it.
func bringBack(rows, from, gone map[key]model.Row, kept map[key]bool) {
	for again := len(kept) > 0; again; {
		again = false
		for k, row := range from {
			if rows[k] != nil || gone[k] != nil {
				continue
			}
			for _, end := range endsAt(row) {
				if kept[end] {
					rows[k], kept[k], again = row, true, true
					break
				}
			}
		}
	}
}

// dropHanging takes out of the outcome what ends at something that is not in
// it, until nothing does.
func dropHanging(rows map[key]model.Row) {
	for again := true; again; {
		again = false
		for k, row := range rows {
			if row == nil {
				continue
			}
			for _, end := range endsAt(row) {
				if rows[end] == nil {
					rows[k], again = nil, true
					break
				}
			}
		}
	}
}
