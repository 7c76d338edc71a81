package layout

import (
	"math"
	"slices"
)

// rows gives every node its height. In each column the order is kept and the sum
// of the steps that its wires make is brought to its least, exactly, by pooling
// neighbours that press on each other (isotonic regression for absolute values);
// columns take turns until little changes. All heights stay on the grid, as all
// wishes do.
func (w *multigraph) rows() error {
	for n := range w.nodes {
		w.nodes[n].y = math.Round(w.nodes[n].y/Grid) * Grid
	}
	rounds := 12
	if len(w.pieces) > 40000 {
		rounds = 5
	}
	best, least := w.settled(), math.Inf(1)
	for round := range rounds {
		if err := w.ctx.Err(); err != nil {
			return err
		}
		w.progress(0.45+0.25*float64(round)/float64(rounds), "straightening wires")
		for l := range w.column {
			w.align(l, w.leftOf)
		}
		for l := len(w.column) - 1; l >= 0; l-- {
			w.align(l, w.rightOf)
		}
		for l := range w.column {
			w.align(l, w.leftOf, w.rightOf)
		}
		for l := len(w.column) - 1; l >= 0; l-- {
			w.align(l, w.leftOf, w.rightOf)
		}
		if now := w.steps(); now < least {
			best, least = w.settled(), now
		}
	}
	w.bring(best)
	return nil
}

// levels are the heights of all nodes and of the rows of rails.
type levels struct {
	y     []float64
	drops [][]float64
}

func (w *multigraph) settled() levels {
	l := levels{make([]float64, len(w.nodes)), make([][]float64, len(w.forms))}
	for n := range w.nodes {
		l.y[n] = w.nodes[n].y
	}
	for d, f := range w.forms {
		l.drops[d] = slices.Clone(f.drops)
	}
	return l
}

func (w *multigraph) bring(l levels) {
	for n := range w.nodes {
		w.nodes[n].y = l.y[n]
	}
	for d, f := range w.forms {
		if f.drops != nil {
			w.spread(d, l.drops[d])
		}
	}
}

// spread puts the rows of a rail at their heights below its upper edge.
func (w *multigraph) spread(d int, drops []float64) {
	f := w.forms[d]
	f.drops = drops
	f.height = drops[len(drops)-1] + Row/2
	w.nodes[d].height = f.height
}

// steps is what rows brings down: the height of all steps, and a price for each.
func (w *multigraph) steps() float64 {
	sum := 0.0
	for i := range w.pieces {
		p := &w.pieces[i]
		if step := math.Abs(w.height(p.a) - w.height(p.b)); p.across() && step > 0 {
			sum += w.weight(p) * (step + 40)
		}
	}
	return sum
}

// weight says how much it matters that a piece is straight: most where it is the
// middle of a long wire.
func (w *multigraph) weight(p *component) float64 {
	switch {
	case p.a.terminal < 0 && p.b.terminal < 0:
		return 8
	case p.a.terminal < 0 || p.b.terminal < 0:
		return 3
	default:
		return 2
	}
}

// want is a height that a wire would have a node at.
type want struct{ at, weight float64 }

// mover is what moves by itself in a column: a node, or one row of a rail.
type mover struct {
	node   int
	row    int // of a rail; else -1
	offset float64
}

// align moves a column.
func (w *multigraph) align(layer int, sides ...[][]int) {
	items := w.items(layer)
	wants := make([][]want, len(items))
	first := make(map[int]int, len(w.column[layer])) // the item of a node's first row
	for i, it := range items {
		if it.row <= 0 {
			first[it.node] = i
		}
	}
	for _, n := range w.column[layer] {
		at := first[n]
		add := func(p int, factor float64) {
			near, far := w.ends(p, n)
			i, drop := at, w.drop(near)
			if items[at].row >= 0 {
				i += w.spot[near.terminal].row
				drop = w.forms[n].header + Row/2
			}
			wants[i] = append(wants[i], want{w.height(far) - drop - items[i].offset, factor * w.weight(&w.pieces[p])})
		}
		for _, side := range sides {
			for _, p := range side[n] {
				add(p, 1)
			}
		}
		for _, p := range w.besides[n] {
			add(p, 0.05)
		}
	}
	for i, it := range items {
		if len(wants[i]) == 0 {
			y := w.nodes[it.node].y
			if it.row > 0 {
				y += w.forms[it.node].drops[it.row] - w.forms[it.node].drops[0]
			}
			wants[i] = append(wants[i], want{y - it.offset, 0.01})
		}
	}
	at := settle(wants)
	for i := range at {
		at[i] += items[i].offset
	}
	for i := 0; i < len(items); {
		n := items[i].node
		if items[i].row < 0 {
			w.nodes[n].y = at[i]
			i++
			continue
		}
		rows := len(w.forms[n].drops)
		w.gatherRows(n, at[i:i+rows])
		i += rows
	}
}

