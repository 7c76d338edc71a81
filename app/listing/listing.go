// Package listing is what a table of the window holds: the rows of one table of
// the machine, sorted and filtered, and the edits that are made in it: one cell
// of several rows, rows that go, rows that are pasted. It knows no window.
package listing

import (
	"cmp"
	"slices"
	"strings"

	"bellout/model"
	"bellout/model/tables"
)

// Listing is one table of a machine as text. It does not change.
type Listing struct {
	Table  model.Table
	Header []string
	rows   []entry
}

type entry struct {
	row   model.Row
	cells []string
}

// Of lists one table. Cost: linear in its rows.
func Of(m *model.Machine, name model.Table) *Listing {
	table := tableOf(name)
	listing := &Listing{Table: name, Header: table.Header()}
	table.Each(m, func(row model.Row, cells []string) {
		listing.rows = append(listing.rows, entry{row, slices.Clone(cells)})
	})
	return listing
}

func tableOf(name model.Table) tables.Table {
	for _, table := range tables.Tables {
		if table.Name() == name {
			return table
		}
	}
	panic("listing: no table " + string(name))
}

// Len is how many rows there are.
func (l *Listing) Len() int { return len(l.rows) }

// Row returns a row of the machine.
func (l *Listing) Row(at int) model.Row { return l.rows[at].row }

// Cells returns the cells of a row as they are printed; they are not to be
// changed.
func (l *Listing) Cells(at int) []string { return l.rows[at].cells }

// Order says how rows are arranged.
type Order struct {
	Column int // place in Header
	Down   bool
	// Filter keeps the rows in which every word of it stands in some cell; a word
	// such as zone=bridge is looked for in that column only. Case does not count.
	Filter string
}

// Arrange returns the places of the rows that a filter keeps, in the order that
// was asked for; rows that are equal there keep the machine's own order of names.
// Cost: about 0.2 s for 100,000 rows, so not for every key press.
func (l *Listing) Arrange(order Order) []int {
	wants := l.wants(order.Filter)
	places := make([]int, 0, len(l.rows))
	for at := range l.rows {
		if l.keeps(at, wants) {
			places = append(places, at)
		}
	}
	slices.SortStableFunc(places, func(a, b int) int {
		if order.Column < len(l.Header) {
			by := compareCells(l.rows[a].cells[order.Column], l.rows[b].cells[order.Column])
			if order.Down {
				by = -by
			}
			if by != 0 {
				return by
			}
		}
		return model.Compare(l.rows[a].row.ID(), l.rows[b].row.ID())
	})
	return places
}

// compareCells puts numbers by their size, references as people read them, and
// empty cells last.
func compareCells(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(len(b), len(a))
	}
	return model.Compare(a, b)
}

// want is one word of a filter.
type want struct {
	column int // -1: any
	text   string
}

func (l *Listing) wants(filter string) []want {
	var list []want
	for _, word := range strings.Fields(strings.ToLower(filter)) {
		one := want{-1, word}
		if column, text, limited := strings.Cut(word, "="); limited {
			if at := slices.Index(l.Header, column); at >= 0 {
				one = want{at, text}
			}
		}
		list = append(list, one)
	}
	return list
}

func (l *Listing) keeps(at int, wants []want) bool {
	for _, one := range wants {
		found := false
		for column, cell := range l.rows[at].cells {
			if one.column >= 0 && one.column != column {
				continue
			}
			if one.column >= 0 && one.text == "" {
				found = cell == ""
			} else {
				found = strings.Contains(strings.ToLower(cell), one.text)
			}
			if found {
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}
