package screen

import (
	"image/draw"
	"math"

	"bellout/app/drawing"
)

// atlasKey names the glyphs of one face at one size of pixels.
type atlasKey struct {
	face   drawing.Face
	halves int // size in half pixels
	upward bool
}

// places is how many pictures a glyph has, for as many places of its origin
// between two pixels along the line: without them letters stand unevenly.
const places = 4

// cell is the picture of one glyph: some dots of the atlas.
type cell struct {
	from, to int32
	bounds   bounds
	known    bool
}

// atlas holds the glyphs of one key that were asked for so far.
type atlas struct {
	key  atlasKey
	dots []dot
	near [256 * places]cell // of the first 256 characters
	far  map[rune]*[places]cell
	used int // the later, the larger
}

// What the glyphs of all sizes may take together: past it the atlases that were
// not used for longest are dropped. Type larger than largestCell pixels is drawn
// from its outline each time.
const (
	atlasBytes  = 8 << 20
	largestCell = 96
)

// atlasOf returns the atlas of a face at a size in pixels.
func (b *Buffer) atlasOf(face drawing.Face, size float64, upward bool) *atlas {
	key := atlasKey{face, int(size*2 + 0.5), upward}
	b.uses++
	if b.last != nil && b.last.key == key {
		b.last.used = b.uses
		return b.last
	}
	found := b.atlases[key]
	if found == nil {
		b.makeRoom()
		found = &atlas{key: key, far: map[rune]*[places]cell{}}
		if b.atlases == nil {
			b.atlases = map[atlasKey]*atlas{}
		}
		b.atlases[key] = found
		b.inAtlas += atlasOverhead
	}
	found.used = b.uses
	b.last = found
	return found
}

// Sizes in bytes: of a glyph's place in an atlas, and of an atlas without any.
const (
	cellBytes     = 20
	atlasOverhead = 256 * places * cellBytes
)

// bytes is what an atlas takes.
func (a *atlas) bytes() int {
	return atlasOverhead + cap(a.dots)*dotBytes + len(a.far)*places*cellBytes
}

// makeRoom drops the oldest atlases until there is room for more.
func (b *Buffer) makeRoom() {
	for b.inAtlas > atlasBytes && len(b.atlases) > 0 {
		var oldest *atlas
		for _, a := range b.atlases {
			if oldest == nil || a.used < oldest.used {
				oldest = a
			}
		}
		delete(b.atlases, oldest.key)
		b.inAtlas -= oldest.bytes()
	}
}

// cell returns the picture of a character with its origin at a place between two
// pixels, drawing it at first use.
func (b *Buffer) cell(a *atlas, r rune, place int) *cell {
	var c *cell
	if r < 256 && r >= 0 {
		c = &a.near[int(r)*places+place]
	} else {
		row := a.far[r]
		if row == nil {
			row = new([places]cell)
			a.far[r] = row
			b.inAtlas += places * cellBytes
		}
		c = &row[place]
	}
	if !c.known {
		b.rasterise(a, r, place, c)
	}
	return c
}

// rasterise draws the picture of a glyph into the atlas.
func (b *Buffer) rasterise(a *atlas, r rune, place int, c *cell) {
	c.known = true
	steps := drawing.Outline(r, a.key.face)
	if len(steps) == 0 {
		return
	}
	size := float64(a.key.halves) / 2
	offset := float64(place) / places
	turn := func(p drawing.Point) drawing.Point {
		x, y := p.X*size+offset, p.Y*size
		if a.key.upward {
			return drawing.Point{X: y, Y: -x}
		}
		return drawing.Point{X: x, Y: y}
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	reach := func(p drawing.Point) {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	for _, s := range steps {
		reach(turn(s.A))
		if s.Verb == drawing.Curve {
			reach(turn(s.B))
		}
	}
	left, top := int(math.Floor(x0)), int(math.Floor(y0))
	width, height := int(math.Ceil(x1))-left, int(math.Ceil(y1))-top
	if width <= 0 || height <= 0 {
		return
	}
	b.raster.Reset(width, height)
	b.raster.DrawOp = draw.Src
	for _, s := range steps {
		p := turn(s.A)
		x, y := float32(p.X-float64(left)), float32(p.Y-float64(top))
		switch s.Verb {
		case drawing.Move:
			b.raster.ClosePath()
			b.raster.MoveTo(x, y)
		case drawing.Straight:
			b.raster.LineTo(x, y)
		case drawing.Curve:
			q := turn(s.B)
			b.raster.QuadTo(x, y, float32(q.X-float64(left)), float32(q.Y-float64(top)))
		}
	}
	b.raster.ClosePath()
	mask := b.masked(width, height)
	before := cap(a.dots)
	c.from = int32(len(a.dots))
	a.dots, c.bounds = dotted(a.dots, mask, left, top, width)
	c.to = int32(len(a.dots))
	b.inAtlas += (cap(a.dots) - before) * dotBytes
}
