package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"bellout/assets"
)

// TextSize is how large the window's type is.
type TextSize int

// The sizes, for a lap, for arm's length, and for across the bench.
const (
	Near TextSize = iota
	ArmsLength
	AcrossTheBench
)

var factors = [...]float32{1, 1.2, 1.45}

// Theme is Bellout's own, by day or by night.
type Theme struct {
	Palette
	Dark     bool
	TextSize TextSize
}

// Scale is how much larger than the smallest the type is.
func (t *Theme) Scale() float32 { return factors[t.TextSize] }

// New returns the theme.
func New(dark bool, size TextSize) *Theme {
	t := &Theme{Palette: Day, Dark: dark, TextSize: size}
	if dark {
		t.Palette = Night
	}
	return t
}

// Now is the theme in use; the day's where another one is set.
func Now() *Theme {
	if app := fyne.CurrentApp(); app != nil {
		if t, ours := app.Settings().Theme().(*Theme); ours {
			return t
		}
	}
	return New(false, Near)
}

// Colour names beyond those of the toolkit, for widgets that ask by name.
const (
	ColourSoft   fyne.ThemeColorName = "soft"
	ColourBad    fyne.ThemeColorName = "bad"
	ColourGood   fyne.ThemeColorName = "good"
	ColourWarn   fyne.ThemeColorName = "warn"
	ColourRaised fyne.ThemeColorName = "raised"
	ColourSunken fyne.ThemeColorName = "sunken"
)

// Color answers for the toolkit's names and ours. The toolkit's variant is not
// looked at: day or night is chosen here.
func (t *Theme) Color(name fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	switch name {
	case theme.ColorNameBackground:
		return t.Ground
	case theme.ColorNameInputBackground, theme.ColorNameMenuBackground, theme.ColorNameOverlayBackground, ColourRaised:
		return t.Raised
	case theme.ColorNameHeaderBackground, ColourSunken:
		return t.Sunken
	case theme.ColorNameButton, theme.ColorNameDisabledButton:
		return t.Raised
	case theme.ColorNameForeground:
		return t.Ink
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled, ColourSoft:
		return t.Soft
	case theme.ColorNamePrimary, theme.ColorNameHyperlink, theme.ColorNameFocus:
		return t.Accent
	case theme.ColorNameForegroundOnPrimary, theme.ColorNameForegroundOnError, theme.ColorNameForegroundOnSuccess, theme.ColorNameForegroundOnWarning:
		return t.OnTint
	case theme.ColorNameInputBorder, theme.ColorNameSeparator, theme.ColorNameScrollBar:
		return t.Line
	case theme.ColorNameScrollBarBackground:
		return color.NRGBA{}
	case theme.ColorNameSelection:
		return t.Chosen
	case theme.ColorNameHover, theme.ColorNamePressed:
		return t.Hovered
	case theme.ColorNameError, ColourBad:
		return t.Bad
	case theme.ColorNameSuccess, ColourGood:
		return t.Good
	case theme.ColorNameWarning, ColourWarn:
		return t.Warn
	case theme.ColorNameShadow:
		return t.Shadow
	}
	variant := theme.VariantLight
	if t.Dark {
		variant = theme.VariantDark
	}
	return theme.DefaultTheme().Color(name, variant)
}

var (
	regular  = fyne.NewStaticResource("text-regular.ttf", assets.FontRegular)
	bold     = fyne.NewStaticResource("text-bold.ttf", assets.FontBold)
	mono     = fyne.NewStaticResource("mono-regular.ttf", assets.FontMono)
	monoBold = fyne.NewStaticResource("mono-bold.ttf", assets.FontMonoBold)
)

// Font answers with the program's own typefaces.
func (t *Theme) Font(style fyne.TextStyle) fyne.Resource {
	switch {
	case style.Symbol:
		return theme.DefaultTheme().Font(style)
	case style.Monospace && style.Bold:
		return monoBold
	case style.Monospace:
		return mono
	case style.Bold:
		return bold
	}
	return regular
}

// Icon answers with the toolkit's.
func (t *Theme) Icon(name fyne.ThemeIconName) fyne.Resource {
	return theme.DefaultTheme().Icon(name)
}

// Size answers in the toolkit's units; type grows with TextSize, and with it
// what must hold it.
func (t *Theme) Size(name fyne.ThemeSizeName) float32 {
	f := factors[t.TextSize]
	switch name {
	case theme.SizeNameText:
		return 15 * f
	case theme.SizeNameCaptionText:
		return 12.5 * f
	case theme.SizeNameSubHeadingText:
		return 19 * f
	case theme.SizeNameHeadingText:
		return 25 * f
	case SizeBench:
		return 34 * f
	case SizeBenchFull:
		return 64 * f
	case theme.SizeNamePadding:
		return 4
	case theme.SizeNameInnerPadding:
		return 7
	case theme.SizeNameInlineIcon:
		return 18 * f
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 3
	case theme.SizeNameInputBorder, theme.SizeNameSeparatorThickness:
		return 1
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarSmall:
		return 5
	}
	return theme.DefaultTheme().Size(name)
}

// Sizes of type beyond those of the toolkit.
const (
	// SizeBench is for what is read with both hands full.
	SizeBench fyne.ThemeSizeName = "bench"
	// SizeBenchFull is for the bench alone in the window, read from the floor.
	SizeBenchFull fyne.ThemeSizeName = "benchFull"
)
