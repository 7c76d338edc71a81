package sheets

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
)

// row is a paragraph that can be tapped, with a sign before it where there is one.
type row struct {
	widget.BaseWidget
	sign   *canvas.Image
	words  *look.Paragraph
	ground *canvas.Rectangle
	tap    func()
}

func newRow(sign *canvas.Image, words string, tap func()) *row {
	r := &row{sign: sign, words: look.NewParagraph(words, look.Now().Size(theme.SizeNameText), look.Now().Ink, fyne.TextStyle{}), ground: canvas.NewRectangle(color.Transparent), tap: tap}
	r.ground.CornerRadius = 3
	r.ExtendBaseWidget(r)
	return r
}

// Tapped does what the row is for.
func (r *row) Tapped(*fyne.PointEvent) {
	if r.tap != nil {
		r.tap()
	}
}

// MouseIn shows that it can be tapped.
func (r *row) MouseIn(*desktop.MouseEvent) { r.hover(r.tap != nil) }

// MouseMoved does nothing more.
func (r *row) MouseMoved(*desktop.MouseEvent) {}

// MouseOut ends it.
func (r *row) MouseOut() { r.hover(false) }

func (r *row) hover(on bool) {
	r.ground.FillColor = color.Transparent
	if on {
		r.ground.FillColor = look.Now().Hovered
	}
	r.ground.Refresh()
}

// CreateRenderer lays it out.
func (r *row) CreateRenderer() fyne.WidgetRenderer { return &rowRenderer{r} }

type rowRenderer struct{ row *row }

const rowAside, rowAbove, signRoom = 6, 2, 26

func (r *rowRenderer) left() float32 {
	if r.row.sign == nil {
		return rowAside
	}
	return rowAside + signRoom
}

func (r *rowRenderer) MinSize() fyne.Size {
	return fyne.NewSize(40, look.HeightAt(r.row.words, max(r.row.Size().Width-r.left()-rowAside, 60))+2*rowAbove)
}

func (r *rowRenderer) Layout(size fyne.Size) {
	r.row.ground.Resize(size)
	if r.row.sign != nil {
		r.row.sign.Resize(fyne.NewSize(18, 18))
		r.row.sign.Move(fyne.NewPos(rowAside, rowAbove))
	}
	r.row.words.Resize(fyne.NewSize(size.Width-r.left()-rowAside, size.Height-2*rowAbove))
	r.row.words.Move(fyne.NewPos(r.left(), rowAbove))
}

func (r *rowRenderer) Refresh() { r.row.words.Refresh() }

func (r *rowRenderer) Objects() []fyne.CanvasObject {
	list := []fyne.CanvasObject{r.row.ground, r.row.words}
	if r.row.sign != nil {
		list = append(list, r.row.sign)
	}
	return list
}

func (r *rowRenderer) Destroy() {}
