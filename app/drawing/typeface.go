package drawing

import (
	"sync"
	"sync/atomic"
	"unicode"

	"bellout/assets"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Source says where the look of a character comes from.
type Source uint8

// The sources, in the order in which they are asked.
const (
	Own      Source = iota // the typeface itself
	Fallback               // Go's typefaces, for arrows, Greek, the micro sign
	Blank                  // a blank of some width
	StandIn                // no typeface has it: its number in a box
)

// Glyph is how one character is drawn in one face. Lengths are in parts of the
// type's size.
type Glyph struct {
	Source  Source
	Index   uint16  // in the typeface of Source
	Advance float32 // from this glyph's origin to the next one's
	Shift   float32 // of the picture to the right of the origin
}

// Faces is how many faces there are.
const Faces = int(MonoBold) + 1

// files are the typefaces of each face: the own one, then the fallback.
func files(face Face) (own, fallback []byte) {
	switch face {
	case Bold:
		return assets.FontBold, gobold.TTF
	case Mono:
		return assets.FontMono, gomono.TTF
	case MonoBold:
		return assets.FontMonoBold, gomonobold.TTF
	}
	return assets.FontRegular, goregular.TTF
}

// Font returns the bytes of the TrueType file behind the glyphs of a source,
// for a document that embeds it. Source is Own or Fallback.
func Font(face Face, source Source) []byte {
	own, fallback := files(face)
	if source == Own {
		return own
	}
	return fallback
}

// pageOf is what is known of 256 characters in a row.
type pageOf [256]Glyph

// typeface is one face, read. Glyphs are looked up in pages that are filled at
// first use and never change, so that readers need no lock.
type typeface struct {
	pages  [(unicode.MaxRune + 1) / 256]atomic.Pointer[pageOf]
	own    *sfnt.Font
	other  *sfnt.Font
	pitch  float32 // the one advance of a mono face, else 0
	filled sync.Mutex
	buffer sfnt.Buffer // under filled
}

var typefaces [Faces]typeface

var readTypefaces = sync.OnceFunc(func() {
	for face := range typefaces {
		own, fallback := files(Face(face))
		t := &typefaces[face]
		t.own, t.other = read(own), read(fallback)
		if Face(face) == Mono || Face(face) == MonoBold {
			t.pitch = advance(t.own, &t.buffer, '0')
		}
	}
})

// read parses an embedded file; that it can be read is for a test to say.
func read(file []byte) *sfnt.Font {
	parsed, err := sfnt.Parse(file)
	if err != nil {
		panic("drawing: an embedded typeface is damaged: " + err.Error())
	}
	return parsed
}

// ems is the size at which lengths are asked, so large that the 1/64 of
// fixed-point numbers are below a typeface's own units.
const ems = 1024

func advance(f *sfnt.Font, buffer *sfnt.Buffer, r rune) float32 {
	index, err := f.GlyphIndex(buffer, r)
	if err != nil {
		return 0
	}
	return advanceOf(f, buffer, index)
}

func advanceOf(f *sfnt.Font, buffer *sfnt.Buffer, index sfnt.GlyphIndex) float32 {
	width, err := f.GlyphAdvance(buffer, index, fixed.I(ems), font.HintingNone)
	if err != nil {
		return 0
	}
	return float32(width) / (64 * ems)
}

// Look returns how a character is drawn in a face: always something, whatever
// the character. It is quick, allocates nothing once it has seen the
// neighbourhood of r, and may be called from several goroutines.
func Look(r rune, face Face) Glyph {
	if r < 0 || r > unicode.MaxRune {
		r = unicode.ReplacementChar
	}
	t := &typefaces[sound(face)]
	page := t.pages[r>>8].Load()
	if page == nil {
		page = t.fill(r >> 8)
	}
	return page[r&0xFF]
}

// sound returns face, or Regular for one that is none.
func sound(face Face) Face {
	if face < 0 || int(face) >= Faces {
		return Regular
	}
	return face
}

func (t *typeface) fill(number rune) *pageOf {
	readTypefaces()
	t.filled.Lock()
	defer t.filled.Unlock()
	if page := t.pages[number].Load(); page != nil {
		return page
	}
	page := new(pageOf)
	for i := range page {
		page[i] = t.find(number<<8 | rune(i))
	}
	t.pages[number].Store(page)
	return page
}

func (t *typeface) find(r rune) Glyph {
	if !acts(r) {
		for source, file := range []*sfnt.Font{t.own, t.other} {
			index, err := file.GlyphIndex(&t.buffer, r)
			if err != nil || index == 0 {
				continue
			}
			width := advanceOf(file, &t.buffer, index)
			glyph := Glyph{Source: Source(source), Index: uint16(index), Advance: width}
			if t.pitch > 0 && width > 0 { // columns stay columns
				glyph.Shift, glyph.Advance = (t.pitch-width)/2, t.pitch
			}
			return glyph
		}
		if unicode.Is(unicode.Zs, r) {
			return Glyph{Source: Blank, Advance: t.blank(r)}
		}
	}
	return Glyph{Source: StandIn, Advance: t.boxed(r)}
}

// blank is the width of a blank that no typeface has: that of an ideograph, or
// a thin one.
func (t *typeface) blank(r rune) float32 {
	switch {
	case t.pitch > 0:
		return t.pitch
	case r == 0x3000:
		return 1
	}
	return 0.25
}

// boxed is the width of a stand-in: a whole number of columns in a mono face.
func (t *typeface) boxed(r rune) float32 {
	width := standInWidth(r)
	if t.pitch > 0 {
		columns := float32(1)
		for columns*t.pitch < width {
			columns++
		}
		return columns * t.pitch
	}
	return width
}
