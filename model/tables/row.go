package tables

import (
	"fmt"
	"slices"
	"strings"
)

// readHeader finds the column of each cell: places[i] is the place in
// t.columns of cell i, or -1 under an empty word at the end of the header, as
// spreadsheets leave them.
func (t *table[T]) readHeader(file string, header Row) (places []int, words []string, err error) {
	words = slices.Clone(header.Cells)
	last := len(words)
	for last > 0 && words[last-1] == "" {
		last--
	}
	fail := func(column, problem, mend string) error {
		return &Error{File: file, Line: header.Line, Column: column, Problem: problem, Mend: mend}
	}
	places = make([]int, len(words))
	for at, word := range words {
		if places[at] = -1; at >= last {
			continue
		}
		if word == "" {
			return nil, nil, fail(fmt.Sprint(at+1), "the header's cell is empty", "name the column, or take it out")
		}
		places[at] = slices.IndexFunc(t.columns, func(c Column[T]) bool { return c.Name == word })
		if places[at] < 0 {
			return nil, nil, fail(shortWord(word), fmt.Sprintf("unknown column %q", word), t.columnMend(word, len(words)))
		}
		if earlier := slices.Index(words[:at], word); earlier >= 0 {
			return nil, nil, fail(word, fmt.Sprintf("the column is here twice, as number %d and %d", earlier+1, at+1), "keep one of them")
		}
	}
	for place, column := range t.columns {
		if t.isNeeded(place) && !slices.Contains(words, column.Name) {
			return nil, nil, t.columnMissing(file, header.Line, column)
		}
	}
	return places, words, nil
}

// isNeeded says whether a file without this column cannot be read at all: its
// rows would have no name. The other columns of a row may be in the machine.
func (t *table[T]) isNeeded(place int) bool {
	return t.columns[place].InHeader && (t.idOf == nil || place < t.keys)
}

func (t *table[T]) columnMissing(file string, line int, column Column[T]) *Error {
	return &Error{File: file, Line: line, Column: column.Name, Problem: "the column is missing", Mend: "the header is " + strings.Join(t.Header(), ",")}
}

func (t *table[T]) columnMend(word string, count int) string {
	if count == 1 && strings.ContainsAny(word, "\t|") {
		return "separate the columns by commas or semicolons"
	}
	best, least := "", 4
	for _, column := range t.columns {
		if steps := editSteps(strings.ToLower(word), column.Name); steps < least {
			best, least = column.Name, steps
		}
	}
	if best != "" {
		return fmt.Sprintf("did you mean %q?", best)
	}
	return "the columns are " + strings.Join(t.Header(), ", ")
}

// shortWord keeps what stands in place of a column's name short.
func shortWord(word string) string {
	if len(word) > 30 || strings.ContainsAny(word, "\n\t") {
		return "1"
	}
	return word
}

// rowReader turns rows of cells into rows of a table.
type rowReader[T any] struct {
	table        *table[T]
	file         string
	places       []int
	words        []string
	decimalComma bool
	seen         map[string]int32 // the line of each name
	absent       []int            // the places of the columns that the file leaves out
	missing      *Error           // one of them, where a new row needs it; nil: none
}

// leaveOut finds out which columns the file leaves out.
func (r *rowReader[T]) leaveOut(headerLine int) {
	for place, column := range r.table.columns {
		if slices.Contains(r.places, place) {
			continue
		}
		r.absent = append(r.absent, place)
		if column.InHeader && r.missing == nil {
			r.missing = r.table.columnMissing(r.file, headerLine, column)
		}
	}
}

// read reads one row. A doubt speaks against the row where it is new, while
// columns that the file leaves out may answer it where the machine has it.
func (r *rowReader[T]) read(row Row) (value T, problem, doubt *Error) {
	fail := func(column, problem, mend string) *Error {
		return &Error{File: r.file, Line: row.Line, Column: column, Problem: problem, Mend: mend}
	}
	if len(row.Cells) != len(r.places) {
		return value, fail("", fmt.Sprintf("the row has %d cells, the header %d", len(row.Cells), len(r.places)),
			"every row needs as many separators as the header; put a cell that holds one in quotes"), nil
	}
	for at, text := range row.Cells {
		place := r.places[at]
		if place < 0 {
			if text != "" {
				return value, fail(fmt.Sprint(at+1), fmt.Sprintf("%q stands under an empty header", text), "name the column, or empty the cell"), nil
			}
			continue
		}
		column := &r.table.columns[place]
		if text == "" && column.Filled {
			return value, fail(column.Name, "the cell is empty", "every row of this table needs one"), nil
		}
		if err := column.Parse(&value, Cell{Text: text, DecimalComma: r.decimalComma}); err != nil {
			problem, mend := explain(err)
			return value, fail(column.Name, problem, mend), nil
		}
	}
	for _, place := range r.absent { // an empty cell
		if column := &r.table.columns[place]; !column.InHeader {
			if err := column.Parse(&value, Cell{}); err != nil {
				problem, mend := explain(err)
				return value, fail(column.Name, problem, mend), nil
			}
		}
	}
	if r.table.finish != nil {
		if err := r.table.finish(&value); err != nil {
			problem, mend := explain(err)
			return value, fail("value", problem, mend), nil
		}
	}
	if doubt = r.missing; doubt == nil {
		if complaints := r.table.check(value); len(complaints) > 0 {
			problem, mend := explain(complaints[0])
			doubt = fail(complaints[0].Field, problem, mend)
		}
	}
	if doubt != nil && (len(r.absent) == 0 || r.table.idOf == nil) {
		return value, doubt, nil
	}
	if r.seen != nil {
		id := r.table.idOf(value)
		if line, twice := r.seen[id]; twice {
			return value, fail(r.table.columns[0].Name, fmt.Sprintf("%s is here twice, on line %d too", r.called(value), line), "keep one of the two rows, or rename one"), nil
		}
		r.seen[id] = int32(row.Line)
	}
	return value, nil, doubt
}

// called names a row by the cells of its key.
func (r *rowReader[T]) called(value T) string {
	var parts []string
	for _, column := range r.table.columns[:r.table.keys] {
		parts = append(parts, column.Print(value))
	}
	return strings.Join(parts, " ")
}

// editSteps is the least number of letters to insert, delete or exchange that
// makes one word of the other.
func editSteps(a, b string) int {
	if len(a) > 40 {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := diagonal
			if a[i-1] != b[j-1] {
				cost = 1 + min(diagonal, row[j], row[j-1])
			}
			diagonal, row[j] = row[j], cost
		}
	}
	return row[len(b)]
}
