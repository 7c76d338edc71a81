package parts

import (
	"image/color"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
)

// row is one row of the list, used again for whatever row comes into view.
type row struct {
	widget.BaseWidget
	table  *table
	at     int
	ground *canvas.Rectangle
	edge   *canvas.Rectangle // at the left of a marked row, so that colour is not alone
	cells  []*canvas.Text
	texts  []string
	line   *fyne.Container
}

func newRow(t *table) *row {
	r := &row{table: t, ground: canvas.NewRectangle(color.Transparent), edge: canvas.NewRectangle(color.Transparent)}
	r.line = container.New(&cellLayout{r})
	r.ExtendBaseWidget(r)
	return r
}

// Tapped marks the row.
func (r *row) Tapped(*fyne.PointEvent) { r.table.tapped(r.at) }

// fill shows a row of the listing.
func (r *row) fill(at int) {
	p := r.table.place
	r.at = at
	if p.listing == nil || at >= len(p.places) {
		return
	}
	t := look.Now()
	cells := p.listing.Cells(p.places[at])
	if len(r.cells) != len(cells) {
		r.cells = make([]*canvas.Text, len(cells))
		objects := make([]fyne.CanvasObject, len(cells))
		for i := range cells {
			r.cells[i] = canvas.NewText("", t.Ink)
			objects[i] = r.cells[i]
		}
		r.line.Objects = objects
	}
	r.texts = slices.Clone(cells)
	for i, name := range p.listing.Header {
		if name == "at" || name == "failed_at" {
			r.texts[i] = shortMoment(cells[i])
		}
	}
	for i := range cells {
		r.cells[i].Color, r.cells[i].TextSize = t.Ink, t.Size(theme.SizeNameText)
		r.cells[i].TextStyle = fyne.TextStyle{Bold: i == 0}
	}
	marked := r.table.marked[p.listing.Row(p.places[at]).ID()]
	r.ground.FillColor, r.edge.FillColor = t.Raised, color.NRGBA{}
	if at%2 == 1 {
		r.ground.FillColor = t.Ground
	}
	if marked {
		r.ground.FillColor, r.edge.FillColor = t.Chosen, t.Accent
	}
	r.ground.StrokeWidth = 0
	if at == r.table.cursor && (marked || len(r.table.marked) > 0) {
		r.ground.StrokeColor, r.ground.StrokeWidth = t.Accent, 1
	}
	r.line.Layout.Layout(r.line.Objects, r.line.Size())
	r.ground.Refresh()
	r.edge.Refresh()
}

// shortMoment is a time as a row has room for: the day, and the minute where it is
// known. The field under the table has all of it.
func shortMoment(text string) string {
	at, err := time.Parse(time.RFC3339, text)
	switch {
	case err != nil:
		return text
	case at.Hour() == 0 && at.Minute() == 0 && at.Second() == 0:
		return at.Format(time.DateOnly)
	}
	return at.Format("2006-01-02 15:04")
}

// CreateRenderer draws it.
func (r *row) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewStack(r.ground, container.NewBorder(nil, nil, r.edge, nil, r.line)))
}

// MinSize is one line of type high.
func (r *row) MinSize() fyne.Size {
	return fyne.NewSize(60, look.Now().Size(theme.SizeNameText)*1.75)
}

// cellLayout lays cells in the columns of the head, and cuts what is too long.
type cellLayout struct{ row *row }

const cellAside = 6

func (l *cellLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	parts := l.row.table.parts()
	if len(parts) != len(objects) || len(l.row.texts) != len(objects) || size.Width <= 0 {
		return
	}
	sum := float32(0)
	for _, part := range parts {
		sum += part
	}
	const gap = 2
	x, room := float32(0), size.Width-gap*float32(len(objects)-1)
	for i, object := range objects {
		width := room * parts[i] / sum
		cell := object.(*canvas.Text)
		cell.Text = look.Cut(l.row.texts[i], width-cellAside-2, cell.TextSize, cell.TextStyle)
		height := cell.MinSize().Height
		cell.Resize(fyne.NewSize(width-cellAside, height))
		cell.Move(fyne.NewPos(x+cellAside, (size.Height-height)/2))
		cell.Refresh()
		x += width + gap
	}
}

func (l *cellLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(60, 10) }
