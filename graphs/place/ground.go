package place

import (
	"math"
	"slices"
)

// ground knows what lies where on a chart, in buckets, so that a look at one
// place costs what lies there.
type ground struct {
	boxes  bucket
	labels bucket
	runs   bucket
	run    []run
	level  []bool // of a run
	gone   []bool // runs that were taken up again
	of     map[int][]int
}

// bucket holds rectangles by the squares that they reach into.
type bucket struct {
	rects []Rect
	cells map[[2]int][]int
	mark  []int
	asked int
}

const bucketSize = 96

func (b *bucket) each(r Rect, f func([2]int)) {
	x1, y1 := int(math.Floor(r.Max.X/bucketSize)), int(math.Floor(r.Max.Y/bucketSize))
	for x := int(math.Floor(r.Min.X / bucketSize)); x <= x1; x++ {
		for y := int(math.Floor(r.Min.Y / bucketSize)); y <= y1; y++ {
			f([2]int{x, y})
		}
	}
}

func (b *bucket) add(r Rect) int {
	if b.cells == nil {
		b.cells = map[[2]int][]int{}
	}
	number := len(b.rects)
	b.rects = append(b.rects, r)
	b.mark = append(b.mark, 0)
	b.each(r, func(c [2]int) { b.cells[c] = append(b.cells[c], number) })
	return number
}

// remove takes a rectangle out; its number is not given again.
func (b *bucket) remove(number int) {
	b.each(b.rects[number], func(c [2]int) {
		if i := slices.Index(b.cells[c], number); i >= 0 {
			b.cells[c] = slices.Delete(b.cells[c], i, i+1)
		}
	})
}

// reach calls f, until it returns false, with the number of every rectangle
// whose inside or edge meets r.
func (b *bucket) reach(r Rect, f func(number int) bool) {
	b.asked++
	stop := false
	b.each(r, func(c [2]int) {
		if stop {
			return
		}
		for _, n := range b.cells[c] {
			if b.mark[n] == b.asked {
				continue
			}
			b.mark[n] = b.asked
			o := b.rects[n]
			if o.Min.X <= r.Max.X && r.Min.X <= o.Max.X && o.Min.Y <= r.Max.Y && r.Min.Y <= o.Max.Y && !f(n) {
				stop = true
				return
			}
		}
	})
}

// meets says that the inside of r shares ground with a rectangle.
func (b *bucket) meets(r Rect) bool {
	found := false
	b.reach(r, func(n int) bool {
		found = share(b.rects[n], r)
		return !found
	})
	return found
}

// lay adds a route.
func (g *ground) lay(wire, net int, points []Point) {
	if g.of == nil {
		g.of = map[int][]int{}
	}
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		r := run{wire: wire, net: net, at: a.Y, low: min(a.X, b.X), high: max(a.X, b.X)}
		level := a.Y == b.Y
		rect := Rect{Point{r.low, r.at}, Point{r.high, r.at}}
		if !level {
			r = run{wire: wire, net: net, at: a.X, low: min(a.Y, b.Y), high: max(a.Y, b.Y)}
			rect = Rect{Point{r.at, r.low}, Point{r.at, r.high}}
		}
		g.of[wire] = append(g.of[wire], g.runs.add(rect))
		g.run = append(g.run, r)
		g.level = append(g.level, level)
	}
}

// clear says whether a route could lie there: through no box, over no label,
// on no run of another net, and touching none with a corner.
func (g *ground) clear(net int, points []Point) bool {
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		rect := Rect{Point{min(a.X, b.X), min(a.Y, b.Y)}, Point{max(a.X, b.X), max(a.Y, b.Y)}}
		if g.boxes.meets(rect) || g.labels.meets(rect) {
			return false
		}
		level, free := a.Y == b.Y, true
		g.runs.reach(rect, func(n int) bool {
			if g.run[n].net == net {
				return true
			}
			o := g.runs.rects[n]
			if g.level[n] == level { // on one line, as they reach each other
				free = false
				return false
			}
			// A true crossing is inside both.
			inside := o.Min.X < b.X && b.X < o.Max.X && min(a.Y, b.Y) < o.Min.Y && o.Min.Y < max(a.Y, b.Y)
			if level {
				inside = min(a.X, b.X) < o.Min.X && o.Min.X < max(a.X, b.X) && o.Min.Y < a.Y && a.Y < o.Max.Y
			}
			free = inside
			return free
		})
		if !free {
			return false
		}
	}
	return true
}
