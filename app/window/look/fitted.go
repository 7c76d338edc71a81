package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Fitted is one line that shrinks until all of it is to be read: a reference is
// never cut.
type Fitted struct {
	widget.BaseWidget
	line *canvas.Text
	size float32
}

// NewFitted returns a line in a size and colour.
func NewFitted(text string, size float32, colour color.Color, style fyne.TextStyle) *Fitted {
	f := &Fitted{line: canvas.NewText(text, colour), size: size}
	f.line.TextSize, f.line.TextStyle = size, style
	f.ExtendBaseWidget(f)
	return f
}

// MinSize asks for the height of the full size, so that nothing moves when a
// long text shrinks.
func (f *Fitted) MinSize() fyne.Size {
	return fyne.NewSize(20, fyne.MeasureText(f.line.Text, f.size, f.line.TextStyle).Height)
}

// CreateRenderer draws the line.
func (f *Fitted) CreateRenderer() fyne.WidgetRenderer { return &fittedRenderer{f} }

type fittedRenderer struct{ line *Fitted }

func (r *fittedRenderer) Layout(size fyne.Size) {
	f := r.line
	wide := fyne.MeasureText(f.line.Text, f.size, f.line.TextStyle)
	fits := f.size
	if wide.Width > size.Width && size.Width > 0 {
		fits = float32(int(f.size * size.Width / wide.Width))
		for fits > 6 && fyne.MeasureText(f.line.Text, fits, f.line.TextStyle).Width > size.Width {
			fits--
		}
	}
	f.line.TextSize = fits
	height := f.line.MinSize().Height
	f.line.Resize(fyne.NewSize(size.Width, height))
	f.line.Move(fyne.NewPos(0, (size.Height-height)/2))
	f.line.Refresh()
}

func (r *fittedRenderer) MinSize() fyne.Size           { return r.line.MinSize() }
func (r *fittedRenderer) Refresh()                     { r.Layout(r.line.Size()) }
func (r *fittedRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.line.line} }
func (r *fittedRenderer) Destroy()                     {}
