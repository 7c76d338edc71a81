package layout

import (
	"cmp"
	"slices"
)

// run is one straight part of a route.
type run struct {
	wire, net int
	at        float64 // y of a level run, x of an upright one
	low, high float64
}

// runs returns the level and the upright runs of all routes.
func runs(p *Plan) (level, upright []run) {
	for i := range p.Wires {
		r := &p.Wires[i]
		for k := 1; k < len(r.Points); k++ {
			a, b := r.Points[k-1], r.Points[k]
			if a.Y == b.Y {
				level = append(level, run{i, r.Net, a.Y, min(a.X, b.X), max(a.X, b.X)})
			} else {
				upright = append(upright, run{i, r.Net, a.X, min(a.Y, b.Y), max(a.Y, b.Y)})
			}
		}
	}
	return level, upright
}

// crossingsOf calls found for each level run that an upright run of another net
// crosses, by a sweep from left to right. Cost: n log n, and the level runs that
// are open between the ends of each upright one.
func crossingsOf(level, upright []run, found func(level, upright *run)) {
	type event struct {
		x    float64
		kind int // 0 an upright run, 1 a level run ends, 2 begins: only crossings strictly inside count
		of   int
	}
	events := make([]event, 0, 2*len(level)+len(upright))
	for i := range level {
		events = append(events, event{level[i].low, 2, i}, event{level[i].high, 1, i})
	}
	for i := range upright {
		events = append(events, event{upright[i].at, 0, i})
	}
	slices.SortFunc(events, func(a, b event) int {
		// An end at x goes before an upright there, a beginning after it.
		order := [3]int{1, 0, 2}
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(order[a.kind], order[b.kind]), cmp.Compare(a.of, b.of))
	})
	open := newOpenRuns(level)
	for _, e := range events {
		switch e.kind {
		case 2:
			open.add(e.of)
		case 1:
			open.remove(e.of)
		default:
			u := &upright[e.of]
			open.between(u.low, u.high, func(of int) {
				if level[of].net != u.net {
					found(&level[of], u)
				}
			})
		}
	}
}

// openRuns holds level runs by height, in buckets.
type openRuns struct {
	level []run
	rows  []float64 // every height
	at    [][]int   // the open runs at each
}

func newOpenRuns(level []run) *openRuns {
	o := &openRuns{level: level}
	for i := range level {
		o.rows = append(o.rows, level[i].at)
	}
	slices.Sort(o.rows)
	o.rows = slices.Compact(o.rows)
	o.at = make([][]int, len(o.rows))
	return o
}

func (o *openRuns) add(of int) {
	row, _ := slices.BinarySearch(o.rows, o.level[of].at)
	o.at[row] = append(o.at[row], of)
}

func (o *openRuns) remove(of int) {
	row, _ := slices.BinarySearch(o.rows, o.level[of].at)
	if i := slices.Index(o.at[row], of); i >= 0 {
		o.at[row] = slices.Delete(o.at[row], i, i+1)
	}
}

// between calls f for the open runs strictly between two heights.
func (o *openRuns) between(low, high float64, f func(of int)) {
	from, exact := slices.BinarySearch(o.rows, low)
	if exact {
		from++
	}
	for ; from < len(o.rows) && o.rows[from] < high; from++ {
		for _, of := range o.at[from] {
			f(of)
		}
	}
}

// hops notes where each route crosses others, along its way.
func (b *builder) hops() {
	level, upright := runs(b.plan)
	crossingsOf(level, upright, func(l, u *run) {
		route := &b.plan.Wires[l.wire]
		route.Hops = append(route.Hops, Point{u.at, l.at})
	})
	for i := range b.plan.Wires {
		b.plan.Wires[i].sortHops()
	}
}

// sortHops brings hops into the order of the way and drops doubles: wires of
// one net on the same line are one line to the eye.
func (r *Route) sortHops() {
	if len(r.Hops) < 2 {
		return
	}
	left := append([]Point(nil), r.Hops...)
	r.Hops = r.Hops[:0]
	for k := 1; k < len(r.Points); k++ {
		a, b := r.Points[k-1], r.Points[k]
		if a.Y != b.Y {
			continue
		}
		var here []Point
		for _, h := range left {
			if h.Y == a.Y && min(a.X, b.X) < h.X && h.X < max(a.X, b.X) {
				here = append(here, h)
			}
		}
		slices.SortFunc(here, func(p, q Point) int { return cmp.Compare(p.X, q.X) })
		if a.X > b.X {
			slices.Reverse(here)
		}
		r.Hops = append(r.Hops, slices.Compact(here)...)
	}
}
