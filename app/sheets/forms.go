package sheets

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"time"

	"bellout/app/textout"
	"bellout/model"
	"bellout/model/tables"
)

// write puts a table into a form.
func (t *Table) write(ctx context.Context, out io.Writer, form Form, job Job) error {
	switch form {
	case CSV:
		return t.writeCSV(ctx, out, job)
	case JSON:
		return t.writeJSON(ctx, out, job)
	case XLSX:
		return t.writeXLSX(ctx, out, job)
	default:
		return t.writeText(ctx, out, job)
	}
}

// each fills row after row, and between them looks whether it should go on.
func (t *Table) each(ctx context.Context, job Job, do func(cells []Cell) error) error {
	cells := make([]Cell, len(t.Columns))
	for i := range t.Len {
		if i%rowsPerLook == 0 {
			if err := job.step(ctx, t.Title, i, t.Len); err != nil {
				return err
			}
		}
		t.Fill(i, cells)
		if err := do(cells); err != nil {
			return err
		}
	}
	return job.step(ctx, t.Title, t.Len, t.Len)
}

// rowsPerLook is how many rows are written between two looks at the context.
const rowsPerLook = 4096

// writeCSV writes a header and the rows as import writes its own tables; see
// tables.Guard for texts that a spreadsheet would take for a formula.
func (t *Table) writeCSV(ctx context.Context, out io.Writer, job Job) error {
	rows := tables.NewWriter(out)
	words := make([]string, len(t.Columns))
	for at, column := range t.Columns {
		words[at] = column.Name
	}
	if err := rows.Write(words); err != nil {
		return err
	}
	err := t.each(ctx, job, func(cells []Cell) error {
		for at, cell := range cells {
			words[at] = cell.Print(t.Columns[at])
		}
		return rows.Write(words)
	})
	if err != nil {
		return err
	}
	return rows.Flush()
}

// writeJSON writes one object with the list of rows, a row a line. A number or
// time not known is null, an empty list [].
func (t *Table) writeJSON(ctx context.Context, out io.Writer, job Job) error {
	w := &jsonWriter{out: bufio.NewWriterSize(out, 64<<10)}
	keys := make([][]byte, len(t.Columns))
	for at, column := range t.Columns {
		keys[at] = []byte(`,` + strconv.Quote(cmp.Or(column.Key, column.Name)) + `:`)
	}
	w.raw(`{` + strconv.Quote(t.Name) + `:[`)
	first := true
	err := t.each(ctx, job, func(cells []Cell) error {
		if !first {
			w.raw(",")
		}
		first = false
		w.raw("\n{")
		for at, cell := range cells {
			key := keys[at]
			if at == 0 {
				key = key[1:]
			}
			w.out.Write(key) // errors stay with the writer and come up with Flush
			w.cell(t.Columns[at], cell)
		}
		w.raw("}")
		return w.err
	})
	if err != nil {
		return err
	}
	w.raw("\n]}\n")
	if w.err != nil {
		return w.err
	}
	return w.out.Flush()
}

type jsonWriter struct {
	out *bufio.Writer
	err error
}

func (w *jsonWriter) raw(text string) { w.out.WriteString(text) } // errors stay with the writer

func (w *jsonWriter) text(text string) {
	if plainJSON(text) {
		w.out.WriteByte('"')
		w.out.WriteString(text)
		w.out.WriteByte('"')
		return
	}
	quoted, err := quoteJSON(text)
	if err != nil && w.err == nil {
		w.err = err
	}
	w.out.Write(quoted)
}

func (w *jsonWriter) cell(column Column, cell Cell) {
	switch column.Kind {
	case Number:
		w.number(cell.Number)
	case Numbers:
		w.raw("[" + strings.Join(cell.List, ",") + "]")
	case Moment:
		if cell.Text == "" {
			w.raw("null")
			return
		}
		w.text(cell.Text)
	case YesNo:
		w.raw(strconv.FormatBool(cell.Yes))
	case List:
		w.raw("[")
		for i, word := range cell.List {
			if i > 0 {
				w.raw(",")
			}
			w.text(word)
		}
		w.raw("]")
	default:
		w.text(cell.Text)
	}
}

func (w *jsonWriter) number(n model.Optional) {
	written, err := json.Marshal(n)
	if err != nil && w.err == nil {
		w.err = err
	}
	w.out.Write(written)
}

// plainJSON says whether a text stands in JSON as it is.
func plainJSON(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c >= 0x7f || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}

// writeText writes a page for people, as wide as the narrowest terminal that is
// in use.
func (t *Table) writeText(ctx context.Context, out io.Writer, job Job) error {
	p := textout.New(out, textout.DefaultWidth, false)
	head(p, job, t.Title, t.Counts)
	if t.Caution != "" {
		p.Text(t.Caution)
		p.Gap()
	}
	var columns []textout.Column
	var above, below []int
	for at, column := range t.Columns {
		switch {
		case column.FilesOnly:
		case column.Below != "":
			below = append(below, at)
		default:
			above = append(above, at)
			columns = append(columns, textout.Column{Title: column.Heading(), Right: column.Kind == Number, Wrap: column.Wrap})
		}
	}
	rows := make([][]string, 0, t.Len)
	details := make([]string, 0, t.Len)
	err := t.each(ctx, job, func(cells []Cell) error {
		row := make([]string, len(above))
		for to, from := range above {
			row[to] = cells[from].Print(t.Columns[from])
		}
		rows, details = append(rows, row), append(details, t.detail(cells, below))
		return nil
	})
	if err != nil {
		return err
	}
	p.Detailed(columns, rows, details)
	return p.Flush()
}

// detail writes the cells that stand below their row in words.
func (t *Table) detail(cells []Cell, below []int) string {
	text := ""
	for _, at := range below {
		column := t.Columns[at]
		said := cells[at].Print(column)
		if said == "" {
			continue
		}
		phrase := strings.Replace(column.Below, "%s", said, 1)
		switch {
		case text == "":
			phrase = strings.TrimLeft(phrase, " ,")
		case phrase[0] != ' ' && phrase[0] != ',': // it goes on with what stands before
			phrase = "; " + phrase
		}
		text += phrase
	}
	return text
}

// head opens a page of text: what it is, of which machine, from when.
func head(p *textout.Page, job Job, title, counts string) {
	p.Text(title + " of " + job.Title)
	p.Text("Printed " + job.Printed.Format(time.RFC3339) + ", " + counts + ".")
	p.Text("Shows the map as it stood then. It does not say that anything is safe to touch.")
	p.Gap()
}

// quoteJSON writes a text as JSON does, but for what only a browser would need, and
// clean as on a page.
func quoteJSON(text string) ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(text); err != nil {
		return nil, err
	}
	return textout.CleanJSON(bytes.TrimSuffix(out.Bytes(), []byte("\n"))), nil
}
