package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/look"
	"bellout/app/window/room"
)

// What gives way where the window is small and the type large: first the count
// in the headline, then the end of the file's name; and beside a table or a
// sheet, which need the width, the bench.

// threeParts lays three parts into a line: at the left, in the middle, at the
// right. What is missing is taken from the right one, then from the left one.
type threeParts struct{}

const partsGap = 10

// Layout lays them out.
func (threeParts) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	left, middle, right := objects[0], objects[1], objects[2]
	tabs := middle.MinSize().Width
	spare := size.Width - tabs - 2*partsGap
	wide := right.(*fyne.Container).Layout.(*spareFirst).full(right.(*fyne.Container).Objects)
	name := left.(*fyne.Container).Layout.(*named).full()
	if name+wide > spare {
		wide = right.MinSize().Width
	}
	name = max(min(name, spare-wide), left.MinSize().Width)
	at := min(max((size.Width-tabs)/2, name+partsGap), size.Width-wide-partsGap-tabs)
	for _, part := range []struct {
		object   fyne.CanvasObject
		x, width float32
	}{{left, 0, name}, {middle, at, tabs}, {right, size.Width - wide, wide}} {
		part.object.Move(fyne.NewPos(part.x, 0))
		part.object.Resize(fyne.NewSize(part.width, size.Height))
	}
}

// MinSize is the least that they need.
func (threeParts) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(2*partsGap, 0)
	for _, object := range objects {
		size := object.MinSize()
		least = fyne.NewSize(least.Width+size.Width, max(least.Height, size.Height))
	}
	return least
}

// spareFirst lays buttons from the right; the first object is shown where there is
// room for it too.
type spareFirst struct{}

const buttonGap = 4

func (spareFirst) full(objects []fyne.CanvasObject) (width float32) {
	for _, object := range objects {
		width += object.MinSize().Width + buttonGap
	}
	return width
}

// Layout lays them out.
func (s spareFirst) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	x := size.Width
	for i := len(objects) - 1; i >= 0; i-- {
		least := objects[i].MinSize()
		if i == 0 {
			if fits := x-least.Width >= 0; fits != objects[0].Visible() {
				if fits {
					objects[0].Show()
				} else {
					objects[0].Hide()
				}
			}
			x -= buttonGap
		}
		x -= least.Width
		objects[i].Move(fyne.NewPos(x, (size.Height-least.Height)/2))
		objects[i].Resize(least)
		x -= buttonGap
	}
}

// MinSize is that of the buttons.
func (s spareFirst) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(s.full(objects[1:]), 0)
	for _, object := range objects {
		least.Height = max(least.Height, object.MinSize().Height)
	}
	return least
}

// named lays the file's name, cut where there is no room, and its mark.
type named struct{ headline *headline }

func (n named) full() float32 {
	h := n.headline
	width := fyne.MeasureText(h.full, h.name.TextSize, h.name.TextStyle).Width
	if h.marks.Text != "" {
		width += buttonGap + h.marks.MinSize().Width
	}
	return width
}

// Layout lays them out.
func (n named) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	h := n.headline
	mark := h.marks.MinSize()
	room := size.Width
	if h.marks.Text != "" {
		room -= mark.Width + buttonGap
	}
	if text := look.Cut(h.full, room+0.5, h.name.TextSize, h.name.TextStyle); text != h.name.Text {
		h.name.Text = text
		h.name.Refresh()
	}
	name := h.name.MinSize()
	h.name.Move(fyne.NewPos(0, (size.Height-name.Height)/2))
	h.name.Resize(name)
	h.marks.Move(fyne.NewPos(name.Width+buttonGap, (size.Height-mark.Height)/2))
	h.marks.Resize(mark)
}

// leastName is how much of the name is shown in any case.
const leastName = 48

// MinSize is the least that they need.
func (n named) MinSize([]fyne.CanvasObject) fyne.Size {
	h := n.headline
	return fyne.NewSize(min(n.full(), leastName+n.full()-fyne.MeasureText(h.full, h.name.TextSize, h.name.TextStyle).Width), max(h.name.MinSize().Height, h.marks.MinSize().Height))
}

// leastPlace is how wide a table, or a sheet, must be in the smallest type for
// the bench to stand beside it.
var leastPlace = map[string]float32{room.Parts: 540, room.Sheets: 640}

// folding lays the bench and the place side by side, or the place alone where it
// needs the whole width. The bench is there again with the next other place.
type folding struct {
	window *Window
	split  *container.Split
}

func (f *folding) fold(width float32) bool {
	least, foldable := leastPlace[f.window.shown]
	return foldable && width < (leastBench+least)*look.Now().Scale()
}

// Layout lays them out.
func (f *folding) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if bench, fold := f.split.Leading, f.fold(size.Width); fold == bench.Visible() {
		if fold {
			bench.Hide()
		} else {
			bench.Show()
		}
		f.split.Refresh()
	}
	objects[0].Resize(size)
}

// MinSize is that of the place alone where the bench may go.
func (f *folding) MinSize(objects []fyne.CanvasObject) fyne.Size {
	if _, foldable := leastPlace[f.window.shown]; foldable {
		return f.split.Trailing.MinSize().Max(fyne.NewSize(0, f.split.Leading.MinSize().Height))
	}
	return objects[0].MinSize()
}
