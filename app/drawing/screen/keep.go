package screen

import "image/color"

// Shift moves what is on the picture by whole pixels, to the right and down, as
// long as its scale stays. What comes in at the edges is what was there before:
// somebody has to draw over it. The origin moves along.
func (b *Buffer) Shift(right, down int) {
	b.dx, b.dy = b.dx+float64(right), b.dy+float64(down)
	width, height := b.width-abs(right), b.height-abs(down)
	if width <= 0 || height <= 0 || right == 0 && down == 0 {
		return
	}
	from, to := max(-right, 0), max(right, 0)
	row := func(y int) {
		copy(b.pixels[(y+max(down, 0))*b.width+to:][:width], b.pixels[(y+max(-down, 0))*b.width+from:][:width])
	}
	if down > 0 { // from below, or a row would be read after it was written
		for y := height - 1; y >= 0; y-- {
			row(y)
		}
		return
	}
	for y := range height {
		row(y)
	}
}

// Put copies the picture of another buffer, its upper left corner to a pixel of
// this one; what lies beyond the edges is left out.
func (b *Buffer) Put(other *Buffer, x, y int) {
	from, to := max(x, 0), min(x+other.width, b.width)
	if from >= to {
		return
	}
	for at := max(y, 0); at < min(y+other.height, b.height); at++ {
		copy(b.pixels[at*b.width+from:at*b.width+to], other.pixels[(at-y)*other.width+from-x:])
	}
}

// Resume starts a frame, as Begin does, on a copy of another buffer's picture
// in place of a bare background.
func (b *Buffer) Resume(other *Buffer) {
	b.size(other.width, other.height)
	b.Look(other.scale, other.dx, other.dy)
	copy(b.pixels, other.pixels)
}

func abs(n int) int { return max(n, -n) }

// Stretch starts a frame of the same size as another buffer's picture and at
// another scale or place: what that one shows is shown there, coarsely, over a
// background of which alpha is ignored. It takes the time of a copy, whatever the
// drawing holds.
func (b *Buffer) Stretch(other *Buffer, background color.NRGBA, scale, x, y float64) {
	b.Begin(other.width, other.height, background, scale, x, y)
	if !(scale > 0) || !(other.scale > 0) {
		return
	}
	ratio := other.scale / scale
	// The pixels between edges are those whose middle the other picture has.
	place := func(at int, here, there float64) int {
		return px((float64(at)+0.5-here)*ratio + there - 0.5)
	}
	if cap(b.columns) < b.width {
		b.columns = make([]int, b.width)
	}
	columns := b.columns[:b.width]
	from, to := b.width, 0
	for i := range columns {
		columns[i] = place(i, x, other.dx)
		if columns[i] >= 0 && columns[i] < other.width {
			from, to = min(from, i), i+1
		}
	}
	for row := range b.height {
		source := place(row, y, other.dy)
		if source < 0 || source >= other.height || from >= to {
			continue
		}
		line, out := other.pixels[source*other.width:(source+1)*other.width], b.pixels[row*b.width:(row+1)*b.width]
		for i := from; i < to; i++ {
			out[i] = line[columns[i]]
		}
	}
}
