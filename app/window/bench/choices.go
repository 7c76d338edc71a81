package bench

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
)

// choice is one line of a list under a field.
type choice struct{ text, where string }

// choices is the list under a field. It never takes the keyboard: the field
// hands it the keys, so that typing goes on.
type choices struct {
	widget.BaseWidget
	size  sizes
	items []choice
	rows  []*choiceRow
	at    int
	taken func(int)
	over  int // how many of its rows the pointer is on
	lay   func()
}

func newChoices(size sizes) *choices {
	c := &choices{size: size}
	for i := range mostChoices {
		c.rows = append(c.rows, newChoiceRow(c, i))
	}
	c.ExtendBaseWidget(c)
	c.Hide()
	return c
}

// show lists items, the first of them marked; none closes the list.
func (c *choices) show(items []choice, taken func(int)) {
	c.items, c.taken, c.at = items[:min(len(items), mostChoices)], taken, 0
	if len(c.items) == 0 {
		c.close()
		return
	}
	c.Show()
	c.lay()
	c.Refresh()
}

func (c *choices) open() bool { return c.Visible() }

func (c *choices) close() {
	c.over = 0
	if c.Visible() {
		c.Hide()
	}
}

// pointed is true while the pointer is on the list.
func (c *choices) pointed() bool { return c.open() && c.over > 0 }

func (c *choices) step(by int) {
	c.at = (c.at + by + len(c.items)) % len(c.items)
	c.Refresh()
}

// chosen is the place that is marked; open is false where no list is shown.
func (c *choices) chosen() (at int, open bool) { return c.at, c.open() }

func (c *choices) take(at int) {
	taken := c.taken
	c.close()
	if taken != nil && at < len(c.items) {
		taken(at)
	}
}

// MinSize is as high as the lines that are shown.
func (c *choices) MinSize() fyne.Size {
	return fyne.NewSize(100, float32(len(c.items))*c.rowHeight()+2)
}

func (c *choices) rowHeight() float32 { return float32(int(c.size.text*1.75 + 0.5)) }

// CreateRenderer draws the list.
func (c *choices) CreateRenderer() fyne.WidgetRenderer {
	t := look.Now()
	shadow := canvas.NewRectangle(t.Shadow)
	shadow.CornerRadius = 4
	ground := canvas.NewRectangle(t.Raised)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Accent, 1.5, 3
	return &choicesRenderer{c, shadow, ground}
}

type choicesRenderer struct {
	choices        *choices
	shadow, ground *canvas.Rectangle
}

func (r *choicesRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	r.shadow.Move(fyne.NewPos(-2, 2))
	r.shadow.Resize(size.Add(fyne.NewSize(4, 3)))
	height := r.choices.rowHeight()
	wide := float32(0)
	for i := range r.choices.items {
		wide = max(wide, r.choices.rows[i].text.MinSize().Width)
	}
	for i, row := range r.choices.rows {
		row.indent = wide
		row.Move(fyne.NewPos(1, 1+float32(i)*height))
		row.Resize(fyne.NewSize(size.Width-2, height))
	}
}

func (r *choicesRenderer) MinSize() fyne.Size { return r.choices.MinSize() }

func (r *choicesRenderer) Refresh() {
	c := r.choices
	for i, row := range c.rows {
		if i >= len(c.items) {
			row.Hide()
			continue
		}
		row.set(c.items[i], i == c.at)
		row.Show()
	}
	r.Layout(c.Size())
	for _, row := range c.rows[:len(c.items)] {
		row.Refresh()
	}
	canvas.Refresh(c)
}

func (r *choicesRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.shadow, r.ground}
	for _, row := range r.choices.rows {
		objects = append(objects, row)
	}
	return objects
}

func (r *choicesRenderer) Destroy() {}

// choiceRow is one line: what would be taken, and where that is.
type choiceRow struct {
	widget.BaseWidget
	list        *choices
	number      int
	text, where *canvas.Text
	ground, bar *canvas.Rectangle
	indent      float32
}

func newChoiceRow(list *choices, number int) *choiceRow {
	t := look.Now()
	r := &choiceRow{
		list: list, number: number, text: canvas.NewText("", t.Ink), where: canvas.NewText("", t.Soft),
		ground: canvas.NewRectangle(color.Transparent), bar: canvas.NewRectangle(color.Transparent),
	}
	r.text.TextSize, r.text.TextStyle = list.size.text, fyne.TextStyle{Monospace: true, Bold: true}
	r.where.TextSize = list.size.small
	r.ExtendBaseWidget(r)
	return r
}

func (r *choiceRow) set(item choice, marked bool) {
	t := look.Now()
	r.text.Text, r.where.Text = item.text, item.where
	r.ground.FillColor, r.bar.FillColor = color.Transparent, color.Transparent
	r.text.Color = t.Ink
	if marked {
		r.ground.FillColor, r.bar.FillColor, r.text.Color = t.Chosen, t.Accent, t.Accent
	}
}

// Tapped takes the line.
func (r *choiceRow) Tapped(*fyne.PointEvent) { r.list.take(r.number) }

// MouseIn notes that the pointer is on the list, so that a click on it does not
// count as leaving the field.
func (r *choiceRow) MouseIn(*desktop.MouseEvent) {
	r.list.over++
	if r.list.at != r.number {
		r.list.at = r.number
		r.list.Refresh()
	}
}

// MouseMoved does nothing more.
func (r *choiceRow) MouseMoved(*desktop.MouseEvent) {}

// MouseOut ends it.
func (r *choiceRow) MouseOut() { r.list.over = max(r.list.over-1, 0) }

// CreateRenderer draws the line.
func (r *choiceRow) CreateRenderer() fyne.WidgetRenderer { return &choiceRowRenderer{r} }

type choiceRowRenderer struct{ row *choiceRow }

func (r *choiceRowRenderer) Layout(size fyne.Size) {
	row := r.row
	row.ground.Resize(size)
	row.bar.Resize(fyne.NewSize(4, size.Height))
	high := row.text.MinSize().Height
	row.text.Move(fyne.NewPos(10, (size.Height-high)/2))
	row.text.Resize(fyne.NewSize(row.indent, high))
	left := row.indent + 20
	high = row.where.MinSize().Height
	row.where.Move(fyne.NewPos(left, (size.Height-high)/2))
	row.where.Resize(fyne.NewSize(max(size.Width-left-6, 0), high))
	shorten(row.where, size.Width-left-6)
}

func (r *choiceRowRenderer) MinSize() fyne.Size { return fyne.NewSize(60, r.row.list.rowHeight()) }

func (r *choiceRowRenderer) Refresh() {
	r.Layout(r.row.Size())
	for _, object := range r.Objects() {
		object.Refresh()
	}
}

func (r *choiceRowRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.row.ground, r.row.bar, r.row.text, r.row.where}
}

func (r *choiceRowRenderer) Destroy() {}

// shorten cuts words of description, never a reference, to a width.
func shorten(text *canvas.Text, width float32) {
	if width <= 0 || fyne.MeasureText(text.Text, text.TextSize, text.TextStyle).Width <= width {
		return
	}
	letters := []rune(text.Text)
	low, high := 0, len(letters)
	for low < high {
		middle := (low + high + 1) / 2
		if fyne.MeasureText(string(letters[:middle])+"…", text.TextSize, text.TextStyle).Width <= width {
			low = middle
		} else {
			high = middle - 1
		}
	}
	text.Text = string(letters[:low]) + "…"
}
