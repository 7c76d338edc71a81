// Package specimen draws one sheet with everything a Pen can do, so that the
// three places where drawings appear can be held against each other.
package specimen

import (
	"image"
	"image/color"

	"bellout/app/drawing"
)

// The sheet's size, in millimetres.
const (
	Width  = 160.0
	Height = 120.0
)

// Hostile are texts that people never mean to write and files hold all the same:
// control characters, direction switches, scripts that the typefaces lack, markup,
// bytes that are no UTF-8, and one far too long.
var Hostile = []string{
	"", " ", "\x00", "a\x07b\x1b[31m", "tab\tand\r\nline", "\u202eevil\u202c", "\u2066x\u2069\u200f\u200e",
	"עברית", "العربية", "漢字かな", "😀👩\u200d🔧", "cafe\u0301 Ma\u030ast", "\u0301\u0301\u0301", "\xff\xfe\xc3", "\ufeffbom\ufffe\uffff",
	"<b>&amp;\"'</b>]]>", "(paren) \\ \\)", "=1+1", "Ω\u2126µμ±°→²½", "\U0010ffff\U000e0001", "\u2028\u2029\u00a0\u3000\u00ad",
	long,
}

var long = func() string {
	text := make([]rune, 500)
	for i := range text {
		text[i] = rune("0123456789 abcdefghij Ωµ"[i%21])
	}
	return string(text)
}()

var (
	Black = color.NRGBA{A: 255}
	red   = color.NRGBA{R: 200, G: 30, B: 30, A: 255}
	blue  = color.NRGBA{R: 30, G: 60, B: 190, A: 255}
	amber = color.NRGBA{R: 250, G: 215, B: 120, A: 255}
	glass = color.NRGBA{R: 30, G: 160, B: 90, A: 110}
	none  = color.NRGBA{}
)

func at(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) drawing.Box { return drawing.Box{Min: at(x0, y0), Max: at(x1, y1)} }

// Draw draws the sheet.
func Draw(pen drawing.Pen) {
	pen.Anchor(at(0, 0), "specimen", "Specimen")
	lines(pen)
	shapes(pen)
	words(pen)
	pen.Picture(Photo(60, 40), box(112, 84, 154, 114))
	pen.Link(box(8, 8, 60, 16), "specimen")
}

func lines(pen drawing.Pen) {
	ink := func(c color.NRGBA, width float64, dash ...float64) drawing.Stroke {
		return drawing.Stroke{Colour: c, Width: width, Dash: dash}
	}
	pen.Rectangle(box(4, 4, 156, 116), 0, ink(Black, 0.5), none)
	pen.Line([]drawing.Point{at(8, 30), at(40, 30), at(40, 44), at(70, 44)}, ink(red, 0.8))
	pen.Line([]drawing.Point{at(8, 34), at(36, 34), at(36, 48), at(70, 48)}, ink(blue, 0.4, 2, 1))
	pen.Line([]drawing.Point{at(8, 52), at(30, 40), at(38, 58), at(70, 52)}, ink(Black, 1.2))
	pen.Line([]drawing.Point{at(8, 56), at(70, 60)}, ink(red, 0.6, 3, 1.5))
	pen.Line([]drawing.Point{at(8, 64), at(70, 64)}, ink(Black, 0.3, 0.8, 0.8))
}

func shapes(pen drawing.Pen) {
	line := drawing.Stroke{Colour: Black, Width: 0.4}
	pen.Rectangle(box(80, 22, 104, 38), 3, line, amber)
	pen.Rectangle(box(108, 22, 130, 38), 0, line, amber)
	pen.Circle(at(144, 30), 8, drawing.Stroke{Colour: blue, Width: 1}, amber)
	pen.Polygon([]drawing.Point{at(80, 58), at(92, 42), at(104, 58)}, line, none)
	pen.Polygon([]drawing.Point{at(108, 42), at(130, 42), at(119, 58)}, drawing.Stroke{}, red)
	pen.Rectangle(box(112, 34, 150, 50), 2, drawing.Stroke{}, glass)
	pen.Circle(at(144, 56), 5, drawing.Stroke{Colour: Black, Width: 0.5, Dash: []float64{1.5, 1}}, none)
}

func words(pen drawing.Pen) {
	write := func(x, y, size float64, face drawing.Face, align drawing.Align, text string) {
		pen.Text(drawing.Text{At: at(x, y), Text: text, Size: size, Face: face, Align: align, Colour: Black})
	}
	write(8, 14, 7, drawing.Bold, drawing.Left, "Lantern Lock: +24 V rail")
	write(8, 22, 4, drawing.Regular, drawing.Left, "4.7 kΩ ±5 %, 0.1 µF, 3 → 5 °C, 1.5 mm²")
	write(152, 14, 4, drawing.Mono, drawing.Right, "W228 RD 0O 1Il 8B")
	write(80, 70, 4, drawing.MonoBold, drawing.Centre, "X20:1  →  G5:−")
	write(8, 78, 5, drawing.Regular, drawing.Left, "Pumpe groß, café, Łódź")
	write(8, 86, 5, drawing.Regular, drawing.Left, "עב 漢 😀 \u202eevil\u202c \x07")
	write(8, 92, 2, drawing.Regular, drawing.Left, "small print: 0.75 mm2, drop 1.3 %, joint limit 1 Ω")
	pen.Text(drawing.Text{At: at(106, 112), Text: "upward 12 V", Size: 5, Upward: true, Colour: blue})
	pen.Text(drawing.Text{At: at(98, 84), Text: "hung", Size: 5, Face: drawing.Bold, Align: drawing.Right, Upward: true, Colour: red})
	write(8, 110, 14, drawing.Bold, drawing.Left, "Ω 24.0 V")
}

// Photo returns a picture that no two of its pixels are quite alike in.
func Photo(width, height int) image.Image {
	photo := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			photo.SetRGBA(x, y, color.RGBA{uint8(255 * x / width), uint8(255 * y / height), uint8(128 + 3*(x-y)%64), 255})
		}
	}
	return photo
}
