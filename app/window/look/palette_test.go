package look

import (
	"image/color"
	"math"
	"testing"
)

// contrast is the contrast ratio of WCAG 2.1, "contrast ratio" and "relative
// luminance" (W3C Recommendation, 2018; formula from memory).
func contrast(a, b color.NRGBA) float64 {
	lighter, darker := luminance(a), luminance(b)
	if lighter < darker {
		lighter, darker = darker, lighter
	}
	return (lighter + 0.05) / (darker + 0.05)
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

func TestContrastOfBlackOnWhite(t *testing.T) {
	if got := contrast(hex(0), hex(0xFFFFFF)); math.Abs(got-21) > 1e-9 { // the scale's end, WCAG 2.1
		t.Fatalf("contrast %v, want 21", got)
	}
}

func TestTextIsReadOnEveryGround(t *testing.T) {
	const least = 4.5
	for name, p := range map[string]Palette{"day": Day, "night": Night} {
		for ground, behind := range map[string]color.NRGBA{"ground": p.Ground, "raised": p.Raised, "sunken": p.Sunken, "chosen": p.Chosen} {
			for text, front := range map[string]color.NRGBA{
				"ink": p.Ink, "soft": p.Soft, "accent": p.Accent, "good": p.Good, "bad": p.Bad, "warn": p.Warn, "red tip": p.RedTip, "black tip": p.BlkTip,
			} {
				if got := contrast(front, behind); got < least {
					t.Errorf("%s: %s on %s has a contrast of %.2f, want %v", name, text, ground, got, least)
				}
			}
		}
		for tint, behind := range map[string]color.NRGBA{"accent": p.Accent, "good": p.Good, "bad": p.Bad, "warn": p.Warn, "red tip": p.RedTip} {
			if got := contrast(p.OnTint, behind); got < least {
				t.Errorf("%s: text on %s has a contrast of %.2f, want %v", name, tint, got, least)
			}
		}
	}
}
