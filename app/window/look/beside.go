package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// Beside lays a text at the right of a word, down on its base line, or under it
// where less than Least would be left.
type Beside struct{ Gap, Down, Least, width, full float32 }

func (b *Beside) fits(word fyne.Size) bool { return b.width-word.Width-b.Gap >= b.Least }

// Layout lays them out.
func (b *Beside) Layout(objects []fyne.CanvasObject, size fyne.Size) {
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
		at, width = fyne.NewPos(word.Width+b.Gap, b.Down), size.Width-word.Width-b.Gap
	}
	objects[1].Move(at)
	objects[1].Resize(fyne.NewSize(width, HeightAt(objects[1], width)))
}

// MinSize is the least that they need.
func (b *Beside) MinSize(objects []fyne.CanvasObject) fyne.Size {
	word, text := objects[0].MinSize(), objects[1].MinSize()
	if b.width > 0 {
		word.Width = min(word.Width, b.width)
	}
	if b.fits(word) {
		return fyne.NewSize(word.Width, max(word.Height, text.Height+b.Down))
	}
	return fyne.NewSize(word.Width, word.Height+text.Height)
}

// Labelled lays a word, and a key cap beside it where there is room for it.
type Labelled struct{}

// Layout lays them out.
func (Labelled) Layout(objects []fyne.CanvasObject, size fyne.Size) {
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

// MinSize is the least that they need: the key cap can go.
func (Labelled) MinSize(objects []fyne.CanvasObject) fyne.Size {
	word, key := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(word.Width, max(word.Height, key.Height))
}

// Tight lays lines one below the other with nothing between them.
type Tight struct{}

// Layout lays them out.
func (Tight) Layout(objects []fyne.CanvasObject, size fyne.Size) {
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
func (Tight) MinSize(objects []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(10, 0)
	for _, object := range objects {
		size.Height += object.MinSize().Height
	}
	return size
}
