package bench

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

func textOf(object fyne.CanvasObject) string {
	if text, ok := object.(*canvas.Text); ok && text.Visible() {
		return text.Text
	}
	return ""
}
