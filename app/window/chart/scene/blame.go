package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
)

// cross is two slanted strokes.
func (d *drawer) cross(at drawing.Point, half float64, c color.NRGBA) {
	stroke := drawing.Stroke{Colour: c, Width: max(2, d.px(1.8))}
	d.pen.Line([]drawing.Point{{X: at.X - half, Y: at.Y - half}, {X: at.X + half, Y: at.Y + half}}, stroke)
	d.pen.Line([]drawing.Point{{X: at.X - half, Y: at.Y + half}, {X: at.X + half, Y: at.Y - half}}, stroke)
}

// flags marks what a finding blames: crosses along a wire and a flag with an
// exclamation mark. They keep their size on the screen, since they must be seen
// from afar.
func (d *drawer) flags() {
	// Flags that would hide one another say no more than one of them.
	taken := map[[2]int]bool{}
	apart := func(at drawing.Point) bool {
		if !d.crowding.crowd && d.Scale > 0.2 {
			return true
		}
		on := d.ToScreen(at)
		square := [2]int{int(math.Floor(on.X / 24)), int(math.Floor(on.Y / 24))}
		free := !taken[square]
		taken[square] = true
		return free
	}
	for _, i := range d.blamed {
		w := &d.wires[i]
		if !touch(grown(d.extents[i], d.px(20)), d.seen) {
			continue
		}
		lit := !d.Lit.On() || d.Lit.wires[i] != 0
		if !d.crowding.crowd || len(d.blamed) < 50 { // of very many the heavy line has to do
			d.crosses(w, d.back(d.Palette.Bad, lit))
		}
		if at := middle(drawing.Box{Min: w.longest[0], Max: w.longest[1]}); apart(at) {
			d.flag(at, lit)
			d.plates = append(d.plates, square(at, d.px(7)))
		}
	}
	for i := range d.boxes {
		b := &d.boxes[i]
		if !b.here || !b.blamed || !touch(b.outline, d.seen) {
			continue
		}
		if at := (drawing.Point{X: b.body.Max.X, Y: b.body.Max.Y}); apart(at) {
			d.flag(at, d.Lit.box(i))
			d.plates = append(d.plates, square(at, d.px(7)))
		}
	}
}

// crosses marks a wire at even distances along its way.
func (d *drawer) crosses(w *wire, c color.NRGBA) {
	const apart, most = 44.0, 60
	stroke := d.stroke(c, 1.6)
	half := d.px(4)
	left, count := d.px(apart/2), 0
	for i := 1; i < len(w.points) && count < most; i++ {
		from, to := w.points[i-1], w.points[i]
		length := manhattan(from, to)
		at := left
		for ; at < length && count < most; at += d.px(apart) {
			t := at / length
			p := drawing.Point{X: from.X + (to.X-from.X)*t, Y: from.Y + (to.Y-from.Y)*t}
			if !within(d.seen, p) {
				continue
			}
			count++
			d.pen.Line([]drawing.Point{{X: p.X - half, Y: p.Y - half}, {X: p.X + half, Y: p.Y + half}}, stroke)
			d.pen.Line([]drawing.Point{{X: p.X - half, Y: p.Y + half}, {X: p.X + half, Y: p.Y - half}}, stroke)
		}
		left = at - length
	}
}

// flag is the sign of a fault, as the lists have it: an exclamation mark in a
// filled octagon.
func (d *drawer) flag(at drawing.Point, lit bool) {
	if !within(d.seen, at) {
		return
	}
	size := 9.5
	if d.Scale < 0.3 {
		size = 7
	}
	d.flagOf(at, size, lit)
}

// flagOf is a flag of a size on the screen, from the middle to its sides.
func (d *drawer) flagOf(at drawing.Point, size float64, lit bool) {
	r := d.px(size)
	c := r * (math.Sqrt2 - 1) // half a side of a regular octagon
	d.pen.Polygon([]drawing.Point{
		{X: at.X - c, Y: at.Y - r}, {X: at.X + c, Y: at.Y - r}, {X: at.X + r, Y: at.Y - c}, {X: at.X + r, Y: at.Y + c},
		{X: at.X + c, Y: at.Y + r}, {X: at.X - c, Y: at.Y + r}, {X: at.X - r, Y: at.Y + c}, {X: at.X - r, Y: at.Y - c},
	}, d.stroke(d.Palette.Ground, 1.5), d.back(d.Palette.Bad, lit))
	high := 1.45 * r
	d.pen.Text(drawing.Text{At: drawing.Point{X: at.X, Y: at.Y + high*drawing.CapHeight()/2}, Text: "!", Size: high, Face: drawing.Bold, Align: drawing.Centre, Colour: d.back(d.Palette.OnTint, lit)})
}
