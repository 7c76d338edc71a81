package inspect

import "fyne.io/fyne/v2"

// flow lays objects in rows, as many in each as fit.
type flow struct {
	gap   float32
	width float32 // the last one that was laid out, so that MinSize knows the rows
}

var _ fyne.Layout = (*flow)(nil)

func (f *flow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	f.width = size.Width
	f.walk(objects, func(object fyne.CanvasObject, at fyne.Position) {
		object.Move(at)
		object.Resize(object.MinSize())
	})
}

func (f *flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(10, f.walk(objects, func(fyne.CanvasObject, fyne.Position) {}))
}

// walk puts each object, and returns the height of all rows.
func (f *flow) walk(objects []fyne.CanvasObject, put func(fyne.CanvasObject, fyne.Position)) (height float32) {
	var at fyne.Position
	var row float32
	for _, object := range objects {
		size := object.MinSize()
		if at.X > 0 && at.X+size.Width > max(f.width, width-40) {
			at = fyne.NewPos(0, at.Y+row+f.gap)
			row = 0
		}
		put(object, at)
		at.X += size.Width + f.gap
		row = max(row, size.Height)
	}
	return at.Y + row
}
