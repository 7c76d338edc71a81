package sheets

import (
	"encoding/csv"
	"fmt"
	"image/color"
	"strconv"
	"strings"

	"bellout/app/drawing"
	"bellout/assets"
)

// LabelSheet says how labels lie on a sheet of paper. Lengths are millimetres.
type LabelSheet struct {
	Name               string
	Letter             bool // ANSI Letter; else A4
	Width, Height      float64
	Columns, Rows      int
	Left, Top          float64 // of the first label
	StepX, StepY       float64 // from label to label
	Printed            float64 // height of the part that is printed, from the top
	About              string
	PageWide, PageHigh float64
}

// LabelSheets lists the sheets that come with the program.
func LabelSheets() []LabelSheet {
	list, err := ReadLabelSheets(assets.Labels)
	if err != nil {
		panic("assets: labels.csv: " + err.Error()) // a test reads it
	}
	return list
}

// FindLabelSheet returns the sheet of a name; the error lists those there are.
func FindLabelSheet(name string) (LabelSheet, error) {
	var names []string
	for _, s := range LabelSheets() {
		if s.Name == name {
			return s, nil
		}
		names = append(names, s.Name)
	}
	return LabelSheet{}, fmt.Errorf("no sheet of labels %q; write one of %s", name, strings.Join(names, ", "))
}

// ReadLabelSheets reads the table of assets/labels.csv, or another of its form.
// Errors name the line and what is wrong in it.
func ReadLabelSheets(text string) ([]LabelSheet, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var list []LabelSheet
	for i, row := range rows {
		if i == 0 {
			continue
		}
		if len(row) != 12 {
			return nil, fmt.Errorf("line %d: %d cells; there are 12", i+1, len(row))
		}
		s := LabelSheet{Name: row[0], Letter: row[1] == "letter", About: row[11], PageWide: 210, PageHigh: 297}
		if s.Letter {
			s.PageWide, s.PageHigh = 215.9, 279.4
		}
		for at, to := range map[int]*float64{2: &s.Width, 3: &s.Height, 6: &s.Left, 7: &s.Top, 8: &s.StepX, 9: &s.StepY, 10: &s.Printed} {
			if *to, err = strconv.ParseFloat(row[at], 64); err != nil || !(*to > 0) {
				return nil, fmt.Errorf("line %d: %q in column %s is no length in millimetres", i+1, row[at], rows[0][at])
			}
		}
		for at, to := range map[int]*int{4: &s.Columns, 5: &s.Rows} {
			if *to, err = strconv.Atoi(row[at]); err != nil || *to < 1 {
				return nil, fmt.Errorf("line %d: %q in column %s is no count", i+1, row[at], rows[0][at])
			}
		}
		right, foot := s.Left+float64(s.Columns-1)*s.StepX+s.Width, s.Top+float64(s.Rows-1)*s.StepY+s.Height
		if right > s.PageWide || foot > s.PageHigh || s.StepX < s.Width || s.StepY < s.Height || s.Printed > s.Height {
			return nil, fmt.Errorf("line %d: the labels of %s lie over each other or off the paper; look at its sizes and steps", i+1, s.Name)
		}
		list = append(list, s)
	}
	return list, nil
}

// DrawLabels draws labels onto sheets, row by row.
func DrawLabels(doc drawing.Document, sheet LabelSheet, list []Label) {
	per := sheet.Columns * sheet.Rows
	for first := 0; first < max(len(list), 1); first += per {
		pen := doc.Page(sheet.PageWide, sheet.PageHigh, fmt.Sprintf("Labels %d", first/per+1))
		for i, label := range list[first:min(first+per, len(list))] {
			x := sheet.Left + float64(i%sheet.Columns)*sheet.StepX
			y := sheet.Top + float64(i/sheet.Columns)*sheet.StepY
			sheet.label(pen, x, y, label, fmt.Sprintf("row %d", first+i+1))
		}
	}
}

var labelInk = color.NRGBA{A: 255}

// label draws one label: its first line as large as there is room.
func (s LabelSheet) label(pen drawing.Pen, x, y float64, label Label, row string) {
	grey := color.NRGBA{R: 170, G: 170, B: 170, A: 255}
	pen.Rectangle(drawing.Box{Min: drawing.Point{X: x, Y: y}, Max: drawing.Point{X: x + s.Width, Y: y + s.Height}}, 0, drawing.Stroke{Colour: grey, Width: 0.08}, color.NRGBA{})
	halves := 1
	if strings.HasPrefix(s.Name, "flag") { // the same on both sides of the fold
		halves = 2
	}
	width := s.Width / float64(halves)
	for i := range halves {
		s.words(pen, x+float64(i)*width, y, width, label, row)
	}
}

// legible is the smallest type, in millimetres, that a label is read in by eye at
// arm's length; below that a text is cut.
const legible = 1.8

// words sets the three lines of a label. row says in which row of the list the
// whole text stands, where a line had to be cut.
func (s LabelSheet) words(pen drawing.Pen, x, y, width float64, label Label, row string) {
	const pad = 1.0
	parts := []struct {
		text  string
		share float64 // of the printed height
		face  drawing.Face
	}{{label.Head, 0.4, drawing.MonoBold}, {label.Near, 0.27, drawing.Regular}, {label.Far, 0.27, drawing.Regular}}
	base := y + 0.5
	for _, part := range parts {
		room := s.Printed * part.share
		lines, size := layLabel(part.text, part.face, width-2*pad, room, row)
		step := room / float64(len(lines))
		for _, line := range lines {
			base += step
			pen.Text(drawing.Text{At: drawing.Point{X: x + width/2, Y: base - step*0.2}, Text: line, Size: size, Face: part.face, Align: drawing.Centre, Colour: labelInk})
		}
	}
}

// layLabel sets a text into a width and a height: in one line as large as there is
// room, else in several, and at the last cut, with the row of the list that has
// it whole.
func layLabel(text string, face drawing.Face, width, height float64, row string) (lines []string, size float64) {
	full := height / 1.15
	for size = full; size >= min(legible, full); size *= 0.95 {
		if drawing.Measure(text, size, face) <= width {
			return []string{text}, size
		}
	}
	most := max(1, int(full/legible))
	for n := 2; n <= most; n++ {
		size = full / float64(n)
		if lines = drawing.Wrap(text, size, face, width, n+1); len(lines) <= n {
			return lines, size
		}
	}
	size = min(legible, full)
	pointer := " " + row
	if drawing.Measure("MM…"+pointer, size, face) > width {
		pointer = "" // no room to say where
	}
	tail := "…" + pointer
	if lines = []string{text}; most > 1 {
		lines = drawing.Wrap(text, size, face, width, most)
	}
	last := strings.TrimSuffix(lines[len(lines)-1], "…")
	last = strings.TrimSuffix(drawing.Fit(last, size, face, width-drawing.Measure(tail, size, face)), "…")
	lines[len(lines)-1] = strings.TrimSpace(last) + tail
	return lines, size
}
