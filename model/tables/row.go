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
	for _, column := range t.columns {
		if column.InHeader && !slices.Contains(words, column.Name) {
			return nil, nil, fail(column.Name, "the column is missing", "the header is "+strings.Join(t.Header(), ","))
		}
	}
	return places, words, nil
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
}

func (r *rowReader[T]) read(row Row) (value T, problem *Error) {
	fail := func(column, problem, mend string) *Error {
		return &Error{File: r.file, Line: row.Line, Column: column, Problem: problem, Mend: mend}
	}
	if len(row.Cells) != len(r.places) {
		return value, fail("", fmt.Sprintf("the row has %d cells, the header %d", len(row.Cells), len(r.places)),
			"every row needs as many separators as the header; put a cell that holds one in quotes")
	}
	given := 0 // a column left out is an empty cell
	for at, text := range row.Cells {
		place := r.places[at]
		if place < 0 {
			if text != "" {
				return value, fail(fmt.Sprint(at+1), fmt.Sprintf("%q stands under an empty header", text), "name the column, or empty the cell")
			}
			continue
		}
		given |= 1 << place
		column := &r.table.columns[place]
		if text == "" && column.Filled {
			return value, fail(column.Name, "the cell is empty", "every row of this table needs one")
		}
		if err := column.Parse(&value, Cell{Text: text, DecimalComma: r.decimalComma}); err != nil {
			problem, mend := explain(err)
			return value, fail(column.Name, problem, mend)
		}
	}
	for place := range r.table.columns {
		if given&(1<<place) == 0 {
			if err := r.table.columns[place].Parse(&value, Cell{}); err != nil {
				problem, mend := explain(err)
				return value, fail(r.table.columns[place].Name, problem, mend)
			}
		}
	}
	if r.table.finish != nil {
		r.table.finish(&value)
	}
	if complaints := r.table.check(value); len(complaints) > 0 {
		problem, mend := explain(complaints[0])
		return value, fail(complaints[0].Field, problem, mend)
	}
	if r.seen != nil {
		id := r.table.idOf(value)
		if line, twice := r.seen[id]; twice {
			return value, fail(r.table.columns[0].Name, fmt.Sprintf("%s is here twice, on line %d too", r.called(value), line), "keep one of the two rows, or rename one")
		}
		r.seen[id] = int32(row.Line)
	}
	return value, nil
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
