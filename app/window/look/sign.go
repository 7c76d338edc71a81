package look

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// Sign is a mark that says by its shape what its colour says too.
type Sign int

// The signs. Each has an outline of its own, so that it is told apart in grey
// and from two metres.
const (
	SignAgrees      Sign = iota // a tick in a ring
	SignFound                   // a plus in a square: a wire that was not on the map
	SignContradicts             // a bar across a filled octagon
	SignUndecided               // a question mark in a diamond
	SignFault                   // an exclamation mark in a filled octagon
	SignWarning                 // an exclamation mark in a triangle
	SignNote                    // a dot in a ring
	SignFailed                  // a cross in a filled square: a device that is dead
	SignUnknown                 // a question mark in a ring: nobody knows how it is
	SignStruck                  // a line through a ring: a reading that does not stand
	SignStale                   // a ring with a gap: a reading whose way was edited since
)

// signs are drawn on a square of 24; %[1]s is the sign's colour, %[2]s that of
// what stands on it.
var signs = map[Sign]string{
	SignAgrees:      `<circle cx="12" cy="12" r="9.5" fill="none" stroke="%[1]s" stroke-width="2.4"/><path d="M7 12.4 L10.6 16 L17 8.6" fill="none" stroke="%[1]s" stroke-width="2.8"/><!--%[2]s-->`,
	SignFound:       `<rect x="3" y="3" width="18" height="18" fill="none" stroke="%[1]s" stroke-width="2.4"/><path d="M12 7 V17 M7 12 H17" fill="none" stroke="%[1]s" stroke-width="2.8"/><!--%[2]s-->`,
	SignContradicts: `<path d="M7.5 1.5 H16.5 L22.5 7.5 V16.5 L16.5 22.5 H7.5 L1.5 16.5 V7.5 Z" fill="%[1]s"/><path d="M6.5 12 H17.5" stroke="%[2]s" stroke-width="3.6"/>`,
	SignUndecided:   `<path d="M12 1.8 L22.2 12 L12 22.2 L1.8 12 Z" fill="none" stroke="%[1]s" stroke-width="2.2"/><path d="M9.4 10.2 Q9.4 7.6 12 7.6 Q14.6 7.6 14.6 10 Q14.6 11.6 12 12.8 V14.2" fill="none" stroke="%[1]s" stroke-width="2"/><circle cx="12" cy="17" r="1.3" fill="%[1]s"/><!--%[2]s-->`,
	SignFault:       `<path d="M7.5 1.5 H16.5 L22.5 7.5 V16.5 L16.5 22.5 H7.5 L1.5 16.5 V7.5 Z" fill="%[1]s"/><path d="M12 6 V13.6" stroke="%[2]s" stroke-width="3.2"/><circle cx="12" cy="17.4" r="1.9" fill="%[2]s"/>`,
	SignWarning:     `<path d="M12 2.6 L22.4 21 H1.6 Z" fill="none" stroke="%[1]s" stroke-width="2.2"/><path d="M12 9 V14.6" stroke="%[1]s" stroke-width="2.4"/><circle cx="12" cy="17.7" r="1.4" fill="%[1]s"/><!--%[2]s-->`,
	SignNote:        `<circle cx="12" cy="12" r="9" fill="none" stroke="%[1]s" stroke-width="2"/><circle cx="12" cy="12" r="2.6" fill="%[1]s"/><!--%[2]s-->`,
	SignFailed:      `<rect x="2" y="2" width="20" height="20" fill="%[1]s"/><path d="M7 7 L17 17 M17 7 L7 17" stroke="%[2]s" stroke-width="3"/>`,
	SignUnknown:     `<circle cx="12" cy="12" r="9.5" fill="none" stroke="%[1]s" stroke-width="2"/><path d="M9.2 10 Q9.2 7.2 12 7.2 Q14.8 7.2 14.8 9.8 Q14.8 11.6 12 12.8 V14.2" fill="none" stroke="%[1]s" stroke-width="2.2"/><circle cx="12" cy="17.2" r="1.4" fill="%[1]s"/><!--%[2]s-->`,
	SignStruck:      `<circle cx="12" cy="12" r="8" fill="none" stroke="%[1]s" stroke-width="2"/><path d="M2 12 H22" stroke="%[1]s" stroke-width="2.4"/><!--%[2]s-->`,
	SignStale:       `<path d="M16.5 4.6 A 8.6 8.6 0 1 0 20.6 12" fill="none" stroke="%[1]s" stroke-width="2.2"/><path d="M12 7.5 V12.4 L15 14.2" fill="none" stroke="%[1]s" stroke-width="2.2"/><!--%[2]s-->`,
}

// Colour is the sign's colour in a palette.
func (s Sign) Colour(p Palette) color.NRGBA {
	switch s {
	case SignAgrees:
		return p.Good
	case SignFound:
		return p.Accent
	case SignContradicts, SignFault, SignFailed:
		return p.Bad
	case SignUndecided, SignWarning:
		return p.Warn
	}
	return p.Soft
}

// Resource is the sign as a picture, in the colours of a palette.
func (s Sign) Resource(p Palette) fyne.Resource {
	tint := func(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	front := tint(s.Colour(p))
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24">`+signs[s]+`</svg>`, front, tint(p.OnTint))
	return fyne.NewStaticResource(fmt.Sprintf("sign-%d-%s.svg", s, front[1:]), []byte(svg))
}

// Image is the sign, a square of a size.
func (s Sign) Image(size float32) *canvas.Image {
	image := canvas.NewImageFromResource(s.Resource(Now().Palette))
	image.FillMode = canvas.ImageFillContain
	image.SetMinSize(fyne.NewSize(size, size))
	return image
}
