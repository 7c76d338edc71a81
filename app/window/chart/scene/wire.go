package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
)

// inks are the strokes of one frame for one set of insulation colours, worked
// out once: wires of a machine have few.
type inks struct {
	palette *Palette
	known   map[color.NRGBA]ink
}

// ink is how a colour is drawn on the paper in use.
type ink struct {
	cased  bool // needs an edge to be seen at all
	casing color.NRGBA
}

// leastSeen is the contrast below which insulation gets an edge. WCAG 2.1 asks
// for 3 of graphics, but every red and green would be edged then; the letters on
// the wire carry the meaning.
const leastSeen = 1.7

func (s *scratch) inkOf(palette *Palette, c color.NRGBA) ink {
	if s.ink.palette != palette || s.ink.known == nil {
		s.ink = inks{palette: palette, known: map[color.NRGBA]ink{}}
	}
	k, there := s.ink.known[c]
	if !there {
		k = ink{cased: contrast(c, palette.Ground) < leastSeen, casing: mixed(palette.Soft, palette.Ground, 0.25)}
		s.ink.known[c] = k
	}
	return k
}

// crowd is from how many wires on the screen on they are drawn plainly, one
// stroke a wire: so many leave no room between them in which edges or bands could
// be seen. Not proven is a thinner line in dashes, and blame a heavy one.
const crowd = 2500

// throng is from how many on every line is as thin as can be. What a reading
// proves is then pale, since it is settled; what is not proven lies over it in
// dots of the full colour, and what is blamed over both, heavy and with an edge
// of paper: the three differ in lightness and in pattern wherever they meet.
const throng = 20000

// farOff is the scale below which the wires of neighbouring terminals touch: they
// are drawn as a throng however few they are.
const farOff = 0.12

// allWires draws every wire that is seen: what steps back first, then what stands
// out, with a band under it. Of wires that step back and cross, the one that asks
// for more lies above.
func (d *drawer) allWires() {
	k := d.scratch
	for status := range k.order {
		k.order[status] = k.order[status][:0]
	}
	k.front = k.front[:0]
	on := d.Lit.On()
	for i := range d.extents {
		if !touch(d.extents[i], d.seen) {
			continue
		}
		if on && d.Lit.wires[i] != 0 {
			k.front = append(k.front, i)
			continue
		}
		status := d.wires[i].status
		if !d.crowding.crowd {
			status = Unproven // all in the order of their names
		}
		k.order[status] = append(k.order[status], int32(i))
	}
	d.detail.fine = !d.crowding.crowd
	for _, status := range []Status{Proven, Unproven, Contradicted} {
		for _, i := range k.order[status] {
			d.wire(&d.wires[i], !on)
		}
	}
	d.detail.fine = d.crowding.fineFront
	for _, i := range k.front {
		d.band(&d.wires[i], d.Lit.wires[i])
	}
	for _, i := range k.front {
		d.wire(&d.wires[i], true)
	}
}

// pathLetters names the paths on their wires, over everything that crosses them.
func (d *drawer) pathLetters() {
	if !d.Lit.On() {
		return
	}
	for i := range d.extents {
		if d.Lit.wires[i] == 0 || !touch(d.extents[i], d.seen) {
			continue
		}
		d.letter(&d.wires[i], d.Lit.wires[i])
	}
}

// pixels is how wide a wire is drawn: growing with the scale, more slowly.
func (d *drawer) pixels(w *wire) float64 {
	base := 2.0
	if w.thick {
		base = 3
	}
	switch {
	case d.Scale < 0.2:
		base--
	case d.Scale < 0.45 && !w.thick:
		base = 1
	case d.Scale > 1.6:
		base += 1
	}
	if d.Scale > 3 {
		base++
	}
	return base
}

func (d *drawer) wire(w *wire, lit bool) {
	width := d.pixels(w)
	if !d.detail.fine {
		d.plain(w, width, lit)
		return
	}
	whole := d.Lit.On() && lit
	base := d.Palette.Soft
	if len(w.colours) > 0 {
		base = w.colours[0]
	}
	k := d.scratch.inkOf(d.Palette, base)
	stroke := d.stroke(d.back(base, lit), width)
	if w.status == Unproven {
		stroke.Dash = d.dash
	}
	if k.cased {
		edge := stroke
		edge.Colour, edge.Width = d.back(k.casing, lit), d.px(width+2)
		if width < 1.5 {
			edge.Width = d.px(width + 1)
		}
		d.along(w, edge, whole)
		if stroke.Dash != nil && d.px(1) < d.dash[0]/4 { // the edge goes round each dash
			stroke.Dash = []float64{0, d.px(1), d.dash[0] - d.px(2), d.dash[1] + d.px(1)}
		}
	}
	d.along(w, stroke, whole)
	// The second colour of a wire is bands on the first, as on the insulation.
	if len(w.colours) > 1 && width > 1.5 {
		second := stroke
		second.Colour = d.back(w.colours[1], lit)
		second.Dash = []float64{d.px(5), d.px(5)}
		if w.status == Unproven {
			// On each dash the latter half, so that gaps stay gaps.
			on, off := d.dash[0], d.dash[1]
			second.Dash = []float64{on / 2, on/2 + off}
		}
		d.along(w, second, whole)
	}
	if len(w.colours) == 0 && d.Scale >= 0.45 { // not known: beads on the line
		d.beads(w, d.back(d.Palette.Soft, lit))
	}
}

