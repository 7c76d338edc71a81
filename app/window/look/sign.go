package look

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// Sign is a mark that says by its shape what its colour says too. The same
// meaning has the same sign wherever it stands: at the bench, in a list, in
// what is said of one thing. The chart draws its flags in the same shapes.
type Sign int

// The signs. Each has an outline of its own, so that it is told apart in grey
// and from two metres, which a test holds.
const (
	SignAgrees      Sign = iota // a tick in a ring: agrees with the map, proven
	SignFound                   // a plus in a diamond: a wire that was not on the map
	SignContradicts             // a filled octagon, broken in two
	SignUndecided               // a question mark in a square of dashes: not known yet
	SignFault                   // an exclamation mark in a filled octagon
	SignWarning                 // an exclamation mark in a triangle: a warning, a caution
	SignNote                    // lines of writing
	SignFailed                  // a cross in a filled square: a device that is dead
	SignUnknown                 // a question mark by itself: nobody knows how it is
	SignStruck                  // a box that a bar strikes out: a reading, a wire, that does not stand
	SignStale                   // an hourglass: a reading whose way was edited since
	SignWaiting                 // three dots: it tells nothing, or nothing yet
	SignFirst                   // an arrow that leaves a line: what to do first
	SignRefused                 // a cross by itself: what was written cannot be taken
	signs                       // how many there are
)

const (
	octagon = `<path d="M7.4 0.8 H16.6 L23.2 7.4 V16.6 L16.6 23.2 H7.4 L0.8 16.6 V7.4 Z" fill="%[1]s"/>`
	line    = ` fill="none" stroke="%[1]s" stroke-linecap="round" stroke-linejoin="round" stroke-width=`
)

// shapes are drawn on a square of 24; %[1]s is the sign's colour, %[2]s that of
// what lies on it.
var shapes = [signs]string{
	SignAgrees:      `<circle cx="12" cy="12" r="10"` + line + `"2.4"/><path d="M7 12.4 L10.7 16 L17.2 8.6"` + line + `"2.8"/>`,
	SignFound:       `<path d="M12 1.2 L22.8 12 L12 22.8 L1.2 12 Z"` + line + `"2.2"/><path d="M12 7 V17 M7 12 H17"` + line + `"2.6"/>`,
	SignContradicts: `<path d="M7.4 0.8 H13.2 L8.6 23.2 H7.4 L0.8 16.6 V7.4 Z M16.4 0.8 H16.6 L23.2 7.4 V16.6 L16.6 23.2 H11.8 Z" fill="%[1]s"/><path d="M3.6 12 H8.2 M16.4 12 H20.6" fill="none" stroke="%[2]s" stroke-width="4"/>`,
	SignUndecided:   `<path d="M2 7 V2 H7 M10 2 H14 M17 2 H22 V7 M22 10 V14 M22 17 V22 H17 M14 22 H10 M7 22 H2 V17 M2 14 V10" fill="none" stroke="%[1]s" stroke-width="2.2"/><path d="M8.6 9.2 C8.6 7 10 5.8 12 5.8 C14 5.8 15.5 7 15.5 9 C15.5 11.6 12.1 11.6 12.1 14.4"` + line + `"2.3"/><circle cx="12.1" cy="17.9" r="1.5" fill="%[1]s"/>`,
	SignFault:       octagon + `<path d="M12 5.6 V13.4" fill="none" stroke="%[2]s" stroke-width="3.2"/><circle cx="12" cy="17.6" r="1.9" fill="%[2]s"/>`,
	SignWarning:     `<path d="M12 2 L23 21.5 H1 Z"` + line + `"2.1"/><path d="M12 8.6 V14.8"` + line + `"2.3"/><circle cx="12" cy="18" r="1.4" fill="%[1]s"/>`,
	SignNote:        `<path d="M3 5 H21 M3 12 H21 M3 19 H14"` + line + `"2.6"/>`,
	SignFailed:      `<path d="M2 2 H22 V22 H2 Z" fill="%[1]s"/><path d="M7 7 L17 17 M17 7 L7 17" fill="none" stroke="%[2]s" stroke-width="2.8" stroke-linecap="round"/>`,
	SignUnknown:     `<path d="M6.6 7.6 C6.6 4.2 8.9 2.2 12 2.2 C15.1 2.2 17.4 4.2 17.4 7.4 C17.4 11.4 12.1 11.6 12.1 15.6"` + line + `"3.4"/><circle cx="12.1" cy="21" r="2.2" fill="%[1]s"/>`,
	SignStruck:      `<path d="M6 5.5 H18 V18.5 H6 Z"` + line + `"2"/><path d="M1.5 12 H22.5" fill="none" stroke="%[1]s" stroke-width="2.8"/>`,
	SignStale:       `<path d="M5 2.5 H19 M5 21.5 H19"` + line + `"2.4"/><path d="M6.5 3 H17.5 L6.5 21 H17.5 Z"` + line + `"1.9"/>`,
	SignWaiting:     `<circle cx="5" cy="12" r="2.4" fill="%[1]s"/><circle cx="12" cy="12" r="2.4" fill="%[1]s"/><circle cx="19" cy="12" r="2.4" fill="%[1]s"/>`,
	SignFirst:       `<path d="M3 4 V20 M8 12 H20 M14.5 6 L20.5 12 L14.5 18"` + line + `"2.5"/>`,
	SignRefused:     `<path d="M4 4 L20 20 M20 4 L4 20"` + line + `"4"/>`,
}

// Colour is the sign's colour in a palette.
func (s Sign) Colour(p Palette) color.NRGBA {
	switch s {
	case SignAgrees:
		return p.Good
	case SignFound, SignFirst:
		return p.Accent
	case SignContradicts, SignFault, SignFailed, SignRefused:
		return p.Bad
	case SignUndecided, SignWarning, SignUnknown:
		return p.Warn
	}
	return p.Soft
}

// Resource is the sign as a picture, in the colours of a palette. The same sign
// in the same colours has the same name, by which the toolkit keeps it.
func (s Sign) Resource(p Palette) fyne.Resource { return s.drawn(s.Colour(p), p.OnTint) }

func (s Sign) drawn(front, on color.NRGBA) fyne.Resource {
	tint := func(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24">`+shapes[s]+`<!--%[1]s%[2]s--></svg>`, tint(front), tint(on))
	return fyne.NewStaticResource(fmt.Sprintf("sign-%d-%s-%s.svg", s, tint(front)[1:], tint(on)[1:]), []byte(svg))
}

// OnTint is Image for a ground of the sign's own colour.
func (s Sign) OnTint(size float32) *canvas.Image {
	p := Now().Palette
	image := canvas.NewImageFromResource(s.drawn(p.OnTint, s.Colour(p)))
	image.FillMode = canvas.ImageFillContain
	image.SetMinSize(fyne.NewSize(size, size))
	return image
}

// Image is the sign, a square of a size.
func (s Sign) Image(size float32) *canvas.Image {
	image := canvas.NewImageFromResource(s.Resource(Now().Palette))
	image.FillMode = canvas.ImageFillContain
	image.SetMinSize(fyne.NewSize(size, size))
	return image
}
