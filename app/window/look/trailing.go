package look

import "fyne.io/fyne/v2"

// Trailing lays a field, and buttons at its right; where less than Least would
// be left for the field, they go under it, in as many lines as they take.
type Trailing struct {
	Gap, Least float32
	width      float32
}

func (l *Trailing) beside(buttons []fyne.CanvasObject) (width float32, fits bool) {
	for _, button := range buttons {
		if button.Visible() {
			width += button.MinSize().Width + l.Gap
		}
	}
	return width, l.width-width >= l.Least
}

// Layout lays them out.
func (l *Trailing) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	l.width = size.Width
	field, buttons := objects[0], objects[1:]
	width, fits := l.beside(buttons)
	if !fits {
		high := HeightAt(field, size.Width)
		field.Move(fyne.NewPos(0, 0))
		field.Resize(fyne.NewSize(size.Width, high))
		flow := Flow{Gap: l.Gap, width: size.Width}
		flow.walk(buttons, func(button fyne.CanvasObject, at fyne.Position, size fyne.Size) {
			button.Resize(size)
			button.Move(at.AddXY(0, high+l.Gap))
		})
		return
	}
	left := size.Width - width
	field.Move(fyne.NewPos(0, 0))
	field.Resize(fyne.NewSize(left, size.Height))
	for _, button := range buttons {
		if !button.Visible() {
			continue
		}
		least := button.MinSize()
		button.Move(fyne.NewPos(left+l.Gap, (size.Height-least.Height)/2))
		button.Resize(least)
		left += l.Gap + least.Width
	}
}

// MinSize is the least that they need.
func (l *Trailing) MinSize(objects []fyne.CanvasObject) fyne.Size {
	field, buttons := objects[0].MinSize(), objects[1:]
	flow := Flow{Gap: l.Gap, width: l.width}
	under := flow.MinSize(buttons)
	least := fyne.NewSize(field.Width, max(field.Height, under.Height))
	for _, button := range buttons {
		if button.Visible() {
			least.Width = max(least.Width, button.MinSize().Width)
		}
	}
	if _, fits := l.beside(buttons); !fits && l.width > 0 {
		least.Height = HeightAt(objects[0], l.width) + l.Gap + under.Height
	}
	return least
}
