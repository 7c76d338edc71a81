package layout

import "math"

// maze leads single wires round what stands in the way: the shortest way on a
// grid, where corners and crossings have a price (Lee 1961 with the estimate of
// Hart, Nilsson and Raphael 1968; both from memory). It never lays one net on
// another as long as there is any other way in the window that it looks at.

// Prices, in units of length.
const (
	bendPrice  = 28
	crossPrice = 14
	closePrice = 6   // a step hard beside a run of another net
	onNetPrice = 3   // a step on a run of its own net
	onRunPrice = 400 // a step on a run of another net: only where nothing else is left
)

// window is a part of the chart, rastered.
type window struct {
	step         float64
	x0, y0       float64
	wide, tall   int
	shut         []bool  // inside or on the edge of a box, or under a label
	level, steep []int32 // the net of the run that leads from a point to the right, down; -1 none
	corner       []int32 // the net that has a corner or an end there; -1 none
	cost         []int32
	from         []int8
	queue        []state
}

type state struct {
	rank, cost int32
	at         int32
	dir        int8
}

// The directions of a step.
const (
	east = iota
	south
	west
	north
)

var turns = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// reachFrom is a port that a route may begin or end at.
type reachFrom struct {
	at   Point
	side Side
}

// windowLimit is how many grid points a window holds at most.
const windowLimit = 3 << 20

// lead finds the cheapest way from any of some ports to any of others. forced
// lets it lie on other nets where nothing else is left; ok is false if even so
// there is none in the window.
func (g *ground) lead(net int, from, to []reachFrom, step, margin float64, forced bool) (way []Point, ok bool) {
	if len(from) == 0 || len(to) == 0 {
		return nil, false
	}
	all := Rect{from[0].at, from[0].at}
	for _, list := range [][]reachFrom{from, to} {
		for _, r := range list {
			all = all.with(Rect{r.at, r.at})
		}
	}
	w := &window{step: step}
	w.x0 = math.Floor((all.Min.X-margin)/step) * step
	w.y0 = math.Floor((all.Min.Y-margin)/step) * step
	w.wide = int((all.Max.X+margin-w.x0)/step) + 1
	w.tall = int((all.Max.Y+margin-w.y0)/step) + 1
	if w.wide*w.tall > windowLimit {
		return nil, false
	}
	w.raster(g)
	return w.run(net, from, to, forced)
}

func (w *window) cell(p Point) (x, y int) {
	return int(math.Round((p.X - w.x0) / w.step)), int(math.Round((p.Y - w.y0) / w.step))
}

// raster paints boxes, labels and runs.
func (w *window) raster(g *ground) {
	count := w.wide * w.tall
	w.shut = make([]bool, count)
	w.level, w.steep, w.corner = fill(count), fill(count), fill(count)
	all := Rect{Point{w.x0, w.y0}, Point{w.x0 + w.step*float64(w.wide), w.y0 + w.step*float64(w.tall)}}
	paint := func(r Rect, edge float64) {
		x0 := max(0, int(math.Ceil((r.Min.X+edge-w.x0)/w.step)))
		x1 := min(w.wide-1, int(math.Floor((r.Max.X-edge-w.x0)/w.step)))
		y0 := max(0, int(math.Ceil((r.Min.Y+edge-w.y0)/w.step)))
		y1 := min(w.tall-1, int(math.Floor((r.Max.Y-edge-w.y0)/w.step)))
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				w.shut[y*w.wide+x] = true
			}
		}
	}
	g.boxes.reach(all, func(n int) bool { paint(g.boxes.rects[n], 0); return true })
	g.labels.reach(all, func(n int) bool { paint(g.labels.rects[n], 0.01); return true })
	g.runs.reach(all, func(n int) bool {
		r := g.runs.rects[n]
		net := int32(g.run[n].net)
		if g.level[n] {
			w.line(r.Min.Y-w.y0, r.Min.X-w.x0, r.Max.X-w.x0, w.tall, w.wide, func(y, x int, whole bool) { w.note(w.level, y*w.wide+x, net, whole) })
		} else {
			w.line(r.Min.X-w.x0, r.Min.Y-w.y0, r.Max.Y-w.y0, w.wide, w.tall, func(x, y int, whole bool) { w.note(w.steep, y*w.wide+x, net, whole) })
		}
		return true
	})
}

// line calls f for the grid points along a run, on every grid line that it is
// nearer to than half a step: whole where a step leads on from there, else for
// its end.
func (w *window) line(at, low, high float64, lines, points int, f func(line, point int, whole bool)) {
	first := int(math.Ceil((at - w.step/2 - 0.01) / w.step))
	last := int(math.Floor((at + w.step/2 + 0.01) / w.step))
	exact := math.Round(at / w.step)
	if math.Abs(exact*w.step-at) < 0.01 {
		first, last = int(exact), int(exact)
	}
	from, to := int(math.Floor(low/w.step+0.001)), int(math.Ceil(high/w.step-0.001))
	for line := max(0, first); line <= min(lines-1, last); line++ {
		for point := max(0, from); point <= min(points-1, to); point++ {
			if point < to {
				f(line, point, true)
			}
			if point == from || point == to {
				f(line, point, false)
			}
		}
	}
}

// note enters a net; -2 stands for more than one.
func (w *window) note(where []int32, at int, net int32, whole bool) {
	if !whole {
		where = w.corner
	}
	if where[at] == -1 || where[at] == net {
		where[at] = net
	} else {
		where[at] = -2
	}
}

func fill(count int) []int32 {
	list := make([]int32, count)
	for i := range list {
		list[i] = -1
	}
	return list
}

