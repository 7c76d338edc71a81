package chart

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"bellout/app/drawing"
)

// corner lays the first object over all of the room and the others into its upper
// right corner, so wide.
type corner struct{ width float32 }

func (c *corner) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	const aside = 10
	for i, object := range objects {
		if i == 0 {
			object.Move(fyne.NewPos(0, 0))
			object.Resize(size)
			continue
		}
		width := min(c.width, size.Width-2*aside)
		object.Resize(fyne.NewSize(width, object.MinSize().Height))
		object.Move(fyne.NewPos(size.Width-width-aside, aside))
	}
}

func (c *corner) MinSize(objects []fyne.CanvasObject) fyne.Size { return objects[0].MinSize() }

// oneLine lays out a text that may be longer than its room: it asks for none, and
// is cut to what there is by then.
type oneLine struct{ then func() }

func (l *oneLine) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, object := range objects {
		object.Move(fyne.NewPos(0, 0))
		object.Resize(size)
	}
	l.then()
}

func (*oneLine) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(1, objects[0].MinSize().Height)
}

// fixedWidth gives a text that changes a room that does not, and centres it
// upright.
type fixedWidth struct{ width float32 }

func (f *fixedWidth) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, object := range objects {
		height := object.MinSize().Height
		object.Move(fyne.NewPos(0, (size.Height-height)/2))
		object.Resize(fyne.NewSize(size.Width, height))
	}
}

func (f *fixedWidth) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(f.width, objects[0].MinSize().Height)
}

// fitted cuts a text to its room.
func fitted(line *canvas.Text, text string) string {
	room := float64(line.Size().Width)
	if room < 20 {
		return text
	}
	return drawing.Fit(text, float64(line.TextSize), drawing.Regular, room)
}
