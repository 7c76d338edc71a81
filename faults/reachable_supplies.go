package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

// reach answers which supplies can feed a terminal and which grounds it can
// return to. It looks at pieces: terminals joined by wires, solid links and
// intact fuses, contacts left aside, because a contact may stand either way.
// A piece with a rail, a supply's return or earth is an end: the search stops
// there, so that a relay that brakes a motor to 0 V does not feed everything
// that hangs on 0 V.
type reach struct {
	b     *Analysis
	c     *graphs.Circuit
	piece []int32 // by terminal

	ends   []bool
	rails  [][]int // by piece: supplies with their rail in it
	zeros  [][]int // by piece: grounds with a return in it
	region []int32 // by piece: pieces that contacts and series resistors join, ends kept apart

	byRegion [][]int32 // pieces
	hops     [][]int32 // by piece: contacts and series resistors that touch it
	oneWay   [][]int32 // by piece: diodes that touch it
	drivers  [][]int   // by piece: places in Parts.Drivers
}

// findReach lays out a circuit, in which a culprit that was taken out is in no
// position. Cost: linear.
func findReach(b *Analysis, c *graphs.Circuit, culprits map[int]bool) *reach {
	r := &reach{b: b, c: c}
	r.piece = label(c, func(_ int, e graphs.Element) bool { return e.Joins() && e.Kind != graphs.Contact || b.isShunt(e) })
	count := 0
	for _, p := range r.piece {
		count = max(count, int(p)+1)
	}
	r.ends = make([]bool, count)
	r.rails, r.zeros = make([][]int, count), make([][]int, count)
	r.hops, r.oneWay = make([][]int32, count), make([][]int32, count)
	r.drivers = make([][]int, count)
	for at, supply := range b.Parts.Supplies {
		p := r.piece[supply.Rail]
		r.ends[p] = true
		r.rails[p] = append(r.rails[p], at)
	}
	for at, ground := range b.Grounds {
		for _, t := range ground.Returns {
			p := r.piece[t]
			r.ends[p] = true
			if !slices.Contains(r.zeros[p], at) {
				r.zeros[p] = append(r.zeros[p], at)
			}
		}
	}
	for _, t := range b.rectified {
		p := r.piece[t]
		r.ends[p], r.zeros[p] = true, mergeSorted(r.zeros[p], []int{b.groundAt[t]})
	}
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role == model.RoleEarth {
			r.ends[r.piece[t]] = true
		}
	}
	for at, driver := range b.Parts.Drivers {
		p := r.piece[driver.Drive]
		r.drivers[p] = append(r.drivers[p], at)
	}
	regions := kit.NewSets[int32](count)
	for id, e := range c.Elements {
		from, to := r.piece[e.A], r.piece[e.B]
		if from == to || culprits[id] {
			continue
		}
		switch {
		case e.Kind == graphs.Contact, e.Kind == graphs.Resistance && r.series(e):
			r.hops[from] = append(r.hops[from], int32(id))
			r.hops[to] = append(r.hops[to], int32(id))
			if !r.ends[from] && !r.ends[to] {
				regions.Union(from, to)
			}
		case e.Kind == graphs.Diode:
			r.oneWay[from] = append(r.oneWay[from], int32(id))
			r.oneWay[to] = append(r.oneWay[to], int32(id))
		}
	}
	r.region = regions.Numbers()
	r.byRegion = make([][]int32, count)
	for p, root := range r.region {
		r.byRegion[root] = append(r.byRegion[root], int32(p))
	}
	return r
}

// series says whether a resistance only limits what flows through it, as a
// dropper or an inrush part does: it is no load itself.
func (r *reach) series(e graphs.Element) bool {
	for _, t := range [2]int{e.A, e.B} {
		if role := r.b.role(t); role == model.RoleFeed || role == model.RoleReturn {
			return false
		}
	}
	return true
}

// label numbers the terminals by what the elements that pass join. Cost: linear.
func label(c *graphs.Circuit, pass func(id int, e graphs.Element) bool) []int32 {
	sets := kit.NewSets[int32](len(c.Machine.Terminals))
	for id, e := range c.Elements {
		if pass(id, e) {
			sets.Union(int32(e.A), int32(e.B))
		}
	}
	return sets.Numbers()
}

// way says what a search looks for and which way a diode lets it pass.
type way struct {
	grounds  bool // it looks for grounds; else for supplies
	negative bool // the load hangs on a negative rail: diodes stand the other way round
}

// supplies returns the supplies whose rail can reach a terminal, sorted.
func (r *reach) supplies(terminal int, negative bool) []int {
	return r.search(terminal, way{negative: negative})
}

// grounds returns the grounds that a terminal can return to, sorted.
func (r *reach) grounds(terminal int, negative bool) []int {
	return r.search(terminal, way{grounds: true, negative: negative})
}

func (r *reach) goal(piece int32, w way) []int {
	if w.grounds {
		return r.zeros[piece]
	}
	return r.rails[piece]
}

func (r *reach) search(terminal int, w way) []int {
	start := r.piece[terminal]
	if r.ends[start] {
		return r.goal(start, w)
	}
	var found []int
	seen := map[int32]bool{}
	stack := []int32{r.region[start]}
	visit := func(piece int32) {
		if r.ends[piece] {
			found = append(found, r.goal(piece, w)...)
		} else if region := r.region[piece]; !seen[region] {
			seen[region] = true
			stack = append(stack, region)
		}
	}
	seen[stack[0]] = true
	for len(stack) > 0 {
		region := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, piece := range r.byRegion[region] {
			r.leave(piece, w, visit)
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// leave visits every piece that lies one step further on.
func (r *reach) leave(piece int32, w way, visit func(int32)) {
	for _, id := range r.hops[piece] {
		e := r.c.Elements[id]
		visit(r.piece[e.A])
		visit(r.piece[e.B])
	}
	for _, id := range r.oneWay[piece] {
		// Current comes out of a cathode into a feed, and leaves a return into an
		// anode; on a negative rail the other way round.
		e := r.c.Elements[id]
		near, far := r.piece[e.B], r.piece[e.A]
		if w.grounds != w.negative {
			near, far = far, near
		}
		if near == piece {
			visit(far)
		}
	}
	for _, at := range r.drivers[piece] {
		driver := r.b.Parts.Drivers[at]
		through := driver.Feeds
		if w.grounds {
			through = driver.Returns
		}
		for _, t := range through {
			visit(r.piece[t])
		}
	}
}

// mergeSorted returns what either of two sorted lists holds.
func mergeSorted(one, other []int) []int {
	all := append(slices.Clone(one), other...)
	slices.Sort(all)
	return slices.Compact(all)
}