// goal is a port to arrive at, and the direction of the last step.
type goal struct {
	at, x, y int
	arrive   int8
	port     reachFrom
}

// run searches.
func (w *window) run(net int, from, to []reachFrom, forced bool) ([]Point, bool) {
	goals := make([]goal, len(to))
	for i, r := range to {
		x, y := w.cell(r.at)
		goals[i] = goal{y*w.wide + x, x, y, east, r}
		if r.side == Right {
			goals[i].arrive = west
		}
	}
	w.cost = make([]int32, 4*w.wide*w.tall)
	w.from = make([]int8, len(w.cost))
	push := func(at int, dir int8, cost int32, from int8) {
		key := 4*at + int(dir)
		if w.cost[key] != 0 && w.cost[key] <= cost+1 {
			return
		}
		w.cost[key] = cost + 1
		w.from[key] = from
		x, y := at%w.wide, at/w.wide
		ahead := int32(math.MaxInt32)
		for i := range goals {
			g := &goals[i]
			left := int32(w.step) * int32(abs(x-g.x)+abs(y-g.y))
			if x != g.x && y != g.y || dir != g.arrive {
				left += bendPrice
			}
			ahead = min(ahead, left)
		}
		w.add(state{cost + ahead, cost, int32(at), dir})
	}
	first := map[int]int8{} // out of each port
	for _, r := range from {
		x, y := w.cell(r.at)
		dir := int8(east)
		if r.side == Left {
			dir = west
		}
		first[y*w.wide+x] = dir
		push(y*w.wide+x, dir, 0, -1)
	}
	for len(w.queue) > 0 {
		s := w.take()
		at := int(s.at)
		if w.cost[4*at+int(s.dir)] != s.cost+1 {
			continue
		}
		for i := range goals {
			if at == goals[i].at && s.dir == goals[i].arrive {
				return w.back(at, s.dir, from, goals[i].port), true
			}
		}
		only, begins := first[at]
		x, y := at%w.wide, at/w.wide
		for turn := int8(0); turn < 4; turn++ {
			dir := (s.dir + turn) % 4
			if turn == 2 || begins && dir != only {
				continue
			}
			price := int32(w.step)
			if turn != 0 {
				c := w.pass(at, net, -1, forced)
				if c < 0 {
					continue
				}
				price += bendPrice + c
			}
			nx, ny := x+turns[dir][0], y+turns[dir][1]
			if nx < 0 || ny < 0 || nx >= w.wide || ny >= w.tall {
				continue
			}
			next := ny*w.wide + nx
			c := w.along(at, next, dir, net, forced)
			if c < 0 {
				continue
			}
			price += c
			if w.shut[next] { // only a goal, and from its own side
				for i := range goals {
					if next == goals[i].at && dir == goals[i].arrive {
						push(next, dir, s.cost+price, s.dir)
					}
				}
				continue
			}
			if c = w.pass(next, net, dir, forced); c < 0 {
				continue
			}
			push(next, dir, s.cost+price+c, s.dir)
		}
	}
	return nil, false
}

// along is what a step on a grid line costs beyond its length; below 0 it must
// not be.
func (w *window) along(at, next int, dir int8, net int, forced bool) int32 {
	where, beside := w.level, w.wide
	if dir == south || dir == north {
		where, beside = w.steep, 1
	}
	low := min(at, next)
	price := int32(0)
	switch on := where[low]; {
	case on == int32(net):
		price += onNetPrice
	case on != -1:
		if !forced {
			return -1
		}
		price += onRunPrice
	}
	for _, n := range []int{low - beside, low + beside} {
		if n >= 0 && n < len(where) && where[n] != -1 && where[n] != int32(net) {
			price += closePrice * int32(w.step) / 8
		}
	}
	return price
}

// pass is what a grid point costs: going straight on in a direction it may
// cross one run that leads across; turning there (dir -1) it must be free of
// other nets.
func (w *window) pass(at, net int, dir int8, forced bool) int32 {
	foreign := func(n int32) bool { return n != -1 && n != int32(net) }
	if foreign(w.corner[at]) {
		if forced {
			return onRunPrice
		}
		return -1
	}
	level := foreign(w.level[at]) || at%w.wide > 0 && foreign(w.level[at-1])
	steep := foreign(w.steep[at]) || at >= w.wide && foreign(w.steep[at-w.wide])
	switch {
	case dir < 0:
		if level || steep {
			if forced {
				return onRunPrice
			}
			return -1
		}
	case dir == east || dir == west:
		if steep {
			return crossPrice
		}
	default:
		if level {
			return crossPrice
		}
	}
	return 0
}

// back reads the way off, from where it began to the goal.
func (w *window) back(at int, dir int8, from []reachFrom, to reachFrom) []Point {
	var way []Point
	point := func(at int) Point {
		return Point{w.x0 + w.step*float64(at%w.wide), w.y0 + w.step*float64(at/w.wide)}
	}
	for {
		way = append(way, point(at))
		from := w.from[4*at+int(dir)]
		if from < 0 {
			break
		}
		at -= turns[dir][0] + turns[dir][1]*w.wide
		dir = from
	}
	for i, j := 0, len(way)-1; i < j; i, j = i+1, j-1 {
		way[i], way[j] = way[j], way[i]
	}
	for _, r := range from {
		if x, y := w.cell(r.at); w.x0+w.step*float64(x) == way[0].X && w.y0+w.step*float64(y) == way[0].Y {
			way[0] = r.at
		}
	}
	way[len(way)-1] = to.at
	return straighten(way)
}

func abs(a int) int {
	if a < 0 {
		return -a
	}
	return a
}
