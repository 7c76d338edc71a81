package sheets

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"bellout/model/tables"
)

// aboutSheet is the sheet that explains the others; import passes it by.
const aboutSheet = "about"

// What a worksheet holds (ECMA-376, as the common programs have it).
const (
	mostSheetRows = 1048576
	mostCellChars = 32767 // UTF-16 units
)

// writeWorkbook writes the machine's tables, each on the sheet of its name.
func writeWorkbook(ctx context.Context, out io.Writer, _ Form, job Job) error {
	sorted := job.Machine.Sorted()
	var list []*Table
	for _, t := range tables.Tables {
		table, err := machineTable(t, sorted)
		if err != nil {
			return err
		}
		list = append(list, table)
	}
	b, err := newBook(job, list, []string{
		"The tables of " + job.Title + ", as they stood on " + job.Printed.Format(timeFormat) + ". They do not say that anything is safe to touch.",
		"Edit them, save the book as .xlsx, and bring it in again: bellout import FILE BOOK.xlsx. All of it is taken, or nothing, with the sheet, the row and the column of the first mistake.",
		"Rows replace those of the same key and new ones are added; a row that you delete here stays in the file. To take a wire out, write yes under removed.",
		"Columns may stand in any order, and one that you do not need may be left out; an empty cell means not known. Cells of text keep what you type: 007, 1E5 and =1+1 stay as they are.",
		"A sheet of your own is passed by when its name begins with _.",
	})
	if err != nil {
		return err
	}
	for at, t := range tables.Tables {
		if err := b.add(ctx, list[at], choices[t.Name()], false); err != nil {
			return err
		}
	}
	return b.write(out)
}

// writeXLSX writes one table as a workbook of its own.
func (t *Table) writeXLSX(ctx context.Context, out io.Writer, job Job) error {
	b, err := newBook(job, []*Table{t}, []string{
		t.Title + " of " + job.Title + ", printed " + job.Printed.Format(timeFormat) + ": " + t.Counts + ".",
		"Shows the map as it stood then. It does not say that anything is safe to touch. It cannot be imported; bellout export --as workbook writes a book that can.",
	})
	if err != nil {
		return err
	}
	if err := b.add(ctx, t, nil, true); err != nil {
		return err
	}
	return b.write(out)
}

// book is a workbook that is being written, its first sheet done.
type book struct {
	job    Job
	file   *excelize.File
	header int // style of a heading
	text   int // style of a cell that keeps what is typed
	number int // style of a number: right, clear of the next column
	right  int // style of a heading over numbers
	wrap   int
}

func newBook(job Job, list []*Table, lines []string) (*book, error) {
	b := &book{job: job, file: excelize.NewFile()}
	var err error
	style := func(s *excelize.Style) int {
		id, failed := b.file.NewStyle(s)
		if err == nil {
			err = failed
		}
		return id
	}
	head := excelize.Style{Font: &excelize.Font{Bold: true, Family: "Calibri", Size: 11}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E6E6E6"}},
		Border: []excelize.Border{{Type: "bottom", Style: 1, Color: "808080"}}, NumFmt: asText}
	b.header = style(&head)
	head.Alignment = &excelize.Alignment{Horizontal: "right", Indent: 1}
	b.right = style(&head)
	b.number = style(&excelize.Style{Alignment: &excelize.Alignment{Horizontal: "right", Indent: 1}})
	b.text = style(&excelize.Style{NumFmt: asText})
	b.wrap = style(&excelize.Style{NumFmt: asText, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	if err != nil {
		return nil, err
	}
	stamp := job.Printed.UTC().Format("2006-01-02T15:04:05Z")
	if err := b.file.SetDocProps(&excelize.DocProperties{Title: clean(job.Title), Created: stamp, Modified: stamp, Creator: "Bellout"}); err != nil {
		return nil, err
	}
	return b, b.about(list, lines)
}

// asText is the number format of text, @: what is typed into such a cell is kept
// as it is typed (ECMA-376 part 1, 18.8.30, id 49).
const asText = 49

// onPaper makes a sheet print as wide as a page lies, with the header on each.
func (b *book) onPaper(sheet string, header bool) error {
	fit, landscape, a4, all := true, "landscape", 9, 0
	if err := b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	if err := b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &landscape, Size: &a4, FitToHeight: &all}); err != nil || !header {
		return err
	}
	return b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: sheet + "!$1:$1", Scope: sheet})
}

// about fills the first sheet: what the book is, and what each column means.
func (b *book) about(list []*Table, lines []string) error {
	if err := b.file.SetSheetName(b.file.GetSheetName(0), aboutSheet); err != nil {
		return err
	}
	if err := b.onPaper(aboutSheet, false); err != nil {
		return err
	}
	rows, err := b.file.NewStreamWriter(aboutSheet)
	if err != nil {
		return err
	}
	for at, width := range []float64{14, 16, 8, 110} {
		if err := rows.SetColWidth(at+1, at+1, width); err != nil {
			return err
		}
	}
	row := 0
	put := func(style int, cells ...string) {
		row++
		values := make([]any, len(cells))
		for at, text := range cells {
			if text != "" {
				values[at] = excelize.Cell{StyleID: style, Value: clean(text)}
			}
		}
		if err == nil {
			err = rows.SetRow("A"+strconv.Itoa(row), values)
		}
	}
	for _, line := range lines {
		put(b.text, line)
	}
	put(b.text)
	put(b.header, "sheet", "column", "unit", "meaning")
	for _, table := range list {
		put(b.wrap, table.Name, "", "", table.Title)
		for _, column := range table.Columns {
			put(b.wrap, "", column.Name, column.Unit, column.About)
		}
	}
	if err != nil {
		return err
	}
	return rows.Flush()
}

