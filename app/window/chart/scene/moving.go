package scene

import (
	"math"
	"sync"
	"time"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
)

// Moving draws one frame after another and keeps what a frame has in common with
// the last one. What moves with the chart lies on a picture of its own: as long
// as the chart is only panned that picture is shifted, and what came in at its
// edges drawn anew. What seeks its place in what is seen is drawn over a copy of
// it each time. Where all of it has to be drawn two hands share the work. The zero
// value is ready; one goroutine at a time.
type Moving struct {
	kept  screen.Buffer
	of    state
	hands [2]hand
	shown screen.Buffer

	// Drawn counts the pixels of the last frame that were drawn and not kept.
	Drawn int
	// Coarse says that the last frame was hasty and shows what there was, larger or
	// smaller: one that is not has to follow.
	Coarse bool

	took time.Duration // to draw a whole picture, when one was drawn last
}

// patience is how long a whole picture may take in a hasty frame: thirty of them a
// second leave room for all else that the window does.
const patience = 15 * time.Millisecond

// hand draws a part of the picture by itself.
type hand struct {
	buffer  screen.Buffer
	scratch scratch
}

// state is what the kept picture depends on.
type state struct {
	scene         *Scene
	version       int
	lit           *Lit
	palette       Palette
	width, height int // in pixels
	scale         float64
	pixels        float64 // of a unit of the screen
	crowding      crowding
	x, y          float64 // where the chart's origin lies, in pixels
}

// part is a rectangle of the picture, in pixels.
type part struct{ x0, y0, x1, y1 int }

func (p part) empty() bool { return p.x0 >= p.x1 || p.y0 >= p.y1 }

// Frame draws a frame of a size in pixels, of which a unit of the screen has so
// many. What it returns is drawn over by the next.
func (m *Moving) Frame(s *Scene, f *Frame, width, height int, pixels float64) *screen.Buffer {
	f.look(s)
	scale := f.Scale * pixels
	now := state{
		scene: s, version: s.version, lit: f.Lit, palette: *f.Palette, width: width, height: height, scale: scale, pixels: pixels,
		crowding: s.crowdingOf(f), x: -f.Origin.X * scale, y: -f.Origin.Y * scale,
	}
	right, down, shifted := now.shift(&m.of)
	m.Coarse = false
	switch {
	case shifted:
		// The kept picture stands where it did, or shifts would add up to a blur.
		now.x, now.y = m.of.x+right, m.of.y+down
		m.pan(f, now, int(right), int(down))
		m.of = now
	case f.Hasty && m.took > patience && now.alike(&m.of):
		m.Drawn, m.Coarse = 0, true
		m.shown.Stretch(&m.kept, f.Palette.Ground, scale, now.x, now.y)
	default:
		start := time.Now()
		m.kept.Begin(width, height, f.Palette.Ground, scale, now.x, now.y)
		m.whole(f, now)
		m.of, m.took = now, time.Since(start)
	}
	if !m.Coarse {
		m.shown.Resume(&m.kept)
		m.shown.Look(scale, -f.Origin.X*scale, -f.Origin.Y*scale)
	}
	d := &drawer{Scene: s, Frame: f, pen: &m.shown, scratch: &s.scratch, crowding: now.crowding}
	d.over()
	return &m.shown
}

// alike says that nothing but the place and the scale changed since another frame.
func (now state) alike(before *state) bool {
	now.x, now.y, now.scale, now.crowding = before.x, before.y, before.scale, before.crowding
	return now == *before
}

// shift is how many pixels the chart was moved by since another frame; false where
// something else changed, or it moved by a part of a pixel, or nothing is left.
func (now state) shift(before *state) (right, down float64, only bool) {
	right, down = math.Round(now.x-before.x), math.Round(now.y-before.y)
	const near = 1.0 / 16
	if math.Abs(now.x-before.x-right) > near || math.Abs(now.y-before.y-down) > near {
		return 0, 0, false
	}
	now.x, now.y = before.x, before.y
	return right, down, now == *before && math.Abs(right) < float64(now.width)/2 && math.Abs(down) < float64(now.height)/2
}

// pan shifts the kept picture and draws what came in: a column, and a row beside it.
func (m *Moving) pan(f *Frame, now state, right, down int) {
	m.Drawn = 0
	if right == 0 && down == 0 {
		return
	}
	m.kept.Shift(right, down)
	column, row := part{0, 0, right, now.height}, part{0, 0, now.width, down}
	if right < 0 {
		column.x0, column.x1 = now.width+right, now.width
	}
	if down < 0 {
		row.y0, row.y1 = now.height+down, now.height
	}
	m.draw(f, now, [2]part{column, row})
}

// whole draws all of the picture, the upper half with one hand and the lower with
// the other.
func (m *Moving) whole(f *Frame, now state) {
	// A cut between two of the bands in which slanted strokes are smoothed leaves
	// every pixel as it is drawn at once.
	cut := now.height / 2 / screen.Band * screen.Band
	m.draw(f, now, [2]part{{0, 0, now.width, cut}, {0, cut, now.width, now.height}})
}

// draw draws two parts of the picture at once.
func (m *Moving) draw(f *Frame, now state, parts [2]part) {
	m.Drawn = 0
	var both sync.WaitGroup
	for i, p := range parts {
		if p.empty() {
			continue
		}
		m.Drawn += (p.x1 - p.x0) * (p.y1 - p.y0)
		both.Go(func() { m.hands[i].draw(f, now, p) })
	}
	both.Wait()
	for i, p := range parts {
		if !p.empty() {
			m.kept.Put(&m.hands[i].buffer, p.x0, p.y0)
		}
	}
}

func (h *hand) draw(f *Frame, now state, p part) {
	h.buffer.Begin(p.x1-p.x0, p.y1-p.y0, f.Palette.Ground, now.scale, now.x-float64(p.x0), now.y-float64(p.y0))
	frame := *f
	frame.Origin = drawing.Point{X: (float64(p.x0) - now.x) / now.scale, Y: (float64(p.y0) - now.y) / now.scale}
	frame.Width, frame.Height = float64(p.x1-p.x0)/now.pixels, float64(p.y1-p.y0)/now.pixels
	frame.look(now.scene)
	d := &drawer{Scene: now.scene, Frame: &frame, pen: &h.buffer, scratch: &h.scratch, crowding: now.crowding}
	d.under()
}
