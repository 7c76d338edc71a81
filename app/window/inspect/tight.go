package inspect

import "fyne.io/fyne/v2"

// tight lays lines one below the other with nothing between them.
type tight struct{}

var _ fyne.Layout = tight{}

func (tight) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	var top float32
	for _, object := range objects {
		height := object.MinSize().Height
		object.Move(fyne.NewPos(0, top))
		object.Resize(fyne.NewSize(size.Width, height))
		top += height
	}
}

// MinSize asks for no width: a line that is too long is cut at the column's
// edge, and the column can be made wider.
func (tight) MinSize(objects []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(10, 0)
	for _, object := range objects {
		size.Height += object.MinSize().Height
	}
	return size
}
