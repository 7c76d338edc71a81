package layout

import "math"

// Room between a box that moves and any other: above and below, and beside, for
// names and for a line for each wire that must get out between them.
const (
	roomAbove  = 2 * Grid
	roomBeside = 6 * Grid
	roomMost   = 40 * Grid
)

// free says whether a box may stand there. Two that are both where they were
// may be as close as they were.
func (k *keep) free(d int, at Point, kept bool) bool {
	size := k.plan.Boxes[d].size()
	r := Rect{at, Point{at.X + size.X, at.Y + size.Y}}
	wide := Rect{Point{at.X - roomMost, at.Y - roomAbove}, Point{r.Max.X + roomMost, r.Max.Y + roomAbove}}
	free := true
	k.ground.boxes.reach(wide, func(n int) bool {
		o := k.ground.boxes.rects[n]
		if kept && k.kept[n] {
			free = !share(o, r)
			return free
		}
		side, other := Right, Left
		if o.Min.X+o.Max.X < r.Min.X+r.Max.X {
			side, other = Left, Right
		}
		room := min(roomMost, roomBeside+Grid*float64(k.wiredOn(d, side)+k.wiredOn(k.onGround[n], other)))
		if k.plan.Boxes[d].Pinned && k.plan.Boxes[k.onGround[n]].Pinned {
			room /= 2 // both stand where somebody wants them
		}
		free = !share(o, Rect{Point{r.Min.X - room, wide.Min.Y}, Point{r.Max.X + room, wide.Max.Y}})
		return free
	})
	return free
}

// wiredOn counts the ports with a wire on a side of a box.
func (k *keep) wiredOn(d int, side Side) int {
	count, through := 0, 0
	for i := range k.plan.Boxes[d].Ports {
		switch p := &k.plan.Boxes[d].Ports[i]; {
		case !p.Wired:
		case p.Through:
			through++
		case p.Side == side:
			count++
		}
	}
	return count + through/2 // a strip's wire may come from either side
}

// nearest looks for a free place in growing squares round a point.
func (k *keep) nearest(d int, at Point) Point {
	const most = 160
	for ring := 1; ring <= most; ring++ {
		best, least := Point{}, math.Inf(1)
		try := func(dx, dy int) {
			p := Point{at.X + Grid*float64(dx), at.Y + Grid*float64(dy)}
			away := math.Hypot(float64(dx), float64(dy))
			if away < least && k.free(d, p, false) {
				best, least = p, away
			}
		}
		for i := -ring; i <= ring; i++ {
			try(i, -ring)
			try(i, ring)
			try(-ring, i)
			try(ring, i)
		}
		if !math.IsInf(least, 1) {
			return best
		}
	}
	low := at.Y
	for _, r := range k.ground.boxes.rects {
		low = max(low, r.Max.Y)
	}
	return Point{at.X, math.Ceil(low/Grid)*Grid + 6*Grid}
}

// share says that two rectangles share more than an edge.
func share(a, b Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}
