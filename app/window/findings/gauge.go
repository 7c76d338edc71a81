package findings

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/window/look"
)

// newGauge shows how much of how much is proven, as a bar and as numbers.
func newGauge(what string, done, of int) fyne.CanvasObject {
	t := look.Now()
	words := look.Line(fmt.Sprintf("%d of %d %s", done, of, what), t.Ink, theme.SizeNameText, fyne.TextStyle{})
	full := canvas.NewRectangle(t.Sunken)
	full.StrokeColor, full.StrokeWidth, full.CornerRadius = t.Line, 1, 3
	bar := canvas.NewRectangle(t.Good)
	bar.CornerRadius = 3
	share := float32(0)
	if of > 0 {
		share = float32(done) / float32(of)
	}
	return container.NewVBox(words, container.New(shareLayout{share}, full, bar))
}

// shareLayout lays a bar over the first part of its frame.
type shareLayout struct{ share float32 }

var _ fyne.Layout = shareLayout{}

func (l shareLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(size)
	objects[1].Resize(fyne.NewSize(size.Width*l.share, size.Height))
}

func (shareLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(60, 10) }
