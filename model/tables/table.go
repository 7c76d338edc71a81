package tables

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"bellout/model"
)

// Content is what a folder or another set of tables said, row by row, with the
// line each row came from. Make an edit of it with EditFor.
type Content struct {
	From string // the folder's path, or another name of where it came from

	settings  rows[model.Setting]
	devices   rows[model.Device]
	terminals rows[model.Terminal]
	links     rows[model.Link]
	wires     rows[model.Wire]
	bonds     rows[model.Bond]
	readings  rows[Reading]
	events    rows[model.Event]
	symptoms  rows[model.Symptom]

	origins []origin // of the changes of the last edit that EditFor made
}

// rows are the rows of one table.
type rows[T any] struct {
	file  string // the file they came from; empty: there was none
	list  []T
	lines []int32
	// absent are the places of the columns that the file leaves out, and doubts,
	// by the place in list, what speaks against a row that stands by itself: where
	// the machine has the row already, its cells answer it.
	absent []int
	doubts map[int]*Error
}

// origin is where a change came from.
type origin struct {
	file string
	line int32
}

// Table is one table's columns with its file name. Its methods hide what kind
// of row it holds.
type Table interface {
	// Name is the table's name in model.
	Name() model.Table
	// File is the name of the table's CSV file.
	File() string
	// Header returns the columns' words in the order of the README.
	Header() []string
	// Read puts the rows of a source into the content. Errors are *Error.
	Read(ctx context.Context, into *Content, file string, from RowSource, tick func(rows int)) error
	// Cells returns the table's rows of a machine, sorted by SortRows before,
	// as printed cells. The slice is good until the next row.
	Cells(m *model.Machine, yield func([]string) error) error
	// Each yields every row of a machine with its cells as they are printed. The
	// slice of cells is good until the next row.
	Each(m *model.Machine, yield func(row model.Row, cells []string))
	// SetCell returns a row with another text in one of its cells; of no row, a
	// new one that holds that cell only. A reading is never changed.
	SetCell(row model.Row, column, text string) (model.Row, error)
	// Count returns how many rows the content has, and whether it had the table.
	Count(c *Content) (count int, there bool)
}

// Tables are all tables in the order of the README, which is also the order
// in which rows refer to earlier ones.
var Tables = []Table{
	&table[model.Setting]{
		name: model.TableSetting, file: "settings.csv", columns: SettingColumns,
		in:   func(c *Content) *rows[model.Setting] { return &c.settings },
		of:   func(m *model.Machine) []model.Setting { return m.SettingRows },
		idOf: model.Setting.ID, keys: 1, check: model.Setting.Validate,
	},
	&table[model.Device]{
		name: model.TableDevice, file: "devices.csv", columns: DeviceColumns,
		in:   func(c *Content) *rows[model.Device] { return &c.devices },
		of:   func(m *model.Machine) []model.Device { return m.Devices },
		idOf: model.Device.ID, keys: 1, check: model.Device.Validate,
	},
	&table[model.Terminal]{
		name: model.TableTerminal, file: "terminals.csv", columns: TerminalColumns,
		in:   func(c *Content) *rows[model.Terminal] { return &c.terminals },
		of:   func(m *model.Machine) []model.Terminal { return m.Terminals },
		idOf: model.Terminal.ID, keys: 2, check: model.Terminal.Validate,
	},
	&table[model.Link]{
		name: model.TableLink, file: "links.csv", columns: LinkColumns,
		in:   func(c *Content) *rows[model.Link] { return &c.links },
		of:   func(m *model.Machine) []model.Link { return m.Links },
		idOf: model.Link.ID, keys: 4, check: model.Link.Validate,
	},
	&table[model.Wire]{
		name: model.TableWire, file: "wires.csv", columns: WireColumns,
		in:   func(c *Content) *rows[model.Wire] { return &c.wires },
		of:   func(m *model.Machine) []model.Wire { return m.Wires },
		idOf: model.Wire.ID, keys: 1, check: model.Wire.Validate,
	},
	&table[model.Bond]{
		name: model.TableBond, file: "bonds.csv", columns: BondColumns,
		in:   func(c *Content) *rows[model.Bond] { return &c.bonds },
		of:   func(m *model.Machine) []model.Bond { return m.Bonds },
		idOf: model.Bond.ID, keys: 2, check: model.Bond.Validate,
	},
	&table[Reading]{
		name: model.TableReading, file: "readings.csv", columns: ReadingColumns,
		in:     func(c *Content) *rows[Reading] { return &c.readings },
		of:     asTables,
		finish: settleMode,
		check:  func(r Reading) []model.FieldError { return r.ValidateNew() },
	},
	&table[model.Symptom]{
		name: model.TableSymptom, file: "symptoms.csv", columns: SymptomColumns,
		in:   func(c *Content) *rows[model.Symptom] { return &c.symptoms },
		of:   func(m *model.Machine) []model.Symptom { return m.Symptoms },
		idOf: model.Symptom.ID, keys: 4, check: model.Symptom.Validate,
	},
	&table[model.Event]{
		name: model.TableHistory, file: "history.csv", columns: EventColumns,
		in:   func(c *Content) *rows[model.Event] { return &c.events },
		of:   func(m *model.Machine) []model.Event { return m.Events },
		idOf: model.Event.ID, keys: 4, check: model.Event.Validate,
	},
}

