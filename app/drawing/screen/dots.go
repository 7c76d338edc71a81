package screen

import "image"

// dot is one pixel that something covers: where it lies from the thing's origin,
// and its cover of 1 to 256. Half of a glyph's box is clear, and a loop over what
// is not takes no branch that the processor guesses wrong.
type dot struct {
	x, y  int16
	cover uint16
}

const dotBytes = 6

// bounds is the box around dots; right and bottom lie outside.
type bounds struct{ left, top, right, bottom int16 }

// dotted adds what a mask covers, whose upper left pixel lies at left, top.
func dotted(to []dot, mask []byte, left, top, width int) ([]dot, bounds) {
	for i, m := range mask {
		if m > 0 {
			to = append(to, dot{int16(left + i%width), int16(top + i/width), uint16(m) + uint16(m>>7)})
		}
	}
	return to, bounds{int16(left), int16(top), int16(left + width), int16(top + len(mask)/width)}
}

// blit lays ink over the pixels through dots whose origin lies at a pixel, clipped.
func (b *Buffer) blit(dots []dot, box bounds, x, y int, k *ink) {
	colour, strength := k.spread, uint64(k.alpha+k.alpha>>7)
	if x+int(box.left) >= 0 && y+int(box.top) >= 0 && x+int(box.right) <= b.width && y+int(box.bottom) <= b.height {
		at := y*b.width + x
		if k.opaque {
			for _, d := range dots {
				p := &b.pixels[at+int(d.y)*b.width+int(d.x)]
				*p = over(colour, *p, uint64(d.cover))
			}
			return
		}
		for _, d := range dots {
			p := &b.pixels[at+int(d.y)*b.width+int(d.x)]
			*p = over(colour, *p, uint64(d.cover)*strength>>8)
		}
		return
	}
	for _, d := range dots {
		x, y := x+int(d.x), y+int(d.y)
		if x >= 0 && y >= 0 && x < b.width && y < b.height {
			p := &b.pixels[y*b.width+x]
			*p = over(colour, *p, uint64(d.cover)*strength>>8)
		}
	}
}

// masked ends what was begun in the rasteriser and returns its mask, row by row,
// in a scratch slice.
func (b *Buffer) masked(width, height int) []byte {
	if cap(b.mask.Pix) < width*height {
		b.mask.Pix = make([]byte, width*height)
	}
	b.mask.Pix, b.mask.Stride, b.mask.Rect = b.mask.Pix[:width*height], width, image.Rect(0, 0, width, height)
	b.raster.Draw(&b.mask, b.mask.Rect, image.Opaque, image.Point{})
	return b.mask.Pix
}
