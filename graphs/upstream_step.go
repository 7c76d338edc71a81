package graphs

import (
	"cmp"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// step is one step of a walk: along an element, or (-1) through the output
// stage of a driver that the map shows no link for, to a terminal.
type step struct{ element, to int }

// routes are ways of a walk from one terminal to targets.
type routes struct {
	list  [][]step // the shortest first
	total uint64   // kit.CountLimit: that many or more
	exact bool     // false: there are at least total
	zones []int    // the terminals walked about in, each zone by its least
}

// walker looks for the ways from terminals to targets. A way ends at the first
// target; it follows elements that Walks, and from a drive terminal it goes on
// at the terminals that hop gives.
type walker struct {
	circuit *Circuit
	limit   int
	target  func(terminal int) bool
	hop     func(drive int) []int // nil: drivers are not passed
	steps   int                   // zones that may still be walked, see walkZones
	reached map[int]bool          // targets that were met
}

// walkZones bounds the zones that one walk looks at: behind every driver lies
// another.
const walkZones = 500

func (c *Circuit) newWalker(limit int, target func(terminal int) bool, hop func(drive int) []int) *walker {
	return &walker{circuit: c, limit: limit, target: target, hop: hop, steps: walkZones, reached: map[int]bool{}}
}

// zone is what metal joins to a start without passing a target. All targets
// together are one vertex, the last, so that a way ends at the first one.
type zone struct {
	terminals []int // by vertex, in reading order; the targets' vertex is len(terminals)
	elements  []int // by edge, in reading order
	web       *kit.Graph
	start     int32
	toTargets []bool // by edge
}

func (w *walker) zone(start int) *zone {
	c := w.circuit
	rank := c.terminalLabels().rank
	z := &zone{}
	met := map[int]bool{start: true}
	queue := []int{start}
	var elements []int
	for at := 0; at < len(queue); at++ {
		t := queue[at]
		for _, id := range c.Incident(t) {
			e := &c.Elements[id]
			if !e.Walks() {
				continue
			}
			far := e.A + e.B - t
			elements = append(elements, int(id)) // twice where both ends lie inside
			if far != start && w.target(far) {
				w.reached[far] = true
			} else if !met[far] {
				met[far] = true
				queue = append(queue, far)
			}
		}
	}
	slices.SortFunc(queue, func(a, b int) int { return cmp.Compare(rank[a], rank[b]) })
	slices.SortFunc(elements, c.compareElements)
	z.terminals, z.elements = queue, slices.Compact(elements)
	vertex := make(map[int]int32, len(queue))
	for v, t := range z.terminals {
		vertex[t] = int32(v)
	}
	z.start = vertex[start]
	targets := int32(len(z.terminals))
	ends := make([][2]int32, len(z.elements))
	z.toTargets = make([]bool, len(z.elements))
	for i, id := range z.elements {
		for side, t := range [2]int{c.Elements[id].A, c.Elements[id].B} {
			v, inside := vertex[t]
			if !inside {
				v, z.toTargets[i] = targets, true
			}
			ends[i][side] = v
		}
	}
	z.web = kit.NewGraph(len(z.terminals)+1, ends)
	return z
}

// from returns the ways from a terminal; passed are the drives that the walk
// came through.
func (w *walker) from(start int, passed []int) routes {
	if w.steps--; w.steps < 0 {
		return routes{}
	}
	z := w.zone(start)
	found := routes{exact: true, zones: []int{slices.Min(z.terminals)}}
	targets := int32(len(z.terminals))
	direct := z.web.Ways(z.web.Blocks(), z.start, targets, w.limit)
	found.add(routes{list: w.steppedAll(z, start, direct.List), total: direct.Total, exact: direct.Exact})
	if w.hop == nil {
		return found
	}
	var inside *kit.Blocks
	for v, drive := range z.terminals {
		if drive == start || slices.Contains(passed, drive) || w.circuit.Machine.Terminals[drive].Role != model.RoleDrive {
			continue
		}
		for _, beyond := range w.hop(drive) {
			if beyond == start || w.walkable(drive, beyond) {
				continue // the link itself is a way
			}
			if inside == nil { // a way to a drive passes no target
				z.web.Absent = z.toTargets
				inside = z.web.Blocks()
			}
			before := z.web.Ways(inside, z.start, int32(v), w.limit)
			after := routes{list: [][]step{{}}, total: 1, exact: true}
			if !w.target(beyond) {
				after = w.from(beyond, append(slices.Clone(passed), drive))
			} else {
				w.reached[beyond] = true
			}
			head := routes{list: w.steppedAll(z, start, before.List), total: before.Total, exact: before.Exact, zones: found.zones[:1]}
			found.add(w.through(start, head, step{w.stageLink(drive, beyond), beyond}, after))
		}
	}
	found.shorten(w.limit)
	return found
}

func (r *routes) add(other routes) {
	r.list = append(r.list, other.list...)
	r.total = kit.AddCounts(r.total, other.total)
	r.exact = r.exact && other.exact && r.total < kit.CountLimit
	r.zones = append(r.zones, other.zones...)
}

func (r *routes) shorten(limit int) {
	slices.SortStableFunc(r.list, func(a, b []step) int { return cmp.Compare(len(a), len(b)) })
	r.list = r.list[:min(limit, len(r.list))]
}

// through joins the ways to a drive, the step through its driver and the ways
// beyond. Where both sides share a zone, ways that meet a terminal twice are
// left out; then the number is exact only if all are listed.
func (w *walker) through(start int, before routes, middle step, after routes) routes {
	apart := !slices.ContainsFunc(after.zones, func(zone int) bool { return slices.Contains(before.zones, zone) })
	joined := routes{zones: after.zones, exact: before.exact && after.exact, total: kit.MultiplyCounts(before.total, after.total)}
	whole := before.exact && after.exact && uint64(len(before.list)) == before.total && uint64(len(after.list)) == after.total
	for _, head := range before.list {
		for _, tail := range after.list {
			way := slices.Concat(head, []step{middle}, tail)
			if apart || isSimple(start, way) {
				joined.list = append(joined.list, way)
			}
		}
	}
	if !apart {
		joined.total, joined.exact = uint64(len(joined.list)), whole
	}
	joined.shorten(w.limit)
	return joined
}

func isSimple(start int, way []step) bool {
	met := map[int]bool{start: true}
	for _, s := range way {
		if met[s.to] {
			return false
		}
		met[s.to] = true
	}
	return true
}

// steppedAll turns ways of a zone's edges into steps.
func (w *walker) steppedAll(z *zone, start int, list [][]int32) [][]step {
	out := make([][]step, len(list))
	for i, edges := range list {
		t := start
		for _, e := range edges {
			t = w.circuit.Far(z.elements[e], t)
			out[i] = append(out[i], step{z.elements[e], t})
		}
	}
	return out
}

// walkable says whether an element that is walked joins two terminals.
func (w *walker) walkable(a, b int) bool {
	for _, id := range w.circuit.Incident(a) {
		if e := w.circuit.Elements[id]; e.A+e.B-a == b && e.Walks() {
			return true
		}
	}
	return false
}

// stageLink returns the link that stands for a driver's output stage: an
// electronic one before others, and of those the first in reading order; -1 if
// the map has none.
func (w *walker) stageLink(drive, beyond int) int {
	best := -1
	for _, id := range w.circuit.Incident(drive) {
		e := w.circuit.Elements[id]
		if e.A+e.B-drive != beyond || !e.Present {
			continue
		}
		if best < 0 || w.circuit.compareStages(int(id), best) < 0 {
			best = int(id)
		}
	}
	return best
}

func (c *Circuit) compareStages(a, b int) int {
	if a, b := c.Elements[a].Kind == Electronic, c.Elements[b].Kind == Electronic; a != b {
		if a {
			return -1
		}
		return 1
	}
	return c.compareElements(a, b)
}
