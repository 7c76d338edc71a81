package inspect

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/look"
	"bellout/model"
)

// pinned is a photo with pins where terminals are: a click on a pin names it, any
// other click names a place.
type pinned struct {
	widget.BaseWidget
	size    image.Point
	picture *canvas.Image
	pins    []pinMark
	onPin   func(mark string)
	onPlace func(across, down int) // thousandths of the picture
}

type pinMark struct {
	model.PhotoPin
	dot   *canvas.Circle
	plate *canvas.Rectangle
	name  *canvas.Text
}

var (
	_ fyne.Tappable      = (*pinned)(nil)
	_ desktop.Cursorable = (*pinned)(nil)
)

// dotSide is how wide a pin is; the one that is looked at is larger. nearPin is how
// far from its middle a click still means it.
const (
	dotSide = 12
	nearPin = 14
)

func newPinned(picture image.Image, pins []model.PhotoPin, at string) *pinned {
	t := look.Now()
	p := &pinned{size: picture.Bounds().Size(), picture: canvas.NewImageFromImage(picture)}
	for _, pin := range pins {
		mark := pinMark{PhotoPin: pin, dot: canvas.NewCircle(t.Accent), plate: canvas.NewRectangle(t.Raised), name: look.Line(pin.Mark, t.Ink, theme.SizeNameCaptionText, fyne.TextStyle{Monospace: true, Bold: pin.Mark == at})}
		mark.dot.StrokeColor, mark.dot.StrokeWidth = t.Raised, 2 // on any ground
		mark.plate.StrokeColor, mark.plate.StrokeWidth, mark.plate.CornerRadius = t.Line, 1, 3
		if pin.Mark == at {
			mark.plate.StrokeColor, mark.plate.StrokeWidth = t.Accent, 2
			mark.dot.Resize(fyne.NewSquareSize(dotSide * 1.5))
		} else {
			mark.dot.Resize(fyne.NewSquareSize(dotSide))
		}
		p.pins = append(p.pins, mark)
	}
	p.ExtendBaseWidget(p)
	return p
}

func (p *pinned) Cursor() desktop.Cursor { return desktop.CrosshairCursor }

func (p *pinned) Tapped(event *fyne.PointEvent) {
	size := p.Size()
	nearest, mark := float64(nearPin), ""
	for _, pin := range p.pins {
		x, y := pin.at(size)
		if far := math.Hypot(float64(event.Position.X-x), float64(event.Position.Y-y)); far <= nearest {
			nearest, mark = far, pin.Mark
		}
	}
	if mark != "" {
		p.onPin(mark)
		return
	}
	p.onPlace(thousandth(event.Position.X, size.Width), thousandth(event.Position.Y, size.Height))
}

func thousandth(place, of float32) int {
	return int(math.Round(float64(min(max(place/max(of, 1), 0), 1)) * 1000))
}

func (m pinMark) at(size fyne.Size) (x, y float32) {
	return float32(m.Across) / 1000 * size.Width, float32(m.Down) / 1000 * size.Height
}

func (p *pinned) CreateRenderer() fyne.WidgetRenderer {
	objects := []fyne.CanvasObject{p.picture}
	for _, pin := range p.pins {
		objects = append(objects, pin.plate, pin.name, pin.dot)
	}
	return &pinnedRenderer{p, objects}
}

type pinnedRenderer struct {
	of      *pinned
	objects []fyne.CanvasObject
}

func (r *pinnedRenderer) Layout(size fyne.Size) {
	r.of.picture.Resize(size)
	for _, pin := range r.of.pins {
		x, y := pin.at(size)
		side := pin.dot.Size().Width
		pin.dot.Move(fyne.NewPos(x-side/2, y-side/2))
		text := pin.name.MinSize()
		plate := fyne.NewSize(text.Width+6, text.Height+2)
		left := x + side/2 + 2
		if left+plate.Width > size.Width { // it would leave the photo
			left = x - side/2 - 2 - plate.Width
		}
		top := min(max(y-plate.Height/2, 0), max(size.Height-plate.Height, 0))
		pin.plate.Move(fyne.NewPos(left, top))
		pin.plate.Resize(plate)
		pin.name.Move(fyne.NewPos(left+3, top+1))
		pin.name.Resize(text)
	}
}

// MinSize keeps the photo's shape at the width that it was given.
func (r *pinnedRenderer) MinSize() fyne.Size {
	across := r.of.Size().Width
	if across < 60 {
		across = width * 0.8
	}
	return fyne.NewSize(60, across*float32(r.of.size.Y)/float32(max(r.of.size.X, 1)))
}

func (r *pinnedRenderer) Refresh()                     { r.Layout(r.of.Size()) }
func (r *pinnedRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *pinnedRenderer) Destroy()                     {}
