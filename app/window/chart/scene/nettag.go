package scene

import (
	"slices"

	"bellout/app/drawing"
)

// tag is where the name of a net may stand: on the longest run of its wires that
// is seen.
type tag struct {
	from, to drawing.Point
	length   float64
}

// The names of rails and returns: at most so many on the screen, on runs at least
// so long, in units of the screen.
const (
	mostTags = 24
	leastRun = 64.0
)

// plateCover is what covering another plate counts, more than all else together.
const plateCover = 100000

// netTags names the rails, returns, earths and mains on their lines.
func (d *drawer) netTags() {
	if len(d.tags) != len(d.nets.List) {
		d.Scene.tags = make([]tag, len(d.nets.List))
	}
	clear(d.tags)
	var found []int
	for _, i := range d.thick {
		w := &d.wires[i]
		if !touch(d.extents[i], d.seen) || d.Lit.On() && d.Lit.wires[i] == 0 {
			continue
		}
		best := &d.tags[w.net]
		for j := 1; j < len(w.points); j++ {
			from, to := d.clip(w.points[j-1]), d.clip(w.points[j])
			// A name lies along a level line better than across an upright one.
			length := manhattan(from, to)
			if from.X == to.X {
				length *= 0.6
			}
			if length*d.Scale < leastRun || length <= best.length || !within(d.seen, from) {
				continue
			}
			if from.X == to.X && from.X != w.points[j].X || from.Y == to.Y && from.Y != w.points[j].Y {
				continue // the run lies outside, only its shadow is on the edge
			}
			if best.length == 0 {
				found = append(found, w.net)
			}
			*best = tag{from, to, length}
		}
	}
	slices.SortFunc(found, func(a, b int) int {
		switch {
		case d.tags[a].length > d.tags[b].length:
			return -1
		case d.tags[a].length < d.tags[b].length:
			return 1
		}
		return a - b
	})
	for _, net := range found[:min(len(found), mostTags)] {
		name := d.nets.List[net].Name
		at, free := d.quietest(&d.tags[net], name)
		if !free {
			continue
		}
		d.plates = append(d.plates, d.plateBox(at, name))
		d.plate(at, name, d.Palette.Box, d.Palette.Line, d.Palette.Ink)
	}
}

// clip moves a point into what is seen.
func (d *drawer) clip(p drawing.Point) drawing.Point {
	return drawing.Point{X: min(max(p.X, d.seen.Min.X), d.seen.Max.X), Y: min(max(p.Y, d.seen.Min.Y), d.seen.Max.Y)}
}

// quietest is the place along a run where a plate covers least; false where it
// would cover another plate everywhere.
func (d *drawer) quietest(t *tag, name string) (drawing.Point, bool) {
	var best drawing.Point
	least := 1 << 30
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} {
		at := drawing.Point{X: t.from.X + (t.to.X-t.from.X)*share, Y: t.from.Y + (t.to.Y-t.from.Y)*share}
		box := d.plateBox(at, name)
		covered := 0
		d.grid.near(box, func(it item) {
			switch it.kind {
			case itemBox:
				if touch(d.boxes[it.at].outline, box) {
					covered += 20
				}
			case itemRun:
				w := &d.wires[it.at]
				if touch(span(w.points[it.part], w.points[it.part+1]), box) {
					covered++
				}
			case itemLabel:
				if d.detail.name && touch(boxOf(d.Plan.Labels[it.at].Rect), box) {
					covered += 3
				}
			}
		})
		for _, plate := range d.plates {
			if touch(plate, box) {
				covered += plateCover
			}
		}
		if covered < least {
			best, least = at, covered
		}
	}
	return best, least < plateCover
}