// add puts a table on a sheet of its own: a header that stays in view, columns
// as wide as what they hold, numbers as numbers and texts as texts.
func (b *book) add(ctx context.Context, t *Table, offers map[string][]string, cut bool) error {
	if t.Len >= mostSheetRows {
		return fmt.Errorf("%s has %d rows, a worksheet holds %d; export as csv instead", t.Name, t.Len, mostSheetRows-1)
	}
	if _, err := b.file.NewSheet(t.Name); err != nil {
		return err
	}
	if err := b.onPaper(t.Name, true); err != nil {
		return err
	}
	rows, err := b.file.NewStreamWriter(t.Name)
	if err != nil {
		return err
	}
	widths, err := t.widths(ctx)
	if err != nil {
		return err
	}
	header := make([]any, len(t.Columns))
	for at, column := range t.Columns {
		heading, body := b.header, b.text
		if column.Kind == Number {
			heading, body = b.right, b.number
		}
		header[at] = excelize.Cell{StyleID: heading, Value: column.Name}
		if err := rows.SetColWidth(at+1, at+1, widths[at]); err != nil {
			return err
		}
		if err := rows.SetColStyle(at+1, at+1, body); err != nil {
			return err
		}
		if err := b.offer(t.Name, at, offers[column.Name]); err != nil {
			return err
		}
	}
	if err := rows.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	if err := rows.SetRow("A1", header); err != nil {
		return err
	}
	values, line := make([]any, len(t.Columns)), 1
	err = t.each(ctx, b.job, func(cells []Cell) error {
		line++
		for at, cell := range cells {
			if values[at], err = b.value(t.Columns[at], cell, cut); err != nil {
				return fmt.Errorf("sheet %s row %d, column %s: %w", t.Name, line, t.Columns[at].Name, err)
			}
		}
		return rows.SetRow("A"+strconv.Itoa(line), values)
	})
	if err != nil {
		return err
	}
	return rows.Flush()
}

// value is what goes into a cell; nil leaves it empty.
func (b *book) value(column Column, cell Cell, cut bool) (any, error) {
	if column.Kind == Number && cell.Number.Known && exact(cell.Number.Value) {
		return excelize.Cell{StyleID: b.number, Value: cell.Number.Value}, nil
	}
	column.Computed = false // a sheet rounds what it shows by itself
	text := cell.Print(column)
	if column.Kind == Number && cell.Text != "" {
		text = cell.Text
	}
	if text == "" {
		return nil, nil
	}
	text = clean(text)
	if units(text) > mostCellChars {
		if !cut {
			return nil, fmt.Errorf("the text is longer than the %d characters that a cell holds; export as csv instead", mostCellChars)
		}
		text = shorten(text)
	}
	return excelize.Cell{StyleID: b.text, Value: text}, nil
}

// exact says whether a number survives the 15 digits that spreadsheets keep; one
// that does not stands as text, so that it comes back as it was.
func exact(value float64) bool {
	again, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 15, 64), 64)
	return err == nil && again == value
}

// offer lets a column's cells be chosen from a list.
func (b *book) offer(sheet string, at int, list []string) error {
	if len(list) == 0 {
		return nil
	}
	name, err := excelize.ColumnNumberToName(at + 1)
	if err != nil {
		return err
	}
	offer := excelize.NewDataValidation(true)
	offer.SetSqref(name + "2:" + name + strconv.Itoa(mostSheetRows))
	offer.ShowErrorMessage = false // import says what is wrong; the sheet only helps
	if err := offer.SetDropList(list); err != nil {
		return err
	}
	return b.file.AddDataValidation(sheet, offer)
}

// widths returns how wide each column has to be, in characters.
func (t *Table) widths(ctx context.Context) ([]float64, error) {
	const narrowest, computed, widest, first = 8, 13, 60, 2000 // the last: rows that are looked at
	widths := make([]float64, len(t.Columns))
	for at, column := range t.Columns {
		widths[at] = max(narrowest, float64(len(column.Name)+4)) // headings are bold, and set in over numbers
		if column.Computed {
			widths[at] = max(widths[at], computed)
		}
	}
	cells := make([]Cell, len(t.Columns))
	for i := range min(t.Len, first) {
		t.Fill(i, cells)
		for at, cell := range cells {
			column := t.Columns[at]
			column.Computed = true
			widths[at] = min(widest, max(widths[at], float64(utf8.RuneCountInString(cell.Print(column))+2)))
		}
	}
	return widths, ctx.Err()
}

// shorten cuts a list that is longer than a cell between two names, and says so.
func shorten(text string) string {
	const note = " … (the CSV has all of it)"
	kept := []rune(text)
	for units(string(kept)) > mostCellChars-len(note) {
		kept = kept[:len(kept)-max(1, (units(string(kept))-mostCellChars+len(note))/2)]
	}
	short := string(kept)
	if at := strings.LastIndexByte(short, ' '); at > 0 {
		short = short[:at]
	}
	return short + note
}

// units counts the UTF-16 units of a text, by which spreadsheets count.
func units(text string) int {
	count := 0
	for _, r := range text {
		count++
		if r > 0xffff {
			count++
		}
	}
	return count
}

func (b *book) write(out io.Writer) error {
	err := b.file.Write(out)
	if closed := b.file.Close(); err == nil {
		err = closed
	}
	return err
}
