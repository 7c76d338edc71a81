package findings

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
)

// card is one row of the list: a sign, a title, how sure it is, and the words.
type card struct {
	widget.BaseWidget
	sign        look.Sign
	title, sure string
	words       string
	tap         func()
	chosen      bool
	aside       bool
	hovered     bool
}

func newCard(sign look.Sign, title, sure, words string, tap func()) *card {
	c := &card{sign: sign, title: title, sure: sure, words: words, tap: tap}
	c.ExtendBaseWidget(c)
	return c
}

// Tapped looks at what the card is about.
func (c *card) Tapped(*fyne.PointEvent) { c.tap() }

// MouseIn shows that it can be pressed.
func (c *card) MouseIn(*desktop.MouseEvent) { c.hover(true) }

// MouseMoved does nothing more.
func (c *card) MouseMoved(*desktop.MouseEvent) {}

// MouseOut ends it.
func (c *card) MouseOut() { c.hover(false) }

func (c *card) hover(on bool) {
	c.hovered = on
	c.Refresh()
}

func (c *card) choose(on bool) {
	if c.chosen != on {
		c.chosen = on
		c.Refresh()
	}
}

// CreateRenderer draws it.
func (c *card) CreateRenderer() fyne.WidgetRenderer {
	r := &cardRenderer{
		card:   c,
		ground: canvas.NewRectangle(color.Transparent),
		title:  look.NewParagraph(c.title, look.Now().Size(theme.SizeNameText)*1.08, look.Now().Ink, fyne.TextStyle{Bold: true}),
		sure:   canvas.NewText(c.sure, nil),
		words:  look.Prose(c.words),
		aside:  canvas.NewText("set aside", nil),
		sign:   c.sign.Image(26),
	}
	heading := container.NewBorder(nil, nil, nil, container.NewHBox(r.aside, r.sure), r.title)
	r.body = container.New(&look.Leading{Gap: 12, Down: 1}, r.sign, container.New(&look.Rows{Gap: 3}, heading, r.words))
	r.Refresh()
	return r
}

type cardRenderer struct {
	card   *card
	ground *canvas.Rectangle
	title  *look.Paragraph
	sure   *canvas.Text
	aside  *canvas.Text
	words  *look.Paragraph
	sign   *canvas.Image
	body   *fyne.Container
	wide   float32 // the width that high is for
	high   float32
}

// Room round what a card says.
const aside, above = 12, 9

func (r *cardRenderer) MinSize() fyne.Size {
	if width := max(r.card.Size().Width-2*aside, 100); width != r.wide {
		r.wide, r.high = width, look.HeightAt(r.body, width)+2*above
	}
	return fyne.NewSize(10, r.high)
}

func (r *cardRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	r.body.Move(fyne.NewPos(aside, above))
	r.body.Resize(fyne.NewSize(size.Width-2*aside, size.Height-2*above))
}

func (r *cardRenderer) Refresh() {
	t, c := look.Now(), r.card
	r.ground.FillColor, r.ground.StrokeColor, r.ground.StrokeWidth, r.ground.CornerRadius = t.Raised, t.Line, 1, 4
	if c.chosen {
		r.ground.FillColor, r.ground.StrokeColor, r.ground.StrokeWidth = t.Chosen, t.Accent, 2
	} else if c.hovered {
		r.ground.StrokeColor = t.Accent
	}
	ink := t.Ink
	if c.aside {
		ink = t.Soft
	}
	r.title.Set(c.title, ink)
	r.sure.Color, r.sure.TextSize, r.sure.TextStyle = ink, t.Size(theme.SizeNameText), fyne.TextStyle{Bold: true}
	r.aside.Color, r.aside.TextSize, r.aside.Hidden = t.Soft, t.Size(theme.SizeNameCaptionText), !c.aside
	r.words.Set(c.words, ink)
	for _, object := range []fyne.CanvasObject{r.ground, r.title, r.sure, r.aside, r.words} {
		object.Refresh()
	}
}

func (r *cardRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.ground, r.body} }

func (r *cardRenderer) Destroy() {}
