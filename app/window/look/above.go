package look

import "fyne.io/fyne/v2"

// Above lays the first object over the second one, and the third, if there is
// one, at the foot. Unlike the toolkit's border it asks how high the first and
// the last are at the width that there is, so that what goes into more lines in a
// small window has room for them.
type Above struct{}

// Layout lays them out.
func (Above) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	top, foot := HeightAt(objects[0], size.Width), float32(0)
	if len(objects) > 2 {
		foot = HeightAt(objects[2], size.Width)
		objects[2].Resize(fyne.NewSize(size.Width, foot))
		objects[2].Move(fyne.NewPos(0, size.Height-foot))
	}
	objects[0].Resize(fyne.NewSize(size.Width, top))
	objects[0].Move(fyne.NewPos(0, 0))
	objects[1].Resize(fyne.NewSize(size.Width, max(size.Height-top-foot, 0)))
	objects[1].Move(fyne.NewPos(0, top))
}

// MinSize is the least that they need.
func (Above) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(0, 0)
	for _, object := range objects {
		if object.Visible() {
			size := object.MinSize()
			least = fyne.NewSize(max(least.Width, size.Width), least.Height+size.Height)
		}
	}
	return least
}
