package screen

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
