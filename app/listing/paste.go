package listing

import (
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bellout/model"
	"bellout/model/tables"
)

// Preview is what was pasted, before anything is done with it.
type Preview struct {
	Table  model.Table
	Header []string // the columns that the cells stand under
	Lines  []Line
	Bad    int // how many lines cannot be taken
}

// Line is one pasted row.
type Line struct {
	Cells []string
	// Wrong says of each cell why it cannot be taken; empty where it can.
	Wrong []string
	// Problem is about the row as a whole; empty if there is none.
	Problem string
	row     model.Row
	before  model.Row // the row of the same name that it replaces
}

// Replaces is true where the row takes the place of one that is on the map.
func (l Line) Replaces() bool { return l.before != nil }

// OK is true where the row can be taken.
func (l Line) OK() bool {
	return l.Problem == "" && !slices.ContainsFunc(l.Wrong, func(text string) bool { return text != "" })
}

// pasteMost is how many rows one paste may bring; more come as a file.
const pasteMost = 20000

// Paste reads what was copied from a spreadsheet: rows of cells with tabs, or
// commas or semicolons, between them. Where the first row holds names of columns
// it says in which order they stand; else they stand in the order of the table.
func Paste(m *model.Machine, name model.Table, text string) (Preview, error) {
	if name == model.TableReading {
		return Preview{}, errors.New("readings are not pasted: log them at the bench, or read a folder with readings.csv")
	}
	table := tableOf(name)
	grid, err := split(text)
	if err != nil {
		return Preview{}, err
	}
	preview := Preview{Table: name, Header: table.Header()}
	if header, is := asHeader(grid, preview.Header); is {
		preview.Header, grid = header, grid[1:]
	}
	switch {
	case len(grid) == 0:
		return Preview{}, fmt.Errorf("there is no row in what was copied; copy rows with the columns %s", strings.Join(table.Header(), ", "))
	case len(grid) > pasteMost:
		return Preview{}, fmt.Errorf("%d rows are too many to paste; save them as CSV and read the folder", len(grid))
	}
	known := map[string]model.Row{}
	table.Each(m, func(row model.Row, _ []string) { known[row.ID()] = row })
	seen := map[string]int{}
	for number, cells := range grid {
		line := preview.read(table, nil, cells)
		if line.row != nil && line.OK() {
			if before := known[line.row.ID()]; before != nil { // a column that was not copied stays as it is
				line = preview.read(table, before, cells)
			}
			id := line.row.ID()
			if first, twice := seen[id]; twice {
				line.Problem = fmt.Sprintf("%s stands in row %d too", id, first+1)
			}
			seen[id] = number
			line.before = known[id]
			for _, complaint := range (model.Change{Before: line.before, After: line.row}).Complaints() {
				line.Problem = complaint.Error()
				break
			}
		}
		preview.Lines = append(preview.Lines, line)
	}
	preview.tryEach(m)
	for _, line := range preview.Lines {
		if !line.OK() {
			preview.Bad++
		}
	}
	return preview, nil
}

// read reads one row's cells into a row, every one of them, so that each bad one
// is shown. A new row gets what an empty cell means in the columns that were not
// copied.
func (p *Preview) read(table tables.Table, row model.Row, cells []string) Line {
	line := Line{Cells: cells, Wrong: make([]string, len(cells)), row: row}
	if len(cells) > len(p.Header) {
		line.Problem = fmt.Sprintf("%d cells, and %d columns", len(cells), len(p.Header))
		cells = cells[:len(p.Header)]
	}
	for at, text := range cells {
		changed, err := table.SetCell(line.row, p.Header[at], strings.TrimSpace(text))
		if err != nil {
			line.Wrong[at] = err.Error()
			continue
		}
		line.row = changed
	}
	if row != nil {
		return line
	}
	for _, column := range table.Header() {
		if at := slices.Index(p.Header, column); at >= 0 && at < len(cells) {
			continue
		}
		changed, err := table.SetCell(line.row, column, "")
		if err != nil {
			line.Problem = err.Error()
			continue
		}
		line.row = changed
	}
	return line
}

// tryEach asks the machine about each row that is right by itself: whether the
// terminals are there that it speaks of, and the like.
func (p *Preview) tryEach(m *model.Machine) {
	trial := m.Clone()
	for at := range p.Lines {
		line := &p.Lines[at]
		if !line.OK() || line.row == nil {
			continue
		}
		if err := trial.Apply(model.Edit{Changes: []model.Change{line.change()}}); err != nil {
			line.Problem = err.Error()
		}
	}
}

func (l Line) change() model.Change { return model.Change{Before: l.before, After: l.row} }

// Edit returns the edit that takes every row; an error where one of them cannot
// be taken.
func (p Preview) Edit() (model.Edit, error) {
	edit := model.Edit{What: fmt.Sprintf("%d rows pasted into %ss", len(p.Lines), p.Table)}
	for number, line := range p.Lines {
		if !line.OK() {
			return model.Edit{}, fmt.Errorf("row %d of what was copied cannot be taken; mend it there and copy again", number+1)
		}
		if line.before != line.row {
			edit.Changes = append(edit.Changes, line.change())
		}
	}
	return edit, nil
}

// asHeader reads a first row that holds names of columns.
func asHeader(grid [][]string, known []string) ([]string, bool) {
	if len(grid) == 0 {
		return nil, false
	}
	var header []string
	for _, cell := range grid[0] {
		word := strings.ToLower(strings.TrimSpace(cell))
		if !slices.Contains(known, word) || slices.Contains(header, word) {
			return nil, false
		}
		header = append(header, word)
	}
	return header, true
}

// split cuts a text into rows and cells. A tab anywhere means that tabs divide.
func split(text string) ([][]string, error) {
	text = strings.TrimPrefix(text, "\ufeff")
	comma := ','
	first, _, _ := strings.Cut(text, "\n")
	switch {
	case strings.ContainsRune(text, '\t'):
		comma = '\t'
	case strings.Count(first, ";") > strings.Count(first, ","):
		comma = ';'
	}
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comma, reader.FieldsPerRecord, reader.LazyQuotes = comma, -1, true
	rows, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("what was copied is no table: %w", err)
	}
	return slices.DeleteFunc(rows, func(cells []string) bool {
		return !slices.ContainsFunc(cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
	}), nil
}
