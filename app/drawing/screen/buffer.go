// Package screen draws into a picture in memory, for the window's chart and for
// previews of sheets. It is the hot path of the chart: lines along the axes are
// filled as clipped rectangles, labels are copied from an atlas of glyphs, both
// without allocating; only slanted and round things go through a rasteriser. It
// knows no window.
package screen

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"unsafe"

	"bellout/app/drawing"

	"golang.org/x/image/vector"
)

// Buffer is a picture that is drawn anew each frame: Begin, then the methods of a
// drawing.Pen, then Image. The zero value is ready. One goroutine at a time.
type Buffer struct {
	picture       *image.RGBA
	pixels        []uint32 // those of picture
	memory        []uint32 // pixels, and more where the picture was larger
	width, height int
	scale         float64
	dx, dy        float64

	atlases  map[atlasKey]*atlas
	last     *atlas
	inAtlas  int // bytes of glyph pictures
	uses     int // of atlases, to know the oldest
	shape    shape
	stamps   map[stampKey]*stamp
	raster   vector.Rasterizer
	mask     image.Alpha
	strip    [2][]drawing.Point // scratch of clipping
	way      []drawing.Point    // scratch of lines
	corners  [4]drawing.Point
	columns  []int // scratch of Stretch
	pictures []scaled
}

var _ drawing.Pen = (*Buffer)(nil)

// Begin starts a frame of a size in pixels: the picture is filled with a
// background, of which alpha is ignored. scale is how many pixels a unit of the
// drawing has; x and y are the pixel at which the drawing's origin lies. A frame
// of the same size as the last reuses its picture.
func (b *Buffer) Begin(width, height int, background color.NRGBA, scale, x, y float64) {
	b.size(width, height)
	b.Look(scale, x, y)
	background.A = 255
	flood(b.pixels, packed(background))
}

// size gives the picture a size, in the memory that it has where that suffices.
func (b *Buffer) size(width, height int) {
	width, height = max(width, 1), max(height, 1)
	if b.picture != nil && width == b.width && height == b.height {
		return
	}
	b.width, b.height = width, height
	if count := width * height; count <= cap(b.memory) && count > cap(b.memory)/8 {
		b.pixels = b.memory[:count]
	} else {
		b.memory = make([]uint32, count)
		b.pixels = b.memory
	}
	b.picture = &image.RGBA{
		Pix:    unsafe.Slice((*uint8)(unsafe.Pointer(unsafe.SliceData(b.pixels))), 4*len(b.pixels)),
		Stride: 4 * width, Rect: image.Rect(0, 0, width, height),
	}
}

// Look changes scale and origin in mid-frame, as for an inset. See Begin.
func (b *Buffer) Look(scale, x, y float64) { b.scale, b.dx, b.dy = scale, x, y }

// Image returns the picture. It is drawn over by the next frame.
func (b *Buffer) Image() *image.RGBA { return b.picture }

// Seen returns the part of the drawing that the picture shows, for who wants to
// leave out what lies outside it; drawing it costs a comparison or two anyway.
func (b *Buffer) Seen() drawing.Box {
	return drawing.Box{
		Min: drawing.Point{X: -b.dx / b.scale, Y: -b.dy / b.scale},
		Max: drawing.Point{X: (float64(b.width) - b.dx) / b.scale, Y: (float64(b.height) - b.dy) / b.scale},
	}
}

// Link does nothing: the window knows by itself where it was clicked.
func (b *Buffer) Link(drawing.Box, string) {}

// Anchor does nothing, as Link.
func (b *Buffer) Anchor(drawing.Point, string, string) {}

// packed lays a colour out as a pixel of image.RGBA; an opaque one only.
func packed(c color.NRGBA) uint32 {
	bytes := [4]byte{c.R, c.G, c.B, c.A}
	return binary.NativeEndian.Uint32(bytes[:])
}

// ink is a colour ready to be laid over pixels. All pixels are opaque, so the
// four bytes of a pixel mix alike and their order does not matter.
type ink struct {
	pixel  uint32 // the colour at full cover
	spread uint64 // its bytes in four lanes of 16 bits
	alpha  uint32 // 0 to 255
	opaque bool
}

func inkOf(c color.NRGBA) ink {
	alpha := uint32(c.A)
	c.A = 255
	pixel := packed(c)
	return ink{pixel: pixel, spread: spread(pixel), alpha: alpha, opaque: alpha == 255}
}

// lanes masks the low byte of each 16 bits.
const lanes = 0x00FF00FF00FF00FF

// spread lays the bytes of a pixel into four lanes of 16 bits.
func spread(pixel uint32) uint64 { return (uint64(pixel) | uint64(pixel)<<24) & lanes }

// over lays a colour, spread out, over a pixel with a cover of 0 to 256.
func over(colour uint64, under uint32, cover uint64) uint32 {
	mixed := (colour*cover + spread(under)*(256-cover)) >> 8 & lanes
	return uint32(mixed | mixed>>24)
}

// cover is how much of a pixel ink covers where its mask has a value of 0 to 255.
func (k *ink) cover(mask byte) uint64 {
	a := uint32(mask)
	if !k.opaque {
		a = a*k.alpha + 128
		a = (a + a>>8) >> 8
	}
	return uint64(a + a>>7)
}

// block fills pixels from x0, y0 up to x1, y1, clipped.
func (b *Buffer) block(x0, y0, x1, y1 int, k *ink) {
	x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, b.width), min(y1, b.height)
	if x0 >= x1 || y0 >= y1 {
		return
	}
	if !k.opaque {
		cover := k.cover(255)
		for y := y0; y < y1; y++ {
			row := b.pixels[y*b.width+x0 : y*b.width+x1]
			for i, under := range row {
				row[i] = over(k.spread, under, cover)
			}
		}
		return
	}
	switch x1 - x0 {
	case 1: // a thin upright line
		for i := y0*b.width + x0; y0 < y1; y0++ {
			b.pixels[i] = k.pixel
			i += b.width
		}
	case 2:
		for i := y0*b.width + x0; y0 < y1; y0++ {
			pair := b.pixels[i : i+2 : i+2]
			pair[0], pair[1] = k.pixel, k.pixel
			i += b.width
		}
	default:
		first := b.pixels[y0*b.width+x0 : y0*b.width+x1]
		flood(first, k.pixel)
		for y := y0 + 1; y < y1; y++ {
			copy(b.pixels[y*b.width+x0:y*b.width+x1], first)
		}
	}
}

// flood fills pixels: a few by hand, then by copying what is there, which the
// machine does in large bites.
func flood(pixels []uint32, pixel uint32) {
	const byHand = 16
	head := pixels[:min(len(pixels), byHand)]
	for i := range head {
		head[i] = pixel
	}
	for done := byHand; done < len(pixels); done *= 2 {
		copy(pixels[done:], pixels[:done])
	}
}

// pixel limits what is turned into an int: beyond it nothing is seen.
const pixelLimit = 1 << 28

// px rounds a place on the picture to a pixel's edge.
func px(v float64) int {
	if !(v > -pixelLimit) {
		return -pixelLimit
	}
	if v > pixelLimit {
		return pixelLimit
	}
	return int(v+(pixelLimit+0.5)) - pixelLimit // rounds down at any sign
}

// x and y turn places of the drawing into places on the picture.
func (b *Buffer) x(v float64) float64 { return v*b.scale + b.dx }
func (b *Buffer) y(v float64) float64 { return v*b.scale + b.dy }

// finite says that a place can be drawn at all.
func finite(p drawing.Point) bool { return !math.IsNaN(p.X-p.X) && !math.IsNaN(p.Y-p.Y) }
