package look

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/test"
)

// What goes into more lines where it is narrow goes back into one where there is
// room, and what lies under it gets the rest.
func TestAboveGivesWhatWrapsItsRoom(t *testing.T) {
	test.NewTempApp(t)
	box := func(width float32) fyne.CanvasObject {
		gap := Gap(20)
		gap.(interface{ SetMinSize(fyne.Size) }).SetMinSize(fyne.NewSize(width, 20))
		return gap
	}
	flow := container.New(&Flow{Gap: 4}, box(100), box(100), box(100))
	bar := container.New(layout.NewCustomPaddedLayout(5, 5, 5, 5), flow)
	rest, foot := box(10), box(10)
	whole := container.New(Above{}, bar, rest, foot)
	for _, c := range []struct{ width, top float32 }{{120, 3*20 + 2*4 + 10}, {400, 30}, {220, 2*20 + 4 + 10}, {400, 30}} {
		whole.Resize(fyne.NewSize(c.width, 300))
		if bar.Size().Height != c.top || rest.Position().Y != c.top || rest.Size().Height != 300-c.top-20 {
			t.Errorf("at %v wide: bar %v high, the rest %v high at %v", c.width, bar.Size().Height, rest.Size().Height, rest.Position().Y)
		}
	}
}

// Buttons go under a field that they would leave too little of.
func TestTrailingLeavesTheFieldItsRoom(t *testing.T) {
	test.NewTempApp(t)
	field, one, two := Gap(30), NewPress("Save", "Ctrl E", nil), NewPress("Print", "Ctrl P", nil)
	line := container.New(&Trailing{Gap: 4, Least: 200}, field, one, two)
	line.Resize(fyne.NewSize(700, 40))
	if field.Size().Width < 200 || one.Position().X < field.Size().Width || two.Position().X < one.Position().X+one.Size().Width {
		t.Errorf("in 700: field %v, buttons at %v and %v", field.Size(), one.Position(), two.Position())
	}
	high := HeightAt(line, 260)
	line.Resize(fyne.NewSize(260, high))
	if field.Size().Width != 260 || one.Position().Y < 30 || two.Position().Y+two.Size().Height > high {
		t.Errorf("in 260: field %v, buttons at %v and %v, in all %v high", field.Size(), one.Position(), two.Position(), high)
	}
}
