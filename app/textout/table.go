package textout

import (
	"slices"
	"strings"
)

// Column is one column of a table.
type Column struct {
	Title string
	Right bool // numbers line up at their right end
	Wrap  bool // a long cell takes several lines; the widest columns give way first
}

const columnGap = "  "

// Table writes rows under their titles. A cell is cut nowhere: columns that
// wrap share what the others leave of the page's width, and where even that is
// too little the table is wider than the page. A column that is empty in every
// row is left out.
func (p *Page) Table(columns []Column, rows [][]string) {
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
	for _, row := range rows {
		p.row(columns, widths, row)
	}
}

// withoutEmpty leaves out the columns that say nothing, and cleans the rest.
func (p *Page) withoutEmpty(columns []Column, rows [][]string) ([]Column, [][]string) {
	kept := []int{}
	for i := range columns {
		if slices.ContainsFunc(rows, func(row []string) bool { return row[i] != "" }) {
			kept = append(kept, i)
		}
	}
	left := make([]Column, len(kept))
	for to, from := range kept {
		left[to] = columns[from]
	}
	out := make([][]string, len(rows))
	for r, row := range rows {
		out[r] = make([]string, len(kept))
		for to, from := range kept {
			out[r][to] = p.clean(row[from])
		}
	}
	return left, out
}

// columnWidths gives every column the width of its widest cell, then takes from
// the widest wrapping column until the table fits.
func (p *Page) columnWidths(columns []Column, rows [][]string) []int {
	widths := make([]int, len(columns))
	least := make([]int, len(columns))
	total := len(columnGap) * (len(columns) - 1)
	for i, column := range columns {
		widths[i] = Width(column.Title)
		for _, row := range rows {
			widths[i] = max(widths[i], Width(row[i]))
		}
		least[i] = widths[i]
		if column.Wrap {
			least[i] = min(widths[i], max(Width(column.Title), 12))
		}
		total += widths[i]
	}
	for total > p.width {
		widest := -1
		for i := range columns {
			if widths[i] > least[i] && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
		total--
	}
	return widths
}

func (p *Page) row(columns []Column, widths []int, cells []string) {
	lines := make([][]string, len(cells))
	height := 1
	for i, cell := range cells {
		lines[i] = []string{cell}
		if Width(cell) > widths[i] {
			lines[i] = wrap(cell, widths[i])
		}
		height = max(height, len(lines[i]))
	}
	for at := range height {
		var line strings.Builder
		for i := range cells {
			text := ""
			if at < len(lines[i]) {
				text = lines[i][at]
			}
			if i > 0 {
				line.WriteString(columnGap)
			}
			pad := strings.Repeat(" ", max(0, widths[i]-Width(text)))
			if columns[i].Right {
				line.WriteString(pad + text)
			} else {
				line.WriteString(text + pad)
			}
		}
		p.write(strings.TrimRight(line.String(), " ") + "\n")
	}
}