// items lists what moves in a column, each with the least distance from the
// top that those above it leave.
func (w *multigraph) items(layer int) []mover {
	var items []mover
	y := 0.0
	for i, n := range w.column[layer] {
		if i > 0 {
			y += w.gap(w.column[layer][i-1], n)
		}
		node := &w.nodes[n]
		if node.device < 0 || w.forms[node.device].drops == nil {
			items = append(items, mover{n, -1, y})
			y += node.height
			continue
		}
		for row := range w.forms[node.device].drops {
			items = append(items, mover{n, row, y + Row*float64(row)})
		}
		y += w.forms[node.device].header + Row*float64(w.forms[node.device].rows)
	}
	return items
}

// settle returns, for each item in turn, the height that suits the wants of all
// best while none is above the one before it. The sum of what the items so far
// pay is convex in the height of the last; the heap holds where its slope
// changes, the lowest place where it is least on top. Cost: n log n in the wants.
func settle(wants [][]want) []float64 {
	at := make([]float64, len(wants))
	var slopes wantHeap
	for i, list := range wants {
		excess := 0.0
		for _, v := range list {
			slopes.push(want{v.at, 2 * v.weight})
			excess += v.weight
		}
		for excess > 0 { // below the least nobody presses upward
			top := &slopes[0]
			if top.weight > excess {
				top.weight -= excess
				break
			}
			excess -= top.weight
			slopes.pop()
		}
		at[i] = slopes[0].at
	}
	for i := len(at) - 2; i >= 0; i-- {
		at[i] = min(at[i], at[i+1])
	}
	return at
}

// wantHeap has the want of the greatest height on top.
type wantHeap []want

func (h *wantHeap) push(v want) {
	*h = append(*h, v)
	list := *h
	at := len(list) - 1
	for at > 0 && list[at].at > list[(at-1)/2].at {
		list[at], list[(at-1)/2] = list[(at-1)/2], list[at]
		at = (at - 1) / 2
	}
}

func (h *wantHeap) pop() {
	list := *h
	last := len(list) - 1
	list[0] = list[last]
	list = list[:last]
	*h = list
	for at := 0; ; {
		most := at
		for child := 2*at + 1; child <= 2*at+2 && child < last; child++ {
			if list[child].at > list[most].at {
				most = child
			}
		}
		if most == at {
			return
		}
		list[at], list[most] = list[most], list[at]
		at = most
	}
}

// railStep is the widest distance of two rows of a rail.
const railStep = 3 * Row

// gatherRows puts the rows of a rail as wanted, but no farther apart than
// railStep, and those that carry no wire close to the others. What it frees it
// frees within the room that the rail had.
func (w *multigraph) gatherRows(n int, at []float64) {
	f := w.forms[n]
	wired := make([]bool, len(at))
	low, high := len(at), -1
	for row, t := range f.left {
		if w.degree[t] > 0 {
			wired[row] = true
			low, high = min(low, row), max(high, row)
		}
	}
	drops := make([]float64, len(at))
	drops[0] = f.header + Row/2
	var free []float64
	for row := range at {
		if row > 0 {
			step := min(at[row]-at[row-1], railStep)
			if row <= low || row > high {
				step = Row
			}
			drops[row] = drops[row-1] + step
		}
		if wired[row] {
			free = append(free, at[row]-at[0]-(drops[row]-drops[0]))
		}
	}
	shift := 0.0
	if len(free) > 0 {
		shift = free[len(free)/2] // they rise from row to row
	}
	w.nodes[n].y = at[0] + shift
	w.spread(n, drops)
}