// plain draws a wire among very many.
func (d *drawer) plain(w *wire, width float64, lit bool) {
	base := d.Palette.Soft
	if len(w.colours) > 0 {
		base = w.colours[0]
		if k := d.scratch.inkOf(d.Palette, base); k.cased {
			base = k.casing
		}
	}
	stroke := d.stroke(base, min(width, 2))
	switch {
	case w.status == Contradicted:
		stroke = d.stroke(d.Palette.Bad, 3)
		d.pen.Line(w.points, d.stroke(d.Palette.Ground, 5))
	case w.status == Unproven && d.crowding.throng:
		stroke.Width, stroke.Dash = d.px(1), d.dots3
		stroke.Colour = d.back(mixed(base, d.Palette.Ink, 0.35), lit)
		d.hatched(w, stroke)
		return
	case w.status == Unproven:
		stroke.Width, stroke.Dash = d.px(1), d.dash
	case d.crowding.throng:
		stroke.Width = d.px(1)
		stroke.Colour = mixed(base, d.Palette.Ground, 0.6)
	}
	stroke.Colour = d.back(stroke.Colour, lit)
	d.pen.Line(w.points, stroke)
}

// hatched draws a wire in dots that come where the sum of both coordinates says:
// wires that lie close together make an even hatching, not a pattern by chance.
func (d *drawer) hatched(w *wire, stroke drawing.Stroke) {
	for i := 1; i < len(w.points); i++ {
		run := span(w.points[i-1], w.points[i])
		before := math.Mod(run.Min.X+run.Min.Y, d.hatch6)
		if before < 0 {
			before += d.hatch6
		}
		if run.Min.Y == run.Max.Y {
			run.Min.X -= before
		} else {
			run.Min.Y -= before
		}
		d.scratch.run = [2]drawing.Point{run.Min, run.Max}
		d.pen.Line(d.scratch.run[:], stroke)
	}
}

// along draws a wire with gaps where it crosses others, if one is near enough to
// tell them from dashes; whole where it stands out and passes over them.
func (d *drawer) along(w *wire, stroke drawing.Stroke, whole bool) {
	if !d.detail.hops || w.pieces == nil || whole {
		d.pen.Line(w.points, stroke)
		return
	}
	for _, piece := range w.pieces {
		d.pen.Line(piece, stroke)
	}
}

// beads mark a wire whose colour nobody knows.
func (d *drawer) beads(w *wire, c color.NRGBA) {
	from, to := w.longest[0], w.longest[1]
	for _, t := range []float64{0.35, 0.5, 0.65} {
		at := drawing.Point{X: from.X + (to.X-from.X)*t, Y: from.Y + (to.Y-from.Y)*t}
		if within(d.seen, at) {
			d.pen.Rectangle(square(at, d.px(2)), 0, d.stroke(c, 1), d.Palette.Ground)
		}
	}
}

// patterns tell the kinds of path apart without colour: lengths of ink and gap on
// the screen. What is merely joined has a whole band.
var patterns = [PathKinds][]float64{nil, nil, {18, 5}, {4, 4}, {26, 4, 5, 4}, {9, 9}}

// band underlays a wire that stands out.
func (d *drawer) band(w *wire, of kinds) {
	for kind := Joined; kind < PathKinds; kind++ {
		if !of.has(kind) {
			continue
		}
		c := d.Palette.Paths[kind]
		width := d.pixels(w) + 6
		if kind == Joined {
			width = d.pixels(w) + 5
		}
		stroke := d.stroke(c, width)
		if pattern := patterns[kind]; pattern != nil {
			for _, length := range pattern {
				stroke.Dash = append(stroke.Dash, d.px(length))
			}
		}
		d.pen.Line(w.points, stroke)
		if kind != Joined {
			return // of several kinds the band is of the first; the letters name all
		}
	}
}

// letter says on a band which path it is of.
func (d *drawer) letter(w *wire, of kinds) {
	text := ""
	for kind := Feed; kind < PathKinds; kind++ {
		if of.has(kind) {
			text += letters[kind]
		}
	}
	if text == "" || d.Scale*manhattan(w.longest[0], w.longest[1]) < 26 {
		return
	}
	at, free := d.quietest(&tag{from: w.longest[0], to: w.longest[1]}, text)
	if !free {
		return // another letter of the same path stands near by
	}
	d.plates = append(d.plates, d.plateBox(at, text))
	for kind := Feed; kind < PathKinds; kind++ {
		if of.has(kind) {
			d.badge(at, text, d.Palette.Paths[kind])
			return
		}
	}
}

// badge is a short text on a plate, in the size of the screen.
func (d *drawer) badge(at drawing.Point, text string, ground color.NRGBA) {
	d.plate(at, text, ground, d.Palette.Ground, d.Palette.Ink)
}

func (d *drawer) plate(at drawing.Point, text string, ground, edge, ink color.NRGBA) {
	box := d.plateBox(at, text)
	d.pen.Rectangle(box, d.px(2), d.stroke(edge, 1), ground)
	d.pen.Text(drawing.Text{
		At: drawing.Point{X: at.X, Y: at.Y + d.px(plateType*drawing.CapHeight()/2)}, Text: text,
		Size: d.px(plateType), Face: drawing.Bold, Align: drawing.Centre, Colour: ink,
	})
}

// plateType is the size of the type on a plate, in units of the screen.
const plateType = 11.0

func (d *drawer) plateBox(at drawing.Point, text string) drawing.Box {
	half := drawing.Measure(text, plateType, drawing.Bold)/2 + 4
	return drawing.Box{
		Min: drawing.Point{X: at.X - d.px(half), Y: at.Y - d.px(7)},
		Max: drawing.Point{X: at.X + d.px(half), Y: at.Y + d.px(7)},
	}
}
