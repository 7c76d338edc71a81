package faults

import (
	"cmp"
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// returnTree is one return net of the running machine as a tree from its
// supply's return, with what crosses each element when that is lost.
//
// If a piece of the return opens, what hangs beyond it becomes an island N.
// Every load whose own return lies on the other side than its supply's then
// ties N to a rail through its resistance, and
//
//	V_N = sum(V_i / R_i) / sum(1 / R_i)
//
// with the rails V_i as they stand against the other side (a load that is
// fed from inside the island counts with -V_i). Load i sees V_i - V_N.
type returnTree struct {
	*tree
	crossings []crossing

	conductance []float64 // by node: sum of 1/R over what crosses its upward element, in siemens
	push        []float64 // by node: sum of V/R likewise, in amperes
	count       []int     // by node: how many crossings
	// V_N may lie from floor to ceiling without harm to any crossing load.
	floor, ceiling []float64

	depth, heavy, head []int
}

// crossing is a load, or a plain resistance, that ties a rail to a return.
type crossing struct {
	load     int // place in Parts.Loads; -1: a resistance that nothing can harm
	supply   int // place in Parts.Supplies
	at, zero int // nodes of the load's return and of the supply's
	volts    float64
	siemens  float64 // 0: not known
}

// returnTrees grows a tree for every return net that has loads of two volts or
// more, and weighs it.
func (w *wiring) returnTrees() []*returnTree {
	byNet := map[int][]crossing{} // at and zero are terminals here
	for i, load := range w.b.Parts.Loads {
		if w.b.Ailing(i) {
			continue
		}
		for _, c := range w.loadCrossings(i, load) {
			byNet[w.net(c.zero)] = append(byNet[w.net(c.zero)], c)
		}
	}
	for _, c := range w.resistanceCrossings() {
		byNet[w.net(c.zero)] = append(byNet[w.net(c.zero)], c)
	}
	var trees []*returnTree
	for _, net := range sortedKeys(byNet) {
		if !severalVolts(byNet[net]) {
			continue
		}
		rt := &returnTree{tree: growTree(w.rootOf(net), w.returnWays())}
		for _, c := range byNet[net] {
			at, here := rt.place[c.at]
			zero, hereToo := rt.place[c.zero]
			if here && hereToo {
				c.at, c.zero = at, zero
				rt.crossings = append(rt.crossings, c)
			}
		}
		rt.weigh(w)
		trees = append(trees, rt)
	}
	return trees
}

func severalVolts(crossings []crossing) bool {
	return slices.ContainsFunc(crossings, func(c crossing) bool { return c.volts != crossings[0].volts })
}

// rootOf picks the supply's return from which a net is looked at: that of the
// strongest supply, so that the island is the smaller side as a rule.
func (w *wiring) rootOf(net int) int {
	best, amps := -1, math.Inf(-1)
	for _, i := range w.returns[net] {
		supply := w.b.Parts.Supplies[i]
		for _, t := range supply.Returns {
			if w.net(t) != net {
				continue
			}
			limit := supply.LimitAmps.Or(0)
			if limit > amps || limit == amps && model.CompareRefs(w.c.Ref(t), w.c.Ref(best)) < 0 {
				best, amps = t, limit
			}
		}
	}
	return best
}

// returnWays lists the metal at a terminal, and the returns that are one node
// in the running machine: those of one section of a device.
func (w *wiring) returnWays() func(int, []step) []step {
	sections := map[section][]int{}
	for t, terminal := range w.b.Machine.Terminals {
		if terminal.Role == model.RoleReturn {
			key := w.b.section(t)
			sections[key] = append(sections[key], t)
		}
	}
	return func(t int, list []step) []step {
		for _, id := range w.c.Incident(t) {
			if w.c.Elements[id].Joins() {
				list = append(list, step{int(id), w.c.Far(int(id), t)})
			}
		}
		if w.b.role(t) != model.RoleReturn {
			return list
		}
		same := sections[w.b.section(t)]
		for at, other := range same { // a chain from one to the next
			if other == t {
				if at > 0 {
					list = append(list, step{-2 - same[at-1], same[at-1]})
				}
				if at+1 < len(same) {
					list = append(list, step{-2 - t, same[at+1]})
				}
			}
		}
		return list
	}
}

// loadCrossings returns how a load ties its rail to a return net: directly, or
// through the drivers that sink its return.
func (w *wiring) loadCrossings(i int, load graphs.Load) []crossing {
	origins := w.atRest(w.net(load.Feed))
	if len(origins) == 0 {
		return nil
	}
	supply := w.b.Parts.Supplies[origins[0]]
	if !supply.Volts.Known || len(supply.Returns) == 0 {
		return nil
	}
	one := crossing{load: i, supply: origins[0], volts: supply.Volts.Value, siemens: w.siemens(load)}
	for _, t := range load.Returns {
		net := w.net(t)
		ends := []int{t}
		if len(w.returns[net]) == 0 {
			ends = nil
			for _, driver := range w.drives[net] {
				if back := w.b.Parts.Drivers[driver].Returns; len(back) > 0 {
					ends = append(ends, back[0])
				}
			}
		}
		for _, end := range ends {
			for _, zero := range supply.Returns {
				if w.net(zero) == w.net(end) {
					one.at, one.zero = end, zero
					return []crossing{one}
				}
			}
		}
	}
	return nil
}

// siemens returns a load's conductance: load_a over its volts, by default its
// device's resistance link; 0 where neither is known.
func (w *wiring) siemens(load graphs.Load) float64 {
	if load.Amps.Known {
		if load.Volts.Or(0) == 0 {
			return 0
		}
		return load.Amps.Value / math.Abs(load.Volts.Value)
	}
	for _, t := range load.Returns {
		for _, id := range w.c.Incident(load.Feed) {
			e := w.c.Elements[id]
			if e.Kind == graphs.Resistance && e.Present && e.Ohms > 0 && w.c.Far(int(id), load.Feed) == t {
				return 1 / e.Ohms
			}
		}
	}
	return 0
}

// resistanceCrossings are plain resistors from a rail to a return, as bleeders
// are.
func (w *wiring) resistanceCrossings() []crossing {
	var found []crossing
	for _, e := range w.c.Elements {
		if e.Kind != graphs.Resistance || !e.Present || e.Ohms <= 0 {
			continue
		}
		for _, ends := range [2][2]int{{e.A, e.B}, {e.B, e.A}} {
			rails := w.rails[w.net(ends[0])]
			if len(rails) == 0 || w.b.role(ends[0]) == model.RoleFeed || len(w.returns[w.net(ends[1])]) == 0 {
				continue
			}
			supply := w.b.Parts.Supplies[rails[0]]
			for _, zero := range supply.Returns {
				if supply.Volts.Known && w.net(zero) == w.net(ends[1]) {
					found = append(found, crossing{load: -1, supply: rails[0], at: ends[1], zero: zero, volts: supply.Volts.Value, siemens: 1 / e.Ohms})
					break
				}
			}
		}
	}
	return found
}

// weigh sums what crosses every element. Cost: nearly linear in nodes and
// crossings.
func (rt *returnTree) weigh(w *wiring) {
	n := len(rt.at)
	rt.conductance, rt.push, rt.count = make([]float64, n), make([]float64, n), make([]int, n)
	rt.floor, rt.ceiling = make([]float64, n), make([]float64, n)
	for node := range n {
		rt.floor[node], rt.ceiling[node] = math.Inf(-1), math.Inf(1)
	}
	rt.climbable()
	type bound struct {
		from, top int
		volts     float64
	}
	var floors, ceilings []bound
	for _, c := range rt.crossings {
		top := rt.meet(c.at, c.zero)
		for _, end := range []struct {
			node int
			sign float64
		}{{c.at, 1}, {c.zero, -1}} {
			rt.conductance[end.node] += c.siemens
			rt.push[end.node] += end.sign * c.siemens * c.volts
			rt.count[end.node]++
			if c.load >= 0 {
				least, most := bearable(w.b.Parts.Loads[c.load], c.volts)
				if end.sign > 0 {
					floors = append(floors, bound{end.node, top, c.volts - most})
					ceilings = append(ceilings, bound{end.node, top, c.volts - least})
				} else {
					floors = append(floors, bound{end.node, top, least - c.volts})
					ceilings = append(ceilings, bound{end.node, top, most - c.volts})
				}
			}
		}
		rt.conductance[top] -= 2 * c.siemens
		rt.count[top] -= 2
	}
	sumUp(rt.tree, rt.conductance)
	sumUp(rt.tree, rt.push)
	sumUp(rt.tree, rt.count)

	// The tightest bound of every element: paint paths, tightest first, each
	// element once.
	paint := func(bounds []bound, into []float64) {
		next := make([]int, n)
		for node := range next {
			next[node] = node
		}
		find := func(node int) int {
			for next[node] != node {
				next[node] = next[next[node]]
				node = next[node]
			}
			return node
		}
		for _, one := range bounds {
			for node := find(one.from); node != one.top && !rt.holds(node, one.top); node = find(node) {
				into[node] = one.volts
				next[node] = rt.up[node]
			}
		}
	}
	slices.SortFunc(floors, func(x, y bound) int { return cmp.Compare(y.volts, x.volts) })
	slices.SortFunc(ceilings, func(x, y bound) int { return cmp.Compare(x.volts, y.volts) })
	paint(floors, rt.floor)
	paint(ceilings, rt.ceiling)
}

// bearable returns the least and most volts that do a load no harm: nothing
// reversed, and nothing above its limit. A supply of the wrong volts is another
// rule's matter, so a limit never lies inside the rail's own volts.
func bearable(load graphs.Load, rail float64) (least, most float64) {
	slack := noticeable(load)
	if rail < 0 {
		least, most = math.Inf(-1), slack
		if load.MinVolts.Known {
			least = min(load.MinVolts.Value, rail-slack)
		}
		return least, most
	}
	least, most = -slack, math.Inf(1)
	if load.MaxVolts.Known {
		most = max(load.MaxVolts.Value, rail+slack)
	}
	return least, most
}

// climbable prepares meet: chains of heavy children (heavy path decomposition).
func (rt *returnTree) climbable() {
	n := len(rt.at)
	rt.depth, rt.heavy, rt.head = make([]int, n), make([]int, n), make([]int, n)
	for node := range n {
		rt.heavy[node] = -1
		if node > 0 {
			rt.depth[node] = rt.depth[rt.up[node]] + 1
		}
	}
	for node := n - 1; node > 0; node-- {
		up := rt.up[node]
		if best := rt.heavy[up]; best < 0 || rt.end[node]-node >= rt.end[best]-best {
			rt.heavy[up] = node
		}
	}
	for node := range n {
		rt.head[node] = node
		if node > 0 && rt.heavy[rt.up[node]] == node {
			rt.head[node] = rt.head[rt.up[node]]
		}
	}
}

// meet returns the deepest node that holds both. Cost: logarithmic.
func (rt *returnTree) meet(x, y int) int {
	for rt.head[x] != rt.head[y] {
		if rt.depth[rt.head[x]] < rt.depth[rt.head[y]] {
			x, y = y, x
		}
		x = rt.up[rt.head[x]]
	}
	if rt.depth[x] < rt.depth[y] {
		return x
	}
	return y
}

// islandVolts returns V_N against the other side when a node's upward element
// is lost; false where nothing known ties the island to a rail.
func (rt *returnTree) islandVolts(node int) (float64, bool) {
	if rt.conductance[node] <= 1e-9 {
		return 0, false
	}
	return rt.push[node] / rt.conductance[node], true
}

// harmful says whether the loss of a node's upward element destroys something.
func (rt *returnTree) harmful(node int) bool {
	volts, known := rt.islandVolts(node)
	return known && rt.count[node] > 1 && (volts < rt.floor[node] || volts > rt.ceiling[node])
}
