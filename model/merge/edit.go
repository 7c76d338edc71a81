package merge

import (
	"fmt"
	"maps"
	"slices"

	"bellout/model"
)

// Result is a merge that is decided.
type Result struct {
	// Edit brings theirs into mine. Its new readings have the numbers that come
	// after those of mine.
	Edit model.Edit
	// Origin says for each new reading of Edit, by its number there, what number
	// it has in theirs.
	Origin map[int64]int64
	// Left are readings that cannot come, since a terminal that they touch was
	// chosen to stay deleted: they stay in the other file. Never nil.
	Left []model.Reading
	// Away are rows, without readings and places on the chart, that either side had added or changed and
	// that go since something they end at was chosen to be deleted. Never nil.
	Away []model.Row
}

// Decide returns the merge by these choices; choose is asked for each of
// Conflicts, nil chooses Safe. An answer Both where it is not allowed is taken
// as Mine. Errors: none of a person's making; the outcome is tried on a copy.
func (p *Plan) Decide(choose func(Conflict) Choice) (*Result, error) {
	if choose == nil {
		choose = Conflict.Safe
	}
	rows := maps.Clone(p.rows)
	names := maps.Clone(p.same)
	taken := func(table model.Table, id string) bool {
		k := key{table, id}
		return rows[k] != nil || p.mine.Row(table, id) != nil || p.theirs.Row(table, id) != nil
	}
	keptMine, keptTheirs := map[key]bool{}, map[key]bool{} // what one had deleted, and stays
	for _, conflict := range p.Conflicts() {
		k := key{conflict.Table, conflict.ID}
		switch choice := choose(conflict); {
		case choice == Theirs:
			rows[k] = conflict.Theirs
			keptTheirs[k] = conflict.Mine == nil
		case choice == Both && conflict.MayKeepBoth:
			rows[k] = conflict.Mine
			other := underOtherName(conflict.Theirs, taken)
			rows[keyOf(other)] = other
			if wire, isWire := other.(model.Wire); isWire {
				names[conflict.ID] = wire.Name
			}
		default:
			rows[k] = conflict.Mine
			keptMine[k] = conflict.Theirs == nil
		}
	}
	wanted := maps.Clone(rows)
	bringBack(rows, p.is, p.other, keptMine)
	bringBack(rows, p.other, p.is, keptTheirs)
	dropHanging(rows)
	result := &Result{Edit: model.Edit{What: "merged"}, Origin: map[int64]int64{}, Left: []model.Reading{}, Away: []model.Row{}}
	for k, row := range wanted {
		if row != nil && rows[k] == nil && k.table != model.TablePlace {
			result.Away = append(result.Away, row)
		}
	}
	slices.SortFunc(result.Away, compareRows)
	p.rowChanges(rows, result)
	p.readingChanges(rows, names, result)
	if err := p.mine.Clone().ApplyStored(result.Edit); err != nil {
		return nil, fmt.Errorf("merge: %w", err)
	}
	return result, nil
}

// rowChanges puts into the edit what of mine goes, changes and comes, in an
// order that is always the same.
func (p *Plan) rowChanges(rows map[key]model.Row, result *Result) {
	var keys []key
	for k, row := range rows {
		if !model.SameRow(p.is[k], row) {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if order := slices.Index(model.Tables, a.table) - slices.Index(model.Tables, b.table); order != 0 {
			return order
		}
		return model.Compare(a.id, b.id)
	})
	var coming []model.Change
	for _, k := range keys {
		before, after := p.is[k], rows[k]
		switch {
		case after == nil:
			result.Edit.Changes = append(result.Edit.Changes, model.Change{Before: before})
		default:
			coming = append(coming, model.Change{Before: before, After: after})
		}
	}
	result.Edit.Changes = append(result.Edit.Changes, coming...)
}

// readingChanges puts in what becomes of readings: those of mine whose terminal
// goes leave the machine, others are struck out, those of theirs come.
func (p *Plan) readingChanges(rows map[key]model.Row, names map[string]string, result *Result) {
	stays := func(r model.Reading) bool {
		ends := endsAt(r)
		return rows[ends[0]] != nil && rows[ends[1]] != nil
	}
	last := int64(0)
	for _, r := range p.mine.Readings {
		last = max(last, r.Number)
	}
	byNumber := slices.Clone(p.mine.Readings) // the undone too: they go with their terminals
	slices.SortFunc(byNumber, func(a, b model.Reading) int { return int(a.Number - b.Number) })
	for _, r := range byNumber {
		if !stays(r) {
			result.Edit.Changes = append(result.Edit.Changes, model.Change{Before: r})
		}
	}
	for _, change := range p.readings.struck {
		if stays(change.After.(model.Reading)) {
			result.Edit.Changes = append(result.Edit.Changes, change)
		}
	}
	for _, r := range p.readings.coming {
		if !stays(r) {
			if !p.readings.known[r.Number] {
				result.Left = append(result.Left, r)
			}
			continue
		}
		last++
		result.Origin[last] = r.Number
		r = renamed(r, names)
		r.Number, r.Stored = last, 0
		result.Edit.Changes = append(result.Edit.Changes, model.Change{After: r})
	}
}

// underOtherName gives a row a name that nobody has: W9-2 for W9.
func underOtherName(row model.Row, taken func(model.Table, string) bool) model.Row {
	for count := 2; ; count++ {
		switch named := row.(type) {
		case model.Wire:
			named.Name = fmt.Sprintf("%s-%d", named.Name, count)
			if !taken(named.Table(), named.ID()) {
				return named
			}
		case model.Template:
			named.Name = fmt.Sprintf("%s (%d)", named.Name, count)
			if !taken(named.Table(), named.ID()) {
				return named
			}
		default:
			panic(fmt.Sprintf("merge: a %s has no other name", row.Table()))
		}
	}
}

func compareRows(a, b model.Row) int {
	if order := slices.Index(model.Tables, a.Table()) - slices.Index(model.Tables, b.Table()); order != 0 {
		return order
	}
	return model.Compare(a.ID(), b.ID())
}
