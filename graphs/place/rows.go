package place

import (
	"cmp"
	"math"
	"slices"
)

// rows gives every node its height. In each column the order is kept and the sum
// of the steps that its wires make is brought to its least, exactly, by pooling
// neighbours that press on each other (isotonic regression for absolute values);
// columns take turns until little changes. All heights stay on the grid, as all
// wishes do.
func (w *web) rows() error {
	for n := range w.nodes {
		w.nodes[n].y = math.Round(w.nodes[n].y/Grid) * Grid
	}
	rounds := 12
	if len(w.pieces) > 40000 {
		rounds = 5
	}
	best, least := w.heights(), math.Inf(1)
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
			best, least = w.heights(), now
		}
	}
	for n := range w.nodes {
		w.nodes[n].y = best[n]
	}
	return nil
}

func (w *web) heights() []float64 {
	y := make([]float64, len(w.nodes))
	for n := range w.nodes {
		y[n] = w.nodes[n].y
	}
	return y
}

// steps is what rows brings down: the height of all steps, and a price for each.
func (w *web) steps() float64 {
	sum := 0.0
	for i := range w.pieces {
		p := &w.pieces[i]
		if step := math.Abs(w.height(p.a) - w.height(p.b)); p.across() && step > 0 {
			sum += w.pull1(p) * (step + 40)
		}
	}
	return sum
}

// pull1 says how much it matters that a piece is straight: most where it is the
// middle of a long wire.
func (w *web) pull1(p *piece) float64 {
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

// pool is a run of nodes that press on each other and move as one.
type pool struct {
	wants  []want // sorted
	weight float64
	at     float64
	nodes  int
}

func (p *pool) median() {
	half := 0.0
	for _, v := range p.wants {
		half += v.weight
		if half >= p.weight/2 {
			p.at = v.at
			return
		}
	}
}

// align moves a column.
func (w *web) align(layer int, sides ...[][]int) {
	column := w.column[layer]
	offset := make([]float64, len(column))
	var pools []pool
	for i, n := range column {
		if i > 0 {
			above := column[i-1]
			offset[i] = offset[i-1] + w.nodes[above].height + w.gap(above, n)
		}
		var wants []want
		add := func(p int, factor float64) {
			near, far := w.ends(p, n)
			wants = append(wants, want{w.height(far) - w.drop(near) - offset[i], factor * w.pull1(&w.pieces[p])})
		}
		for _, side := range sides {
			for _, p := range side[n] {
				add(p, 1)
			}
		}
		for _, p := range w.besides[n] {
			add(p, 0.05)
		}
		if len(wants) == 0 {
			wants = append(wants, want{w.nodes[n].y - offset[i], 0.01})
		}
		slices.SortFunc(wants, func(a, b want) int { return cmp.Compare(a.at, b.at) })
		next := pool{wants: wants, nodes: 1}
		for _, v := range wants {
			next.weight += v.weight
		}
		next.median()
		for len(pools) > 0 && pools[len(pools)-1].at > next.at {
			last := pools[len(pools)-1]
			pools = pools[:len(pools)-1]
			next = pool{wants: mergeWants(last.wants, next.wants), weight: last.weight + next.weight, nodes: last.nodes + next.nodes}
			next.median()
		}
		pools = append(pools, next)
	}
	i := 0
	for _, p := range pools {
		for range p.nodes {
			w.nodes[column[i]].y = p.at + offset[i]
			i++
		}
	}
}

func mergeWants(a, b []want) []want {
	merged := make([]want, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if a[0].at <= b[0].at {
			merged = append(merged, a[0])
			a = a[1:]
		} else {
			merged = append(merged, b[0])
			b = b[1:]
		}
	}
	return append(append(merged, a...), b...)
}
