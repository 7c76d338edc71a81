package book

import (
	"image/color"
	"strings"

	"bellout/app/drawing"
	"bellout/model"
)

// column is one column of a printed table.
type column struct {
	title string
	right bool
	mono  bool
	bold  bool
	least float64 // millimetres; 0: a few letters
	most  float64 // of its width before it wraps; 0: a third of the page
	fixed float64 // exactly so wide, as for boxes to be ticked and lines to write on
}

// cell is what stands in one place of a table.
type cell struct {
	text   string
	late   func(*Bound) string // instead of text: known when pages are numbered
	link   string              // an anchor
	bold   bool
	colour color.NRGBA
	swatch model.Colour // drawn before the text
	tick   bool         // a box to be ticked by hand
	shade  bool         // a cell to be written into
}

func say(text string) cell { return cell{text: text} }

// cells are cells of plain texts.
func cells(texts ...string) []cell {
	row := make([]cell, len(texts))
	for i, text := range texts {
		row[i].text = text
	}
	return row
}

// row is one row of a table.
type row struct {
	cells  []cell
	head   string  // instead of cells: a heading across the table, kept with the row after it
	anchor string  // that leads here
	least  float64 // height, as where one writes by hand
	titles bool    // the heads of the columns
}

// table is a table that breaks between rows, its heads repeated on every page.
type table struct {
	columns []column
	rows    []row
	size    float64 // of the type; 0: smallSize
	grid    bool    // upright lines too
	of      string  // what it is a table of, said again where it goes on
}

func (t *table) add(cells ...cell) { t.rows = append(t.rows, row{cells: cells}) }

func (t *table) head(text string) { t.rows = append(t.rows, row{head: text}) }

const (
	cellPad     = 0.9  // left and right of a cell's text
	mostLines   = 24   // of one cell
	swatchWidth = 4.6  // with its gap
	mostWord    = 20.0 // up to which a word is not broken where columns give way
	lateWidth   = 13.0 // of what is known later, such as 112/C4
)

func (c column) face(bold bool) drawing.Face {
	switch {
	case c.mono && (c.bold || bold):
		return drawing.MonoBold
	case c.mono:
		return drawing.Mono
	case c.bold || bold:
		return drawing.Bold
	}
	return drawing.Regular
}

// widths divides the width among the columns: as wide as their longest text where
// there is room, else those that wrap give way.
func (t *table) widths(total float64) []float64 {
	natural, least := make([]float64, len(t.columns)), make([]float64, len(t.columns))
	for i, c := range t.columns {
		if c.fixed > 0 {
			natural[i], least[i] = c.fixed, c.fixed
			continue
		}
		most := c.most
		if most == 0 {
			most = total / 3
		}
		head := drawing.Measure(c.title, t.size, drawing.Bold)
		widest, word := head, 0.0
		for _, r := range t.rows {
			if r.head != "" || i >= len(r.cells) {
				continue
			}
			width := 0.0
			switch cell := &r.cells[i]; {
			case cell.late != nil:
				width = lateWidth
			case len(cell.text) > 400:
				width = most
			default:
				width = drawing.Measure(cell.text, t.size, c.face(cell.bold))
				if len(cell.text) < 40 {
					for part := range strings.FieldsSeq(cell.text) {
						word = max(word, drawing.Measure(part, t.size, c.face(cell.bold)))
					}
				}
				if cell.swatch != "" {
					width, word = width+swatchWidth, word+swatchWidth
				}
			}
			widest = max(widest, width)
		}
		// A hair more, so that a text is not broken by a rounding error.
		natural[i] = min(widest, most) + 2*cellPad + 0.05
		least[i] = min(natural[i], max(c.least, head+2*cellPad+0.05, min(word, mostWord)+2*cellPad+0.05, 9))
	}
	sum, bottom := 0.0, 0.0
	for i := range natural {
		sum, bottom = sum+natural[i], bottom+least[i]
	}
	widths := make([]float64, len(natural))
	switch {
	case sum <= total: // the rest goes to those that are not fixed, by their width
		loose := 0.0
		for i, c := range t.columns {
			if c.fixed == 0 {
				loose += natural[i]
			}
		}
		for i, c := range t.columns {
			widths[i] = natural[i]
			if c.fixed == 0 {
				widths[i] += (total - sum) * natural[i] / loose
			} else if loose == 0 {
				widths[i] += (total - sum) / float64(len(t.columns))
			}
		}
	case bottom < total:
		for i := range natural {
			widths[i] = least[i] + (natural[i]-least[i])*(total-bottom)/(sum-bottom)
		}
	default:
		for i := range natural {
			widths[i] = least[i] * total / bottom
		}
	}
	return widths
}

// laidRow is a row with its lines broken.
type laidRow struct {
	*row
	lines  [][]string
	height float64
}

func (t *table) faceOf(r *row, i int) drawing.Face {
	if r.titles {
		return drawing.Bold
	}
	return t.columns[i].face(r.cells[i].bold)
}