// FileNames returns the names of the tables' files.
func FileNames() []string {
	names := make([]string, len(Tables))
	for i, t := range Tables {
		names[i] = t.File()
	}
	return names
}

type table[T any] struct {
	name    model.Table
	file    string
	columns []Column[T]
	in      func(*Content) *rows[T]
	of      func(*model.Machine) []T
	idOf    func(T) string // nil: rows have no name of their own
	keys    int            // how many of the first columns make the name
	finish  func(*T) error // nil: nothing follows from other cells
	check   func(T) []model.FieldError
}

func (t *table[T]) Name() model.Table { return t.name }

func (t *table[T]) File() string { return t.file }

func (t *table[T]) Header() []string {
	words := make([]string, len(t.columns))
	for i, column := range t.columns {
		words[i] = column.Name
	}
	return words
}

func (t *table[T]) Count(c *Content) (count int, there bool) {
	into := t.in(c)
	return len(into.list), into.file != ""
}

func (t *table[T]) Cells(m *model.Machine, yield func([]string) error) error {
	return t.print(t.of(m), yield)
}

func (t *table[T]) print(list []T, yield func([]string) error) error {
	cells := make([]string, len(t.columns))
	for _, row := range list {
		for i, column := range t.columns {
			cells[i] = column.Print(row)
		}
		if err := yield(cells); err != nil {
			return err
		}
	}
	return nil
}

// rowsPerTick is how many rows are read between two looks at the context.
const rowsPerTick = 4096

// Read reports the first error of the file and counts those after it; where
// the file cannot be split into cells any more, counting ends.
func (t *table[T]) Read(ctx context.Context, into *Content, file string, from RowSource, tick func(rows int)) error {
	target := t.in(into)
	if target.file != "" {
		return &Error{File: file, Problem: "the table is here already, from " + target.file, Mend: "keep one of the two"}
	}
	header, err := from.Next()
	if errors.Is(err, io.EOF) {
		return &Error{File: file, Line: 1, Problem: "there is no header row", Mend: "write " + strings.Join(t.Header(), ",")}
	}
	if err != nil {
		return nameColumnOf(err, nil)
	}
	places, words, err := t.readHeader(file, header)
	if err != nil {
		return err
	}
	target.file = file
	reader := rowReader[T]{table: t, file: file, places: places, words: words, decimalComma: from.DecimalComma()}
	reader.leaveOut(header.Line)
	target.absent, target.doubts = reader.absent, map[int]*Error{}
	if t.idOf != nil {
		reader.seen = map[string]int32{}
	}
	var first *Error
	for count := 0; ; count++ {
		if count%rowsPerTick == 0 {
			if err := ctx.Err(); err != nil {
				return fmt.Errorf("%s: reading was stopped; nothing was changed: %w", file, err)
			}
			tick(len(target.list))
		}
		row, err := from.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			if first == nil {
				return nameColumnOf(err, words)
			}
			first.More++
			break
		}
		value, problem, doubt := reader.read(row)
		if problem != nil {
			if first == nil {
				first = problem
			} else {
				first.More++
			}
			continue
		}
		if first == nil {
			if doubt != nil {
				target.doubts[len(target.list)] = doubt
			}
			target.list = append(target.list, value)
			target.lines = append(target.lines, int32(row.Line))
		}
	}
	tick(len(target.list))
	if first != nil {
		return first
	}
	return nil
}

// nameColumnOf turns what the scanner reports about a cell into an *Error with
// the column's word.
func nameColumnOf(err error, words []string) error {
	var atCell *cellError
	if !errors.As(err, &atCell) {
		return err
	}
	named := atCell.at
	if atCell.cell < len(words) {
		named.Column = words[atCell.cell]
	} else if words == nil {
		named.Column = fmt.Sprint(atCell.cell + 1)
	}
	return &named
}
