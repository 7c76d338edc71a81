package look

import "fyne.io/fyne/v2"

// HeightAt is how high an object is at a width: wrapped text knows it only once
// it has the width.
func HeightAt(object fyne.CanvasObject, width float32) float32 {
	if object == nil || !object.Visible() {
		return 0
	}
	object.Resize(fyne.NewSize(width, object.Size().Height))
	return object.MinSize().Height
}

// Rows lays objects under each other, each as high as it is at the width that
// there is.
type Rows struct {
	Gap   float32
	width float32
}

// Layout lays them out.
func (r *Rows) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	r.width = size.Width
	y := float32(0)
	for _, object := range objects {
		if !object.Visible() {
			continue
		}
		height := HeightAt(object, size.Width)
		object.Resize(fyne.NewSize(size.Width, height))
		object.Move(fyne.NewPos(0, y))
		y += height + r.Gap
	}
}

// MinSize is the least that they need.
func (r *Rows) MinSize(objects []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(0, 0)
	for _, object := range objects {
		if !object.Visible() {
			continue
		}
		if r.width > 0 {
			object.Resize(fyne.NewSize(r.width, object.Size().Height))
		}
		least := object.MinSize()
		size.Width = max(size.Width, least.Width)
		if size.Height > 0 {
			size.Height += r.Gap
		}
		size.Height += least.Height
	}
	if r.width > 0 { // a wide thing is cut, so that the text beside it still wraps
		size.Width = min(size.Width, r.width)
	}
	return size
}

// Flow lays objects side by side, and goes to the next line where there is no
// more room.
type Flow struct {
	Gap   float32
	width float32
}

// Layout lays them out.
func (f *Flow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	f.width = size.Width
	f.walk(objects, func(object fyne.CanvasObject, at fyne.Position, size fyne.Size) {
		object.Resize(size)
		object.Move(at)
	})
}

// MinSize is the least that they need: as wide as the widest, as high as they
// are at the width that there is.
func (f *Flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(0, 0)
	f.walk(objects, func(object fyne.CanvasObject, at fyne.Position, size fyne.Size) {
		least.Width = max(least.Width, object.MinSize().Width)
		least.Height = max(least.Height, at.Y+size.Height)
	})
	return least
}

func (f *Flow) walk(objects []fyne.CanvasObject, place func(fyne.CanvasObject, fyne.Position, fyne.Size)) {
	x, y, high := float32(0), float32(0), float32(0)
	for _, object := range objects {
		if !object.Visible() {
			continue
		}
		size := object.MinSize()
		if x > 0 && f.width > 0 && x+size.Width > f.width {
			x, y, high = 0, y+high+f.Gap, 0
		}
		if f.width > 0 {
			size.Width = min(size.Width, f.width)
		}
		place(object, fyne.NewPos(x, y), size)
		x += size.Width + f.Gap
		high = max(high, size.Height)
	}
}

// Shares lays objects side by side in parts of the width.
type Shares struct {
	Gap   float32
	Parts []float32
}

// Layout lays them out.
func (s *Shares) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	sum := float32(0)
	for _, part := range s.Parts {
		sum += part
	}
	x, room := float32(0), size.Width-s.Gap*float32(len(objects)-1)
	for i, object := range objects {
		width := room * s.Parts[i] / sum
		object.Resize(fyne.NewSize(width, size.Height))
		object.Move(fyne.NewPos(x, 0))
		x += width + s.Gap
	}
}

// MinSize is the least that they need.
func (s *Shares) MinSize(objects []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(s.Gap*float32(len(objects)-1), 0)
	for _, object := range objects {
		least := object.MinSize()
		size.Width += least.Width
		size.Height = max(size.Height, least.Height)
	}
	return size
}

// Leading lays a small object at the left of another one, in line with its
// first line of text.
type Leading struct{ Gap, Down float32 }

// Layout lays them out.
func (l *Leading) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	small := objects[0].MinSize()
	objects[0].Resize(small)
	objects[0].Move(fyne.NewPos(0, l.Down))
	left := small.Width + l.Gap
	objects[1].Resize(fyne.NewSize(max(size.Width-left, 0), size.Height))
	objects[1].Move(fyne.NewPos(left, 0))
}

// MinSize is the least that they need.
func (l *Leading) MinSize(objects []fyne.CanvasObject) fyne.Size {
	small, other := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(small.Width+l.Gap+other.Width, max(small.Height+l.Down, other.Height))
}

// Halves lays two objects side by side in halves of the width, or under each
// other where one is wider than that.
type Halves struct{ Gap, width float32 }

func (h *Halves) fits(objects []fyne.CanvasObject) bool {
	return (h.width-h.Gap)/2 >= max(objects[0].MinSize().Width, objects[1].MinSize().Width)
}

// Layout lays them out.
func (h *Halves) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	h.width = size.Width
	first := objects[0].MinSize().Height
	if h.fits(objects) {
		half := (size.Width - h.Gap) / 2
		objects[0].Resize(fyne.NewSize(half, size.Height))
		objects[1].Resize(fyne.NewSize(half, size.Height))
		objects[1].Move(fyne.NewPos(half+h.Gap, 0))
		return
	}
	objects[0].Resize(fyne.NewSize(size.Width, first))
	objects[1].Resize(fyne.NewSize(size.Width, objects[1].MinSize().Height))
	objects[1].Move(fyne.NewPos(0, first+h.Gap/2))
}

// MinSize is the least that they need.
func (h *Halves) MinSize(objects []fyne.CanvasObject) fyne.Size {
	a, b := objects[0].MinSize(), objects[1].MinSize()
	if h.width == 0 || h.fits(objects) {
		return fyne.NewSize(max(a.Width, b.Width), max(a.Height, b.Height))
	}
	return fyne.NewSize(max(a.Width, b.Width), a.Height+b.Height+h.Gap/2)
}
