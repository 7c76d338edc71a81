package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
)

// Card puts things on a raised ground with a hairline round it.
func Card(inside ...fyne.CanvasObject) *fyne.Container {
	t := Now()
	ground := canvas.NewRectangle(t.Raised)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Line, 1, 4
	return container.NewStack(ground, Inset(8, container.New(&Rows{Gap: 5}, inside...)))
}

// Ground puts an object on a colour.
func Ground(colour color.Color, inside fyne.CanvasObject) *fyne.Container {
	return container.NewStack(canvas.NewRectangle(colour), inside)
}

// Inset leaves room on all sides.
func Inset(by float32, inside fyne.CanvasObject) *fyne.Container {
	return container.New(layout.NewCustomPaddedLayout(by, by, by, by), inside)
}

// Line returns one line of text in a colour and a named size of the theme.
func Line(text string, colour color.Color, size fyne.ThemeSizeName, style fyne.TextStyle) *canvas.Text {
	line := canvas.NewText(text, colour)
	line.TextSize = Now().Size(size)
	line.TextStyle = style
	return line
}

// Caption is a line in small soft type: what stands below or beside it is.
func Caption(text string) *canvas.Text {
	return Line(text, Now().Soft, theme.SizeNameCaptionText, fyne.TextStyle{})
}

// KeyCap shows a key as it lies on the keyboard, after the words of its action.
func KeyCap(key string) fyne.CanvasObject {
	t := Now()
	ground := canvas.NewRectangle(t.Sunken)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Line, 1, 3
	text := Line(key, t.Soft, theme.SizeNameCaptionText, fyne.TextStyle{})
	return container.NewStack(ground, container.New(layout.NewCustomPaddedLayout(1, 1, 6, 6), text))
}

// Gap is room above what follows.
func Gap(height float32) fyne.CanvasObject {
	gap := canvas.NewRectangle(color.Transparent)
	gap.SetMinSize(fyne.NewSize(1, height))
	return gap
}
