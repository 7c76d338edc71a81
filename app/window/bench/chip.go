package bench

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
)

// chip is one thing that holds until its cross is pressed.
type chip struct {
	widget.BaseWidget
	ground      *canvas.Rectangle
	text, cross *canvas.Text
	crossed     bool
	tapped      func()
}

func newChip(size sizes, text string, held bool, tapped func()) *chip {
	t := look.Now()
	c := &chip{ground: canvas.NewRectangle(color.Transparent), text: canvas.NewText(text, t.Soft), cross: canvas.NewText("×", t.Ink), crossed: tapped != nil, tapped: tapped}
	c.text.TextSize, c.cross.TextSize = size.text, size.text*1.25
	c.cross.TextStyle = fyne.TextStyle{Bold: true}
	if held {
		c.text.Color, c.text.TextStyle = t.Ink, fyne.TextStyle{Bold: true}
		c.ground.FillColor, c.ground.StrokeColor, c.ground.StrokeWidth = t.Chosen, t.Accent, 1.5
	}
	c.ground.CornerRadius = 3
	c.ExtendBaseWidget(c)
	return c
}

// Tapped takes the condition off.
func (c *chip) Tapped(*fyne.PointEvent) {
	if c.tapped != nil {
		c.tapped()
	}
}

// Cursor shows that it can be pressed.
func (c *chip) Cursor() desktop.Cursor {
	if c.tapped != nil {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// CreateRenderer draws it.
func (c *chip) CreateRenderer() fyne.WidgetRenderer { return &chipRenderer{c} }

type chipRenderer struct{ chip *chip }

func (r *chipRenderer) MinSize() fyne.Size {
	size := r.chip.text.MinSize().Add(fyne.NewSize(14, 9))
	if r.chip.crossed {
		size.Width += r.chip.cross.MinSize().Width + 10
	}
	return size
}

func (r *chipRenderer) Layout(size fyne.Size) {
	c := r.chip
	c.ground.Resize(size)
	text := c.text.MinSize()
	c.text.Move(fyne.NewPos(8, (size.Height-text.Height)/2))
	c.text.Resize(fyne.NewSize(size.Width-16, text.Height))
	cross := c.cross.MinSize()
	c.cross.Hidden = !c.crossed
	c.cross.Move(fyne.NewPos(size.Width-cross.Width-8, (size.Height-cross.Height)/2))
	c.cross.Resize(cross)
}

func (r *chipRenderer) Refresh() {
	for _, object := range r.Objects() {
		object.Refresh()
	}
}

func (r *chipRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.chip.ground, r.chip.text, r.chip.cross}
}

func (r *chipRenderer) Destroy() {}
