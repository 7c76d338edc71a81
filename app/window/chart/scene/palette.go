package scene

import (
	"image/color"
	"math"
)

// Palette are the colours of the paper, not those of the wires. Text has enough
// contrast on Ground and on Box; the window's own test of its palette holds that.
type Palette struct {
	Ground color.NRGBA // the sheet
	Box    color.NRGBA // inside devices
	Ink    color.NRGBA // references, outlines
	Soft   color.NRGBA // titles, marks
	Line   color.NRGBA // hairlines, zones
	Accent color.NRGBA // what is selected
	OnTint color.NRGBA // text on Accent, Bad, RedTip
	Bad    color.NRGBA
	Warn   color.NRGBA
	Red    color.NRGBA // the red tip
	Black  color.NRGBA // the black tip
	Paths  [PathKinds]color.NRGBA
}

// mixed lies between two colours: all of from at 0, all of to at 1.
func mixed(from, to color.NRGBA, share float64) color.NRGBA {
	part := func(a, b uint8) uint8 { return uint8(math.Round(float64(a)*(1-share) + float64(b)*share)) }
	return color.NRGBA{R: part(from.R, to.R), G: part(from.G, to.G), B: part(from.B, to.B), A: part(from.A, to.A)}
}

// contrast is the contrast ratio of WCAG 2.1 (W3C Recommendation, 2018; formula
// from memory).
func contrast(a, b color.NRGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}