func (t *table) lay(r *row, widths []float64, total float64) laidRow {
	l := laidRow{row: r}
	if r.head != "" {
		lines := drawing.Wrap(r.head, t.size*1.1, drawing.Bold, total-2*cellPad, 2)
		l.lines = [][]string{lines}
		l.height = float64(len(lines))*t.size*1.1*lead + 2.2
		return l
	}
	l.lines = make([][]string, len(r.cells))
	most := 1
	for i := range r.cells {
		c := &r.cells[i]
		if c.late != nil || c.tick {
			continue
		}
		room := widths[i] - 2*cellPad
		if c.swatch != "" {
			room -= swatchWidth
		}
		l.lines[i] = drawing.Wrap(c.text, t.size, t.faceOf(r, i), room, mostLines)
		most = max(most, len(l.lines[i]))
	}
	l.height = max(float64(most)*t.size*lead+1, r.least)
	return l
}

// table sets a table.
func (fl *flow) table(t *table) {
	if t.size == 0 {
		t.size = smallSize
	}
	widths := t.widths(fl.width())
	head := t.headRow()
	laidHead := t.lay(&head, widths, fl.width())
	for i := 0; i < len(t.rows); i++ {
		r := t.lay(&t.rows[i], widths, fl.width())
		need := r.height
		if r.head != "" && i+1 < len(t.rows) { // a heading is not left alone
			need += t.lay(&t.rows[i+1], widths, fl.width()).height
		}
		if i == 0 {
			need += laidHead.height
		}
		before := fl.page
		fl.room(need)
		if fl.page != before && i > 0 && t.of != "" {
			fl.page.text(fl.left(), fl.y+bodySize, bodySize, drawing.Bold, t.of+", continued", fl.width())
			fl.used(bodySize * lead)
		}
		if i == 0 || fl.page != before {
			fl.setRow(t, laidHead, widths, true)
		}
		fl.setRow(t, r, widths, false)
	}
	if len(t.rows) == 0 {
		fl.room(laidHead.height + 5)
		fl.setRow(t, laidHead, widths, true)
		fl.page.text(fl.left()+cellPad, fl.y+t.size*1.2, t.size, drawing.Regular, "none", fl.width())
		fl.used(t.size * 1.6)
	}
	fl.used(1.5)
}

func (t *table) headRow() row {
	r := row{cells: make([]cell, len(t.columns)), titles: true}
	for i, c := range t.columns {
		r.cells[i] = cell{text: c.title, bold: true}
	}
	return r
}

func (fl *flow) setRow(t *table, r laidRow, widths []float64, isHead bool) {
	p, x, top := fl.page, fl.left(), fl.y
	if r.anchor != "" {
		p.anchor(r.anchor, x, top, "")
	}
	if r.head != "" {
		p.rectangle(box(x, top+0.6, fl.right(), top+r.height), 0, 0, noFill, shade)
		for i, line := range r.lines[0] {
			p.text(x+cellPad, top+0.6+t.size*1.1*(1+lead*float64(i)), t.size*1.1, drawing.Bold, line, fl.width()-2*cellPad)
		}
		fl.used(r.height)
		return
	}
	for i := range r.cells {
		fl.setCell(t, &r, i, x, top, widths[i])
		x += widths[i]
		if t.grid && i+1 < len(r.cells) {
			p.line(x, top, x, top+r.height, 0.12, hair)
		}
	}
	weight := 0.12
	c := hair
	if isHead {
		weight, c = 0.4, ink
	}
	p.line(fl.left(), top+r.height, fl.right(), top+r.height, weight, c)
	fl.used(r.height)
}

func (fl *flow) setCell(t *table, r *laidRow, i int, x, top, width float64) {
	p, c := fl.page, &r.cells[i]
	face := t.faceOf(r.row, i)
	size := t.size
	base := top + 0.35 + size
	if c.shade {
		p.rectangle(box(x+0.4, top+0.5, x+width-0.4, top+r.height-0.5), 0, 0.15, hair, noFill)
	}
	if c.tick {
		p.tick(x+cellPad, base+0.2, size)
		return
	}
	if c.late != nil {
		late, room, colour := c.late, width-2*cellPad, orInk(c.colour)
		p.do(func(pen drawing.Pen, b *Bound) {
			if text := late(b); text != "" {
				pen.Text(drawing.Text{At: at(x+cellPad, base), Text: drawing.Fit(text, size, face, room), Size: size, Face: face, Colour: colour})
			}
		})
	}
	from := x + cellPad
	if c.swatch != "" {
		p.swatch(from, base, size*0.8, c.swatch)
		from += swatchWidth
	}
	for n, line := range r.lines[i] {
		if line == "" {
			continue
		}
		text := drawing.Text{At: at(from, base+float64(n)*size*lead), Text: line, Size: size, Face: face, Colour: orInk(c.colour)}
		text.Text = drawing.Fit(line, size, face, x+width-cellPad-from+0.02)
		if t.columns[i].right {
			text.At.X, text.Align = x+width-cellPad, drawing.Right
		}
		p.write(text)
	}
	if c.link != "" {
		p.link(box(x, top, x+width, top+r.height), c.link)
	}
}

func orInk(c color.NRGBA) color.NRGBA {
	if c == noFill {
		return ink
	}
	return c
}

// swatch is a short piece of insulation: the colour is beside its letters, not
// instead of them.
func (p *page) swatch(x, base, height float64, code model.Colour) {
	colours := drawing.Insulation(code)
	const width = 3.2
	if len(colours) == 0 {
		return
	}
	step := width / float64(len(colours))
	for i, c := range colours {
		p.rectangle(box(x+step*float64(i), base-height, x+step*float64(i+1), base), 0, 0, noFill, c)
	}
	p.rectangle(box(x, base-height, x+width, base), 0, 0.15, soft, noFill)
}
