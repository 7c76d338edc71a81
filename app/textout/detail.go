package textout

import "strings"

// detailIndent is how far a detail stands in below its row.
const detailIndent = "      "

// Detailed writes a table, and below each row what its details say, wrapped and
// set in; a row with an empty detail stands alone. There are as many details as
// rows.
func (p *Page) Detailed(columns []Column, rows [][]string, details []string) {
	columns, rows = p.withoutEmpty(columns, rows)
	if len(rows) == 0 {
		return
	}
	widths := p.columnWidths(columns, rows)
	titles := make([]string, len(columns))
	for i, column := range columns {
		titles[i] = p.Paint(Strong, column.Title)
	}
	p.row(columns, widths, titles)
	for i, row := range rows {
		p.row(columns, widths, row)
		if strings.TrimSpace(details[i]) != "" {
			p.Hanging(detailIndent, details[i])
		}
	}
}
