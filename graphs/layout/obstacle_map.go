package layout

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
	level  []bool        // of a run
	of     map[int][]int // the runs of a wire
}

// bucket holds rectangles by the squares that they reach into.
type bucket struct {
	size  float64 // of a square; 0: bucketSize
	rects []Rect
	cells map[[2]int][]int
	mark  []int
	asked int
}

const bucketSize = 96

func (b *bucket) each(r Rect, f func([2]int)) {
	size := b.size
	if size == 0 {
		size = bucketSize
	}
	x1, y1 := int(math.Floor(r.Max.X/size)), int(math.Floor(r.Max.Y/size))
	for x := int(math.Floor(r.Min.X / size)); x <= x1; x++ {
		for y := int(math.Floor(r.Min.Y / size)); y <= y1; y++ {
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

// newGround returns a ground for a chart of that size: its squares grow with
// it, or long runs would lie in thousands of them.
func newGround(bounds Rect) ground {
	size := max(bucketSize, (bounds.Max.X-bounds.Min.X)/200, (bounds.Max.Y-bounds.Min.Y)/200)
	return ground{of: map[int][]int{}, boxes: bucket{size: size}, labels: bucket{size: size}, runs: bucket{size: size}}
}

// lay adds a route.
func (g *ground) lay(wire, net int, points []Point) {
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

// take takes a route up again.
func (g *ground) take(wire int) {
	for _, n := range g.of[wire] {
		g.runs.remove(n)
	}
	delete(g.of, wire)
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
	}
	return len(g.against(net, points)) == 0
}

// against returns the wires of other nets that a route would lie on or touch;
// a true crossing, inside both, is none.
func (g *ground) against(net int, points []Point) []int {
	var wires []int
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		low, high := Point{min(a.X, b.X), min(a.Y, b.Y)}, Point{max(a.X, b.X), max(a.Y, b.Y)}
		level := a.Y == b.Y
		g.runs.reach(Rect{low, high}, func(n int) bool {
			if g.run[n].net == net {
				return true
			}
			o := g.runs.rects[n]
			crosses := !level && g.level[n] && o.Min.X < a.X && a.X < o.Max.X && low.Y < o.Min.Y && o.Min.Y < high.Y ||
				level && !g.level[n] && low.X < o.Min.X && o.Min.X < high.X && o.Min.Y < a.Y && a.Y < o.Max.Y
			if !crosses && !slices.Contains(wires, g.run[n].wire) {
				wires = append(wires, g.run[n].wire)
			}
			return true
		})
	}
	slices.Sort(wires)
	return wires
}
