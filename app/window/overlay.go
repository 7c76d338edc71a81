package window

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/look"
)

// overlay is a card over the work: the caution, the files, the keys. It is no
// dialog: Escape puts it away, and nothing waits for it but what asked for it.
type overlay struct {
	object *fyne.Container
	closed func()
}

func newOverlay() *overlay {
	o := &overlay{object: container.NewStack()}
	o.object.Hide()
	return o
}

// show puts a card up, in the place of the one that is up. closed, which may be
// nil, is called when it goes.
func (o *overlay) show(card fyne.CanvasObject, width float32, closed func()) {
	o.hide()
	t := look.Now()
	veil := canvas.NewRectangle(color.NRGBA{R: t.Sunken.R, G: t.Sunken.G, B: t.Sunken.B, A: 190})
	ground := canvas.NewRectangle(t.Raised)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Accent, 1.5, 5
	sheet := container.NewStack(ground, look.Inset(18, card))
	o.object.Objects = []fyne.CanvasObject{veil, container.New(&column{width: width}, sheet)}
	o.closed = closed
	o.object.Show()
	o.object.Refresh()
}

// up is true while a card is up.
func (o *overlay) up() bool { return o.object.Visible() }

func (o *overlay) hide() {
	if !o.up() {
		return
	}
	o.object.Hide()
	o.object.RemoveAll()
	if closed := o.closed; closed != nil {
		o.closed = nil
		closed()
	}
}

// column lays one object in the middle, as wide as asked for where there is
// room, and as high as it needs.
type column struct{ width float32 }

var _ fyne.Layout = (*column)(nil)

const columnAside = 24

func (c *column) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, object := range objects {
		width := min(c.width, size.Width-2*columnAside)
		object.Resize(fyne.NewSize(width, object.MinSize().Height)) // wrapped text knows its height once it has its width
		height := min(object.MinSize().Height, size.Height-2*columnAside)
		object.Resize(fyne.NewSize(width, height))
		object.Move(fyne.NewPos((size.Width-width)/2, max((size.Height-height)/3, columnAside)))
	}
}

func (c *column) MinSize(objects []fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, 100) }

// spaced is a gap between the parts of a card.
func spaced() fyne.CanvasObject { return look.Gap(10) }
