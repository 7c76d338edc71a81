package layout

import (
	"cmp"
	"math"
	"slices"
)

// Quality is what an independent look at a plan found. It knows nothing of how
// the plan was made.
type Quality struct {
	Crossings int     // pairs of runs of different nets that cross
	Bends     int     // corners of routes
	Length    float64 // of all routes, in units

	OverlapBoxes  int // pairs of boxes that share ground
	OverlapLabels int // pairs of labels, and labels with boxes of others or with any run
	OverlapRuns   int // pairs of runs of different nets on one line
	Touches       int // corners or ends that lie on a run or corner of another net
	ThroughBoxes  int // runs that lead through a box
	Slanted       int // runs that are neither level nor upright, or routes that miss their ports
	Nameless      int // wires without a label
}

// Sound says that nothing lies on anything else.
func (q Quality) Sound() bool {
	return q.OverlapBoxes == 0 && q.OverlapLabels == 0 && q.OverlapRuns == 0 && q.Touches == 0 && q.ThroughBoxes == 0 && q.Slanted == 0
}

// Measured measures a plan. Cost: sweeps of n log n, and the crossings.
func Measured(p *Plan) Quality {
	var q Quality
	for i := range p.Wires {
		r := &p.Wires[i]
		q.Bends += max(0, len(r.Points)-2)
		if r.Label < 0 {
			q.Nameless++
		}
		for k := 1; k < len(r.Points); k++ {
			dx, dy := r.Points[k].X-r.Points[k-1].X, r.Points[k].Y-r.Points[k-1].Y
			q.Length += math.Abs(dx) + math.Abs(dy)
			if (dx == 0) == (dy == 0) {
				q.Slanted++
			}
		}
		if len(r.Points) < 2 || !p.meets(r.From, r.Points[0]) || !p.meets(r.To, r.Points[len(r.Points)-1]) {
			q.Slanted++
		}
	}
	level, upright := runs(p)
	crossingsOf(level, upright, func(_, _ *run) { q.Crossings++ })
	q.OverlapRuns = overlapping(level) + overlapping(upright)
	q.Touches = touching(level, upright)

	var boxes, labels, ink []item
	for i := range p.Boxes {
		boxes = append(boxes, item{p.Boxes[i].Rect, i})
	}
	for i := range p.Labels {
		of := -1
		if p.Labels[i].Box >= 0 {
			of = p.Labels[i].Box
		}
		labels = append(labels, item{p.Labels[i].Rect, of})
	}
	for _, r := range level {
		ink = append(ink, item{Rect{Point{r.low, r.at}, Point{r.high, r.at}}, -2})
	}
	for _, r := range upright {
		ink = append(ink, item{Rect{Point{r.at, r.low}, Point{r.at, r.high}}, -2})
	}
	q.OverlapBoxes = meeting(boxes, nil, nil)
	q.OverlapLabels = meeting(labels, nil, nil) + meeting(labels, boxes, func(a, b item) bool { return a.of != b.of }) + meeting(labels, ink, nil)
	q.ThroughBoxes = meeting(boxes, ink, nil)
	return q
}

// meets says that a point is where wires reach a terminal.
func (p *Plan) meets(end End, at Point) bool {
	port := &p.Boxes[end.Box].Ports[end.Port]
	return at == port.At || port.Through && at == port.Far
}

// overlapping counts pairs of runs of different nets that share more than a
// point of one line.
func overlapping(runs []run) int {
	sorted := slices.Clone(runs)
	slices.SortFunc(sorted, func(a, b run) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.low, b.low)) })
	count := 0
	for i := range sorted {
		for j := i + 1; j < len(sorted) && sorted[j].at == sorted[i].at && sorted[j].low < sorted[i].high; j++ {
			if sorted[j].net != sorted[i].net {
				count++
			}
		}
	}
	return count
}

// touching counts ends of runs that lie on a run of another net, its ends
// included: to the eye the two would be joined.
func touching(level, upright []run) int {
	count := 0
	count += onRuns(level, upright, true)
	count += onRuns(upright, level, true)
	count += onRuns(level, level, false)
	count += onRuns(upright, upright, false)
	return count
}

// onRuns counts the ends of some runs that lie on others; turned says that
// these lie the other way.
func onRuns(ends, lines []run, turned bool) int {
	byAt := map[float64][]run{}
	for _, l := range lines {
		byAt[l.at] = append(byAt[l.at], l)
	}
	longest := map[float64]float64{}
	for at, list := range byAt {
		slices.SortFunc(list, func(a, b run) int { return cmp.Compare(a.low, b.low) })
		for _, l := range list {
			longest[at] = max(longest[at], l.high-l.low)
		}
	}
	count := 0
	for _, e := range ends {
		for _, end := range []float64{e.low, e.high} {
			line, along := e.at, end
			if turned {
				line, along = end, e.at
			}
			list := byAt[line]
			from, _ := slices.BinarySearchFunc(list, along-longest[line], func(r run, x float64) int { return cmp.Compare(r.low, x) })
			for ; from < len(list) && list[from].low <= along; from++ {
				if l := list[from]; along <= l.high && l.net != e.net {
					count++
				}
			}
		}
	}
	return count
}

// item is a rectangle, or a run as one without width.
type item struct {
	Rect
	of int
}

// meeting counts pairs whose insides meet, by a sweep over x with a grid of
// heights: of one list among itself, or of two lists where b is given. A run
// has no inside of its own and meets a rectangle where it leads through it.
func meeting(a, b []item, counts func(a, b item) bool) int {
	const cell = 64
	type key struct{ x, y int }
	cells := map[key][]int{}
	into := b
	if b == nil {
		into = a
	}
	each := func(r Rect, f func(key)) {
		for x := int(math.Floor(r.Min.X / cell)); x <= int(math.Floor(r.Max.X/cell)); x++ {
			for y := int(math.Floor(r.Min.Y / cell)); y <= int(math.Floor(r.Max.Y/cell)); y++ {
				f(key{x, y})
			}
		}
	}
	for i := range into {
		each(into[i].Rect, func(k key) { cells[k] = append(cells[k], i) })
	}
	count := 0
	seen := make([]int, len(into))
	for i := range a {
		each(a[i].Rect, func(k key) {
			for _, j := range cells[k] {
				if b == nil && j <= i || seen[j] == i+1 {
					continue
				}
				if !share(a[i].Rect, into[j].Rect) {
					continue
				}
				seen[j] = i + 1
				if counts == nil || counts(a[i], into[j]) {
					count++
				}
			}
		})
	}
	return count
}
