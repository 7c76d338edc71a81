package scene

import (
	"math"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs/layout"
)

// goneDash is the line of a wire that is not there any more, in units of the
// screen: longer gaps than a wire has that is not proven.
var goneDash = []float64{7, 7}

// gone draws wires that another state of the machine had, between the terminals
// where they were: no plan has a way for them, so they take one of their own over
// everything, on an edge of paper, with their name.
func (d *drawer) gone() {
	for i, w := range d.Gone {
		way := d.goneWay(w, i)
		if len(way) < 2 {
			continue
		}
		line := d.stroke(d.Palette.Bad, 2)
		for _, length := range goneDash {
			line.Dash = append(line.Dash, d.px(length))
		}
		d.pen.Line(way, d.stroke(d.Palette.Ground, 5))
		d.pen.Line(way, line)
		from, to := way[0], way[1]
		for j := 2; j < len(way); j++ {
			if manhattan(way[j-1], way[j]) > manhattan(from, to) {
				from, to = way[j-1], way[j]
			}
		}
		if at, free := d.quietest(&tag{from: from, to: to}, w.Name); free {
			d.plates = append(d.plates, d.plateBox(at, w.Name))
			d.plate(at, w.Name, d.Palette.Ground, d.Palette.Bad, d.Palette.Bad)
		}
	}
}

// goneWay is where the i-th such wire is drawn: out of both ports, and between
// them up or down where it meets fewest boxes. Of a wire whose other end is not on
// the chart it is a stub; nil where neither is.
func (d *drawer) goneWay(w session.Gone, i int) []drawing.Point {
	from, there := d.end(w.From)
	to, too := d.end(w.To)
	there = there && d.boxes[from.Box].ports[from.Port].here
	too = too && d.boxes[to.Box].ports[to.Port].here
	if !there && !too {
		return nil
	}
	stub := max(16, d.px(14))
	if !there || !too {
		if !there {
			from = to
		}
		at, side := d.leaves(from, nil)
		return []drawing.Point{at, {X: at.X + 2.5*stub*side, Y: at.Y}}
	}
	other := d.boxes[to.Box].ports[to.Port].at
	a, aside := d.leaves(from, &other)
	other = a
	z, zside := d.leaves(to, &other)
	out, in := a.X+stub*aside, z.X+stub*zside
	best, least := out, math.Inf(1)
	for _, share := range []float64{0.5, 0.25, 0.75, 0, 1, -0.2, 1.2} {
		x := out + (in-out)*share + float64(i%5)*max(4, d.px(3))
		if (x-a.X)*aside < stub/2 || (x-z.X)*zside < stub/2 {
			continue // it would run through a device that it ends at
		}
		if cost := d.through(a, x, z) + math.Abs(share-0.5); cost < least {
			best, least = x, cost
		}
	}
	if math.IsInf(least, 1) { // the ports face away from each other: out, across, and in
		y := (a.Y + z.Y) / 2
		return []drawing.Point{a, {X: out, Y: a.Y}, {X: out, Y: y}, {X: in, Y: y}, {X: in, Y: z.Y}, z}
	}
	return []drawing.Point{a, {X: best, Y: a.Y}, {X: best, Y: z.Y}, z}
}

// leaves is where a wire leaves a terminal, and to which side: -1 is left. A strip
// is left on the side of the other end.
func (d *drawer) leaves(end layout.End, other *drawing.Point) (at drawing.Point, side float64) {
	port, p := &d.boxes[end.Box].Ports[end.Port], &d.boxes[end.Box].ports[end.Port]
	side = -1
	if port.Side == layout.Right {
		side = 1
	}
	if port.Through && other != nil && math.Abs(other.X-p.far.X) < math.Abs(other.X-p.at.X) {
		return p.far, -side
	}
	return p.at, side
}

// through counts the boxes that a way meets.
func (d *drawer) through(a drawing.Point, x float64, z drawing.Point) float64 {
	boxes := map[int32]bool{}
	for _, run := range []drawing.Box{span(a, drawing.Point{X: x, Y: a.Y}), span(drawing.Point{X: x, Y: a.Y}, drawing.Point{X: x, Y: z.Y}), span(drawing.Point{X: x, Y: z.Y}, z)} {
		d.grid.near(run, func(it item) {
			if it.kind == itemBox && touch(d.boxes[it.at].body, run) {
				boxes[it.at] = true
			}
		})
	}
	return float64(len(boxes))
}
