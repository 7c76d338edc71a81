package tables

import (
	"fmt"
	"slices"

	"bellout/model"
)

// Each yields every row of a machine with its cells as they are printed. The
// slice of cells is good until the next row.
func (t *table[T]) Each(m *model.Machine, yield func(row model.Row, cells []string)) {
	cells := make([]string, len(t.columns))
	for _, row := range t.of(m) {
		for i, column := range t.columns {
			cells[i] = column.Print(row)
		}
		yield(rowOf(row), cells)
	}
}

// rowOf is the model's row of one of a table.
func rowOf[T any](row T) model.Row {
	switch row := any(row).(type) {
	case Reading:
		return row.Reading
	case model.Row:
		return row
	}
	panic(fmt.Sprintf("tables: %T is no row", row))
}

// SetCell returns a row with another text in one of its cells; of no row, a new
// one that holds that cell only. An error says why the cell does not take the
// text. A reading is never changed.
func (t *table[T]) SetCell(row model.Row, column, text string) (model.Row, error) {
	var changed T
	if row != nil {
		same, ok := any(row).(T)
		if !ok {
			return nil, fmt.Errorf("a %s cannot be changed in a table; strike a reading out with a reason", row.Table())
		}
		changed = same
	}
	at := slices.IndexFunc(t.columns, func(c Column[T]) bool { return c.Name == column })
	if at < 0 {
		return nil, fmt.Errorf("no column %q in %s", column, t.file)
	}
	if text == "" && t.columns[at].Filled {
		return nil, fmt.Errorf("%s may not be empty", column)
	}
	if err := t.columns[at].Parse(&changed, Cell{Text: text}); err != nil {
		return nil, err
	}
	if t.finish != nil {
		if err := t.finish(&changed); err != nil {
			return nil, err
		}
	}
	return rowOf(changed), nil
}
