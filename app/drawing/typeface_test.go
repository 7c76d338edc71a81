package drawing

import (
	"testing"

	"golang.org/x/image/font/sfnt"
)

// Every glyph of every embedded file has an outline that can be read, so that
// nothing a typeface has is ever drawn as nothing.
func TestTypefacesAreWhole(t *testing.T) {
	for face := Regular; face <= MonoBold; face++ {
		for _, source := range []Source{Own, Fallback} {
			parsed, err := sfnt.Parse(Font(face, source))
			if err != nil {
				t.Fatalf("face %d, source %d: %v", face, source, err)
			}
			var buffer sfnt.Buffer
			for i := range parsed.NumGlyphs() {
				if _, err := parsed.LoadGlyph(&buffer, sfnt.GlyphIndex(i), 1024<<6, nil); err != nil {
					t.Errorf("face %d, source %d, glyph %d: %v", face, source, i, err)
				}
			}
		}
	}
}

// What wiring is written with has a true glyph in every face.
func TestTradeSignsHaveGlyphs(t *testing.T) {
	for _, r := range "ABCXYZabcxyz0123456789+-−±×·.,:;/()[]%°Ωµμ²³½→←↑↓≤≥≈∞…–—•äöüßéèçñøåłŁżΔ" {
		for face := Regular; face <= MonoBold; face++ {
			if glyph := Look(r, face); glyph.Source > Fallback {
				t.Errorf("%c (%U) has no glyph in face %d", r, r, face)
			}
			if len(Outline(r, face)) == 0 {
				t.Errorf("%c (%U) is drawn as nothing in face %d", r, r, face)
			}
		}
	}
	if Look('Ω', Regular).Source != Own || Look('→', Regular).Source != Fallback || Look('א', Regular).Source != StandIn || Look('\u3000', Regular).Source != Blank {
		t.Error("the sources are not asked in their order")
	}
}

// A stand-in is a closed frame with as many digits as the number has, inside its
// own advance.
func TestStandInsStayInTheirPlace(t *testing.T) {
	for _, r := range []rune{0x05D0, 0x1F600, 0x10FFFF, 0, 0x202E} {
		for face := Regular; face <= MonoBold; face++ {
			advance := float64(Look(r, face).Advance)
			for _, step := range Outline(r, face) {
				if step.A.X < 0 || step.A.X > advance || step.A.Y < -1 || step.A.Y > 0.3 {
					t.Fatalf("%U in face %d reaches %v, its advance is %g", r, face, step.A, advance)
				}
			}
		}
	}
	if number(0x5D0) != "05D0" || number(0x1F600) != "01F600" {
		t.Errorf("numbers read %s and %s", number(0x5D0), number(0x1F600))
	}
}

func TestHeightsOfType(t *testing.T) {
	capital, small := CapHeight(), XHeight()
	if !(0.4 < small && small < capital && capital < 0.8) {
		t.Errorf("capitals are %g, small letters %g of the size", capital, small)
	}
}
