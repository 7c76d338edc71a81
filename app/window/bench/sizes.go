package bench

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/window/look"
)

// sizes are those of the type in one arrangement.
type sizes struct {
	ref   float32 // where a tip goes
	word  float32 // what an answer means, what a good machine shows
	head  float32
	text  float32
	small float32
	field float32
	alone bool
}

// columnSizes are for the column at the side of the window.
func columnSizes() sizes {
	t := look.Now()
	return sizes{
		ref: t.Size(look.SizeBench), word: t.Size(theme.SizeNameHeadingText), head: t.Size(theme.SizeNameText),
		text: t.Size(theme.SizeNameText), small: t.Size(theme.SizeNameCaptionText), field: t.Size(theme.SizeNameSubHeadingText),
	}
}

// aloneSizes are for the window that shows nothing else. They are read from
// across the room whatever size of type is chosen; the bounds keep both tips and
// what a good machine shows in a window of 900.
func aloneSizes() sizes {
	t := look.Now()
	return sizes{
		ref: min(t.Size(look.SizeBenchFull)*1.25, 84), word: min(t.Size(look.SizeBench)*1.15, 46), head: min(t.Size(theme.SizeNameHeadingText), 30),
		text: min(t.Size(theme.SizeNameHeadingText)*0.85, 26), small: min(t.Size(theme.SizeNameSubHeadingText)*0.9, 20), field: min(t.Size(look.SizeBench), 40),
		alone: true,
	}
}

// typed is the theme with another size of type, for a field.
type typed struct {
	fyne.Theme
	size float32
}

func (t typed) Size(name fyne.ThemeSizeName) float32 {
	if name == theme.SizeNameText {
		return t.size
	}
	return t.Theme.Size(name)
}

// inType shows a field in a size of type.
func inType(field fyne.CanvasObject, size float32) fyne.CanvasObject {
	return container.NewThemeOverride(field, typed{look.Now(), size})
}
