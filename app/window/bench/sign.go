package bench

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"bellout/app/window/look"
	"bellout/faults/judge"
)

// sign is a mark that is known by its shape.
type sign string

// The signs. Each has an outline of its own, so that none needs its colour.
const (
	signAgrees      sign = "agrees"      // a ring with a tick
	signDiscovery   sign = "discovery"   // a diamond with a plus
	signContradicts sign = "contradicts" // a full octagon with a broken bar
	signUndecided   sign = "undecided"   // a square of dashes with a question
	signStale       sign = "stale"       // an hourglass
	signStruck      sign = "struck"      // a bar
	signWaiting     sign = "waiting"     // three dots
	signCaution     sign = "caution"     // a triangle with a stroke and a dot
	signBefore      sign = "before"      // a hand's arrow: first do this
	signWrong       sign = "wrong"       // a full square with a cross
)

// shapes draw the signs in a square of 24; %[1]s is the colour, %[2]s that of
// what lies on it.
var shapes = map[sign]string{
	signAgrees:      `<circle cx="12" cy="12" r="10" fill="none" stroke="%[1]s" stroke-width="2.4"/><path d="M7 12.4 L10.7 16 L17.2 8.6" fill="none" stroke="%[1]s" stroke-width="2.8" stroke-linecap="round" stroke-linejoin="round"/>`,
	signDiscovery:   `<path d="M12 1.2 L22.8 12 L12 22.8 L1.2 12 Z" fill="none" stroke="%[1]s" stroke-width="2.2" stroke-linejoin="round"/><path d="M12 7 L12 17 M7 12 L17 12" fill="none" stroke="%[1]s" stroke-width="2.6" stroke-linecap="round"/>`,
	signContradicts: `<path d="M7.4 0.8 L16.6 0.8 L23.2 7.4 L23.2 16.6 L16.6 23.2 L7.4 23.2 L0.8 16.6 L0.8 7.4 Z" fill="%[1]s"/><path d="M4.6 12 L9.3 12 M14.7 12 L19.4 12" fill="none" stroke="%[2]s" stroke-width="3.4"/><path d="M13.9 5.4 L10.1 18.6" fill="none" stroke="%[2]s" stroke-width="2.6"/>`,
	signUndecided:   `<path d="M2 7 L2 2 L7 2 M10 2 L14 2 M17 2 L22 2 L22 7 M22 10 L22 14 M22 17 L22 22 L17 22 M14 22 L10 22 M7 22 L2 22 L2 17 M2 14 L2 10" fill="none" stroke="%[1]s" stroke-width="2.2"/><path d="M8.6 9.2 C8.6 7 10 5.8 12 5.8 C14 5.8 15.5 7 15.5 9 C15.5 11.6 12.1 11.6 12.1 14.4" fill="none" stroke="%[1]s" stroke-width="2.3" stroke-linecap="round"/><circle cx="12.1" cy="17.9" r="1.5" fill="%[1]s"/>`,
	signStale:       `<path d="M5 2.5 L19 2.5 M5 21.5 L19 21.5" fill="none" stroke="%[1]s" stroke-width="2.4" stroke-linecap="round"/><path d="M6.5 3 L17.5 3 L6.5 21 L17.5 21 Z" fill="none" stroke="%[1]s" stroke-width="1.9" stroke-linejoin="round"/>`,
	signStruck:      `<path d="M2 12 L22 12" fill="none" stroke="%[1]s" stroke-width="3"/>`,
	signWaiting:     `<circle cx="5" cy="12" r="2.4" fill="%[1]s"/><circle cx="12" cy="12" r="2.4" fill="%[1]s"/><circle cx="19" cy="12" r="2.4" fill="%[1]s"/>`,
	signCaution:     `<path d="M12 2 L23 21.5 L1 21.5 Z" fill="none" stroke="%[1]s" stroke-width="2.1" stroke-linejoin="round"/><path d="M12 8.6 L12 14.8" fill="none" stroke="%[1]s" stroke-width="2.3" stroke-linecap="round"/><circle cx="12" cy="18" r="1.4" fill="%[1]s"/>`,
	signBefore:      `<path d="M3 4 L3 20 M8 12 L20 12 M14.5 6 L20.5 12 L14.5 18" fill="none" stroke="%[1]s" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round"/>`,
	signWrong:       `<path d="M2 2 L22 2 L22 22 L2 22 Z" fill="%[1]s"/><path d="M7 7 L17 17 M17 7 L7 17" fill="none" stroke="%[2]s" stroke-width="2.8" stroke-linecap="round"/>`,
}

func hexOf(colour color.NRGBA) string {
	return fmt.Sprintf("#%02x%02x%02x", colour.R, colour.G, colour.B)
}

// resource is the picture of a sign in a colour, for the toolkit's cache: the
// same sign and colour have the same name.
func (s sign) resource(colour, on color.NRGBA) fyne.Resource {
	front, back := hexOf(colour), hexOf(on)
	text := `<svg xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24">` + fmt.Sprintf(shapes[s]+"<!--%[1]s%[2]s-->", front, back) + `</svg>`
	return fyne.NewStaticResource(string(s)+front[1:]+back[1:]+".svg", []byte(text))
}

// picture returns the sign as an object of a size.
func (s sign) picture(colour color.NRGBA, size float32) *canvas.Image {
	image := canvas.NewImageFromResource(s.resource(colour, look.Now().OnTint))
	image.FillMode = canvas.ImageFillContain
	image.SetMinSize(fyne.NewSize(size, size))
	return image
}

// meaning is how an outcome is shown.
type meaning struct {
	sign   sign
	word   string // in capitals, large
	short  string // in a list
	colour color.NRGBA
}

func meaningOf(outcome judge.Outcome) meaning {
	t := look.Now()
	switch outcome {
	case judge.Agrees:
		return meaning{signAgrees, "AGREES", "agrees", t.Good}
	case judge.Discovery:
		return meaning{signDiscovery, "DISCOVERY", "discovery", t.Accent}
	case judge.Contradicts:
		return meaning{signContradicts, "CONTRADICTS", "contradicts", t.Bad}
	case judge.Undecided:
		return meaning{signUndecided, "UNDECIDED", "undecided", t.Warn}
	}
	return meaning{signWaiting, "STORED", "stored", t.Soft}
}
