package graphs

import (
	"container/heap"
	"math"
)

// Through returns the terminals from a to b along the path that carries most of
// a meter's current, both ends included: the path whose weakest element carries
// the most; of several such the one of fewest elements, then of the first
// terminals by name. Where no ohms lie between, that is the shortest path. Nil if
// nothing joins them.
func (c *Circuit) Through(a, b int) []int { return c.Probe(a, b).Through() }

// Through returns the path of the meter's current: see Circuit.Through.
func (p *Probe) Through() []int {
	if math.IsInf(p.Ohms, 1) {
		return nil
	}
	// First the width of the widest path, by the strongest ways first.
	w := p.walk()
	width := math.Inf(1)
	w.visit(p.a, width)
	for {
		if _, there := w.spot[p.b]; there || w.front.Len() == 0 {
			break
		}
		next := heap.Pop(&w.front).(way)
		if _, seen := w.spot[next.to]; !seen {
			width = min(width, next.width)
			w.visit(next.to, next.width)
		}
	}
	return p.shortest(width * (1 - 1e-9)) // currents that only rounding tells apart are alike
}

// shortest returns the path from a to b of fewest elements, over those without
// ohms and those that carry at least that much towards b.
func (p *Probe) shortest(width float64) []int {
	c := p.c
	steps := map[int]int{p.b: 0} // to b
	queue := []int{p.b}
	carries := func(amps float64) bool { return amps > 0 && amps >= width }
	// each visits the neighbours of t that a step joins: sign +1 for steps from t
	// on, -1 for steps that lead to t.
	each := func(t int, sign float64, visit func(far int)) {
		for _, id := range c.Incident(t) {
			amps := sign * p.amps(int(id))
			if c.Elements[id].A != t {
				amps = -amps
			}
			if p.ohmsOf(int(id)) == 0 || carries(amps) {
				visit(c.Far(int(id), t))
			}
		}
		for _, far := range p.extra[t] {
			visit(int(far))
		}
		for _, path := range p.paths[t] {
			if carries(sign * p.along(path)) {
				visit(path.b)
			}
		}
	}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		if t == p.a {
			break
		}
		each(t, -1, func(far int) {
			if _, seen := steps[far]; !seen {
				steps[far] = steps[t] + 1
				queue = append(queue, far)
			}
		})
	}
	if _, reached := steps[p.a]; !reached {
		return nil
	}
	rank := c.terminalLabels().rank
	path := []int{p.a}
	for t := p.a; t != p.b; {
		best := -1
		each(t, 1, func(far int) {
			if left, known := steps[far]; known && left == steps[t]-1 && (best < 0 || rank[far] < rank[best]) {
				best = far
			}
		})
		if best < 0 {
			return nil
		}
		path = append(path, best)
		t = best
	}
	return path
}
