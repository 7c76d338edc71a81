package sheets

import (
	"strconv"
	"strings"
	"time"

	"bellout/model"
)

// Kind says what a column's cells hold.
type Kind uint8

// The kinds of column.
const (
	Text    Kind = iota
	Number       // a number, or empty where it is not known
	List         // names without spaces
	Numbers      // a list of numbers, as of readings
	YesNo        // yes, or empty for no
	Moment       // a time in RFC 3339, or empty where it is not known
)

// Column describes one column of a table, once for every form: text, CSV, JSON,
// a workbook, and whatever draws a page.
type Column struct {
	Name  string // the header's word in files, with its unit where it has one
	Key   string // in JSON; empty: the name
	Title string // the heading on paper; empty: the name
	Unit  string // V, A, m, ohm; empty: none
	About string // one line for who meets the table without knowing it
	Kind  Kind
	// Computed says that the number was worked out: people are shown three
	// digits of it, programs all.
	Computed bool
	// Wrap says that a long cell takes several lines on paper.
	Wrap bool
	// Below says that on narrow paper the cell stands below its row, in these
	// words, as in "fuse %s"; words that begin with a space or a comma go on with those
	// before. Empty: it has a column there.
	Below string
	// FilesOnly leaves the column off paper: another one says it better there.
	FilesOnly bool
	// How it stands on a drawn page: with letters of one width, or with a piece of
	// the colour before its code; NotDrawn: not at all, the page is too narrow.
	Mono, Swatch, NotDrawn bool
}

// Heading is what stands over the column on paper.
func (c Column) Heading() string {
	if c.Title != "" {
		return c.Title
	}
	return c.Name
}

// Cell is what stands in one cell. Which fields count depends on the column's
// kind.
type Cell struct {
	Text   string
	Number model.Optional
	List   []string
	Yes    bool
	Alarm  bool   // what nobody may overlook
	Drawn  string // on a drawn page, instead of all that; empty: nothing else
}

// Print writes the cell for people and for CSV.
func (c Cell) Print(column Column) string {
	switch column.Kind {
	case Number:
		if column.Computed && c.Number.Known {
			return model.Figures(c.Number.Value)
		}
		return c.Number.String()
	case List, Numbers:
		return strings.Join(c.List, " ")
	case YesNo:
		return yes(c.Yes)
	default:
		return c.Text
	}
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return ""
}

// field is a column together with what fills it from a row.
type field[T any] struct {
	Column
	of func(*T) Cell
}

// Table is a table with its rows, ready for any form.
type Table struct {
	Name   string // of the list in JSON and of the sheet in a workbook, as in nets
	Title  string // as in Net list
	Counts string // how many rows there are, in words
	// Caution stands before the rows wherever people read them; empty: there is none.
	Caution string
	// Note says on a drawn page what the headings have no room for.
	Note    string
	Columns []Column
	// ByHand are the headings of empty columns that a drawn page has at the end.
	ByHand []string
	Len    int
	// Fill puts row i, counted from 0, into cells, of which there are as many as
	// columns.
	Fill func(i int, cells []Cell)
	// On a drawn page, where they are not nil: the heading that row i stands under,
	// whether it is left out, and the wire that it is about.
	Group   func(i int) string
	LeftOut func(i int) bool
	Wire    func(i int) string
}

func newTable[T any](name, title, counts string, fields []field[T], rows []T) *Table {
	t := &Table{Name: name, Title: title, Counts: counts, Columns: make([]Column, len(fields)), Len: len(rows)}
	for at, f := range fields {
		t.Columns[at] = f.Column
	}
	t.Fill = func(i int, cells []Cell) {
		for at := range fields {
			cells[at] = fields[at].of(&rows[i])
		}
	}
	return t
}

// Ways to fill a cell.

func text[T any](of func(*T) string) func(*T) Cell {
	return func(row *T) Cell { return Cell{Text: of(row)} }
}

func number[T any](of func(*T) model.Optional) func(*T) Cell {
	return func(row *T) Cell { return Cell{Number: of(row)} }
}

func list[T any](of func(*T) []string) func(*T) Cell {
	return func(row *T) Cell { return Cell{List: of(row)} }
}

func yesNo[T any](of func(*T) bool) func(*T) Cell {
	return func(row *T) Cell { return Cell{Yes: of(row)} }
}

func moment[T any](of func(*T) time.Time) func(*T) Cell {
	return func(row *T) Cell { return Cell{Text: model.FormatTime(of(row))} }
}

func numbers(list []int64) []string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strconv.FormatInt(n, 10)
	}
	return words
}
