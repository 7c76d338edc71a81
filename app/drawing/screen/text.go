package screen

import (
	"image/color"
	"math"

	"bellout/app/drawing"
)

// Below these sizes of type, in pixels, text is drawn as a grey bar as long as
// the text, then not at all: it could not be read, and would cost most when there
// is most of it.
const (
	SmallestText = 5.0
	SmallestBar  = 2.5
)

// Legible says whether text of a size, in the drawing's unit, is drawn as letters
// at the present scale: who has lesser labels to draw asks first, and leaves them
// out a step before the others.
func (b *Buffer) Legible(size float64) bool { return size*b.scale >= SmallestText }

// Text writes one line.
func (b *Buffer) Text(text drawing.Text) {
	size := text.Size * b.scale
	if !(size >= SmallestBar) || size > pixelLimit || text.Colour.A == 0 || text.Text == "" || !finite(text.At) {
		return
	}
	x, y := b.x(text.At.X), b.y(text.At.Y)
	if !text.Upward { // most text of a large sheet goes out here, unmeasured
		if y < -size || y > float64(b.height)+2*size || x > float64(b.width)+size && text.Align == drawing.Left {
			return
		}
	} else if x < -2*size || x > float64(b.width)+size {
		return
	}
	clean := drawing.Clean(text.Text)
	start, length := text.Extent()
	start, length = start*b.scale, length*b.scale
	if text.Upward {
		y -= start
		if !b.seen(x-size, y-length, x+size, y, size) {
			return
		}
	} else {
		x += start
		if !b.seen(x, y-size, x+length, y+size, size) {
			return
		}
	}
	switch {
	case size < SmallestText:
		b.bar(x, y, length, size, text)
	case size > largestCell:
		b.outlined(clean, x, y, size, text)
	default:
		b.letters(clean, x, y, size, text)
	}
}

// letters copies glyphs from the atlas, each to the quarter of a pixel where it
// belongs. x, y is where the first glyph's origin lies.
func (b *Buffer) letters(clean string, x, y, size float64, text drawing.Text) {
	a := b.atlasOf(text.Face, size, text.Upward)
	k := inkOf(text.Colour)
	if text.Upward {
		column, along := px(x), -y
		for _, r := range clean {
			at := math.Floor(along*places + 0.5)
			whole := math.Floor(at / places)
			c := b.cell(a, r, int(at-whole*places))
			b.blit(a.dots[c.from:c.to], c.bounds, column, -int(whole), &k)
			along += float64(drawing.Look(r, text.Face).Advance) * size
		}
		return
	}
	row := px(y)
	for _, r := range clean {
		at := int(math.Floor(x*places + 0.5))
		if at > b.width*places+largestCell*places {
			return
		}
		c := b.cell(a, r, at&(places-1))
		b.blit(a.dots[c.from:c.to], c.bounds, at>>2, row, &k)
		x += float64(drawing.Look(r, text.Face).Advance) * size
	}
}

// outlined draws very large type from its outlines.
func (b *Buffer) outlined(clean string, x, y, size float64, text drawing.Text) {
	const chords = 8
	along := 0.0
	for _, r := range clean {
		b.shape.reset()
		at := func(p drawing.Point) (float64, float64) {
			if text.Upward {
				return x + p.Y*size, y - along - p.X*size
			}
			return x + along + p.X*size, y + p.Y*size
		}
		var pen drawing.Point
		for _, s := range drawing.Outline(r, text.Face) {
			switch s.Verb {
			case drawing.Move:
				b.shape.close()
				b.shape.to(at(s.A))
				pen = s.A
			case drawing.Straight:
				b.shape.to(at(s.A))
				pen = s.A
			case drawing.Curve:
				for i := 1.0; i <= chords; i++ {
					t := i / chords
					u := 1 - t
					b.shape.to(at(drawing.Point{
						X: u*u*pen.X + 2*u*t*s.A.X + t*t*s.B.X,
						Y: u*u*pen.Y + 2*u*t*s.A.Y + t*t*s.B.Y,
					}))
				}
				pen = s.B
			}
		}
		b.fill(text.Colour)
		along += float64(drawing.Look(r, text.Face).Advance) * size
	}
}

// bar stands for text that is too small to be read.
func (b *Buffer) bar(x, y, length, size float64, text drawing.Text) {
	k := inkOf(color.NRGBA{R: text.Colour.R, G: text.Colour.G, B: text.Colour.B, A: text.Colour.A / 3})
	thick := max(int(size/3+0.5), 1)
	middle := drawing.XHeight() / 2 * size
	if text.Upward {
		left := px(x - middle - float64(thick)/2)
		b.block(left, px(y-length), left+thick, px(y), &k)
		return
	}
	top := px(y - middle - float64(thick)/2)
	b.block(px(x), top, px(x+length), top+thick, &k)
}
