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
	sign        *canvas.Image // before the words, where they are not sure; else nil
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

// doubtful marks a chip that is not sure, by a sign and an empty ground.
func (c *chip) doubtful(sign look.Sign) *chip {
	t := look.Now()
	c.sign = sign.Image(c.text.TextSize * 1.2)
	c.ground.FillColor, c.ground.StrokeColor, c.ground.StrokeWidth = color.Transparent, t.Warn, 1.5
	return c
}

// signRoom is how much the sign takes.
func (c *chip) signRoom() float32 {
	if c.sign == nil {
		return 0
	}
	return c.text.TextSize*1.2 + 6
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
	size := r.chip.text.MinSize().Add(fyne.NewSize(14+r.chip.signRoom(), 9))
	if r.chip.crossed {
		size.Width += r.chip.cross.MinSize().Width + 10
	}
	return size
}

func (r *chipRenderer) Layout(size fyne.Size) {
	c := r.chip
	c.ground.Resize(size)
	text := c.text.MinSize()
	if c.sign != nil {
		side := c.text.TextSize * 1.2
		c.sign.Move(fyne.NewPos(7, (size.Height-side)/2))
		c.sign.Resize(fyne.NewSize(side, side))
	}
	c.text.Move(fyne.NewPos(8+c.signRoom(), (size.Height-text.Height)/2))
	c.text.Resize(fyne.NewSize(size.Width-16-c.signRoom(), text.Height))
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
	objects := []fyne.CanvasObject{r.chip.ground, r.chip.text, r.chip.cross}
	if r.chip.sign != nil {
		objects = append(objects, r.chip.sign)
	}
	return objects
}

func (r *chipRenderer) Destroy() {}
