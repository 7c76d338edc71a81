package bench

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// heightAt is how high an object is at a width: wrapped text knows it only once
// it has the width.
func heightAt(object fyne.CanvasObject, width float32) float32 {
	if object == nil || !object.Visible() {
		return 0
	}
	object.Resize(fyne.NewSize(width, object.Size().Height))
	return object.MinSize().Height
}

// rows lays objects under each other, each as high as it is at the width that
// there is.
type rows struct {
	gap   float32
	width float32
}

func (r *rows) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	r.width = size.Width
	y := float32(0)
	for _, object := range objects {
		if !object.Visible() {
			continue
		}
		height := heightAt(object, size.Width)
		object.Resize(fyne.NewSize(size.Width, height))
		object.Move(fyne.NewPos(0, y))
		y += height + r.gap
	}
}

func (r *rows) MinSize(objects []fyne.CanvasObject) fyne.Size {
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
			size.Height += r.gap
		}
		size.Height += least.Height
	}
	if r.width > 0 { // a wide thing is cut, so that the text beside it still wraps
		size.Width = min(size.Width, r.width)
	}
	return size
}

// flow lays objects side by side, and goes to the next line where there is no
// more room.
type flow struct {
	gap   float32
	width float32
}

func (f *flow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	f.width = size.Width
	f.walk(objects, func(object fyne.CanvasObject, at fyne.Position, size fyne.Size) {
		object.Resize(size)
		object.Move(at)
	})
}

func (f *flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(0, 0)
	f.walk(objects, func(object fyne.CanvasObject, at fyne.Position, size fyne.Size) {
		least.Width = max(least.Width, size.Width)
		least.Height = max(least.Height, at.Y+size.Height)
	})
	return least
}

func (f *flow) walk(objects []fyne.CanvasObject, place func(fyne.CanvasObject, fyne.Position, fyne.Size)) {
	x, y, high := float32(0), float32(0), float32(0)
	for _, object := range objects {
		if !object.Visible() {
			continue
		}
		size := object.MinSize()
		if x > 0 && f.width > 0 && x+size.Width > f.width {
			x, y, high = 0, y+high+f.gap, 0
		}
		if f.width > 0 {
			size.Width = min(size.Width, f.width)
		}
		place(object, fyne.NewPos(x, y), size)
		x += size.Width + f.gap
		high = max(high, size.Height)
	}
}

// shares lays objects side by side in parts of the width.
type shares struct {
	gap   float32
	parts []float32
}

func (s *shares) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	sum := float32(0)
	for _, part := range s.parts {
		sum += part
	}
	x, room := float32(0), size.Width-s.gap*float32(len(objects)-1)
	for i, object := range objects {
		width := room * s.parts[i] / sum
		object.Resize(fyne.NewSize(width, size.Height))
		object.Move(fyne.NewPos(x, 0))
		x += width + s.gap
	}
}

func (s *shares) MinSize(objects []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(s.gap*float32(len(objects)-1), 0)
	for _, object := range objects {
		least := object.MinSize()
		size.Width += least.Width
		size.Height = max(size.Height, least.Height)
	}
	return size
}

// leading lays a small object at the left of another one, in line with its
// first line of text.
type leading struct{ gap, down float32 }

func (l *leading) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	small := objects[0].MinSize()
	objects[0].Resize(small)
	objects[0].Move(fyne.NewPos(0, l.down))
	left := small.Width + l.gap
	objects[1].Resize(fyne.NewSize(max(size.Width-left, 0), size.Height))
	objects[1].Move(fyne.NewPos(left, 0))
}

func (l *leading) MinSize(objects []fyne.CanvasObject) fyne.Size {
	small, other := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(small.Width+l.gap+other.Width, max(small.Height+l.down, other.Height))
}

// beside lays a text at the right of a word, down on its base line, or under it
// where less than least would be left.
type beside struct{ gap, down, least, width, full float32 }

func (b *beside) fits(word fyne.Size) bool { return b.width-word.Width-b.gap >= b.least }

func (b *beside) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	b.width = size.Width
	if text, ok := objects[0].(*canvas.Text); ok { // shrinks rather than being cut
		b.full = max(b.full, text.TextSize)
		text.TextSize = b.full
		for wide := text.MinSize().Width; wide > size.Width && text.TextSize > 8; wide = text.MinSize().Width {
			text.TextSize--
		}
	}
	word := objects[0].MinSize()
	objects[0].Resize(word)
	at, width := fyne.NewPos(0, word.Height), size.Width
	if b.fits(word) {
		at, width = fyne.NewPos(word.Width+b.gap, b.down), size.Width-word.Width-b.gap
	}
	objects[1].Move(at)
	objects[1].Resize(fyne.NewSize(width, heightAt(objects[1], width)))
}

func (b *beside) MinSize(objects []fyne.CanvasObject) fyne.Size {
	word, text := objects[0].MinSize(), objects[1].MinSize()
	if b.width > 0 {
		word.Width = min(word.Width, b.width)
	}
	if b.fits(word) {
		return fyne.NewSize(word.Width, max(word.Height, text.Height+b.down))
	}
	return fyne.NewSize(word.Width, word.Height+text.Height)
}

// label lays a word, and a key cap beside it where there is room for it.
type label struct{}

func (label) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	word, key := objects[0].MinSize(), objects[1].MinSize()
	objects[0].Resize(fyne.NewSize(word.Width, size.Height))
	objects[1].Resize(fyne.NewSize(key.Width, key.Height))
	objects[1].Move(fyne.NewPos(word.Width+4, (size.Height-key.Height)/2))
	if fits := word.Width+4+key.Width <= size.Width; fits != objects[1].Visible() {
		if fits {
			objects[1].Show()
		} else {
			objects[1].Hide()
		}
	}
}

func (label) MinSize(objects []fyne.CanvasObject) fyne.Size {
	word, key := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(word.Width, max(word.Height, key.Height))
}
