package look

import (
	"image"
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
)

// TestSignsAreToldApartWithoutColour draws every sign in the same ink, at the
// size of a list, and asks that no two share most of what is drawn.
func TestSignsAreToldApartWithoutColour(t *testing.T) {
	test.NewTempApp(t)
	const side = 18
	const least = 0.25 // two octagons, one broken, are the nearest: both are wrong
	drawn := map[Sign]image.Image{}
	for sign := Sign(0); sign < signs; sign++ {
		picture := canvas.NewImageFromResource(sign.drawn(color.NRGBA{A: 255}, color.NRGBA{R: 255, G: 255, B: 255, A: 255}))
		picture.FillMode = canvas.ImageFillContain
		picture.SetMinSize(fyne.NewSize(side, side))
		w := test.NewTempWindow(t, Ground(color.White, picture))
		w.SetPadded(false)
		w.Resize(fyne.NewSize(side, side))
		drawn[sign] = w.Canvas().Capture()
	}
	for a := Sign(0); a < signs; a++ {
		for b := a + 1; b < signs; b++ {
			if got := apart(drawn[a], drawn[b]); got < least {
				t.Errorf("of what is drawn, signs %d and %d differ in %.2f, want %v", a, b, got, least)
			}
		}
	}
}

// apart is how much of the ink of two pictures is in one of them only, from 0 to
// 1.
func apart(a, b image.Image) float64 {
	one, both, bounds := 0.0, 0.0, a.Bounds()
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			p, q := ink(a.At(x, y)), ink(b.At(x, y))
			one += max(p, q) - min(p, q)
			both += max(p, q)
		}
	}
	return one / both
}

func ink(c color.Color) float64 { return 1 - float64(color.GrayModel.Convert(c).(color.Gray).Y)/255 }
