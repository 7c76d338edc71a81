package layout

import (
	"cmp"
	"math"
	"slices"
)

// gap is the least distance of two nodes in a column.
func (w *multigraph) gap(above, below int) float64 {
	a, b := &w.nodes[above], &w.nodes[below]
	if a.device < 0 || b.device < 0 {
		return Grid
	}
	return 2 * Grid
}

// stack puts the nodes of a column below one another.
func (w *multigraph) stack(layer int) {
	y := 0.0
	for i, n := range w.column[layer] {
		if i > 0 {
			y += w.gap(w.column[layer][i-1], n)
		}
		w.nodes[n].y = y
		y += w.nodes[n].height
	}
	for _, n := range w.column[layer] {
		w.nodes[n].y -= math.Floor(y / 2)
	}
}

// siftRounds is how often every column is sifted to and fro.
const siftRounds = 8

// order finds, by sweeps of barycentres to the right and back, an order of each
// column with few crossings, and of the ports on boxes where any order serves.
// Positions are heights, not ranks, so that tall boxes count as tall.
func (w *multigraph) order() error {
	for l := range w.column {
		if l == 0 {
			w.stack(l)
			continue
		}
		w.sweep(l, w.leftOf)
	}
	best := w.snapshot()
	least := w.crossings()
	rounds := 14
	if len(w.pieces) > 40000 {
		rounds = 6
	}
	for round := range rounds {
		if err := w.ctx.Err(); err != nil {
			return err
		}
		w.progress(0.05+0.4*float64(round)/float64(rounds), "ordering columns")
		for l := len(w.column) - 2; l >= 0; l-- {
			w.sweep(l, w.rightOf)
		}
		w.sortPorts()
		for l := 1; l < len(w.column); l++ {
			w.sweep(l, w.leftOf)
		}
		w.sortPorts()
		if now := w.crossings(); now < least {
			best, least = w.snapshot(), now
		}
		for l := range w.column { // both neighbours at once
			w.sweep(l, w.leftOf, w.rightOf)
		}
		if now := w.crossings(); now < least {
			best, least = w.snapshot(), now
		}
	}
	w.restore(best)
	for range siftRounds {
		if err := w.ctx.Err(); err != nil {
			return err
		}
		gained := false
		for l := range w.column {
			gained = w.sift(l) || gained
		}
		w.sortPorts()
		for l := len(w.column) - 1; l >= 0; l-- {
			gained = w.sift(l) || gained
		}
		w.sortPorts()
		if now := w.crossings(); now < least {
			best, least = w.snapshot(), now
		}
		if !gained {
			break
		}
	}
	w.restore(best)
	return nil
}

// sweep sorts a column by where the wires of its nodes would have them.
func (w *multigraph) sweep(layer int, sides ...[][]int) {
	column := w.column[layer]
	wish := make(map[int]float64, len(column))
	for _, n := range column {
		if w.nodes[n].round >= 0 {
			continue
		}
		sum, count := 0.0, 0
		for _, side := range sides {
			for _, p := range side[n] {
				near, far := w.ends(p, n)
				sum += w.height(far) - w.drop(near)
				count++
			}
		}
		if count > 0 {
			wish[n] = sum/float64(count) + w.nodes[n].height/2
		}
	}
	// Daisy chains hang on what is known already.
	for range 8 {
		fresh := map[int]float64{}
		for _, n := range column {
			if _, known := wish[n]; known || w.nodes[n].round >= 0 {
				continue
			}
			sum, count := 0.0, 0
			for _, p := range w.besides[n] {
				_, far := w.ends(p, n)
				if at, known := wish[far.node]; known {
					sum += at
					count++
				}
			}
			if count > 0 {
				fresh[n] = sum/float64(count) + 1
			}
		}
		if len(fresh) == 0 {
			break
		}
		for n, at := range fresh {
			wish[n] = at
		}
	}
	for _, n := range column {
		if w.nodes[n].round < 0 {
			if _, known := wish[n]; !known {
				wish[n] = w.nodes[n].y + w.nodes[n].height/2
			}
		}
	}
	for _, n := range column { // round a box: hard above or below it
		box := w.nodes[n].round
		if box < 0 {
			continue
		}
		away := 0.0
		for _, side := range [][][]int{w.leftOf, w.rightOf} {
			for _, p := range side[n] {
				_, far := w.ends(p, n)
				away += w.height(far) - w.nodes[box].y - w.nodes[box].height/2
			}
		}
		if away < 0 {
			wish[n] = wish[box] - 0.25
		} else {
			wish[n] = wish[box] + 0.25
		}
	}
	slices.SortStableFunc(column, func(a, b int) int { return cmp.Compare(wish[a], wish[b]) })
	w.stack(layer)
	// Keep the column as high as its wires lie, not centred for its own sake.
	sum := 0.0
	for _, n := range column {
		sum += wish[n] - w.nodes[n].y - w.nodes[n].height/2
	}
	if len(column) > 0 {
		shift := math.Round(sum / float64(len(column)))
		for _, n := range column {
			w.nodes[n].y += shift
		}
	}
}

// sortPorts orders the ports on each side of boxes where any order serves.
func (w *multigraph) sortPorts() {
	pieces := make([][]int, 2)
	for d, f := range w.forms {
		if !f.free || w.layer[d] < 0 {
			continue
		}
		pieces[0], pieces[1] = w.leftOf[d], w.rightOf[d]
		for side, terminals := range [][]int{f.left, f.right} {
			sum, count := map[int]float64{}, map[int]float64{}
			for _, p := range pieces[side] {
				near, far := w.ends(p, d)
				sum[near.terminal] += w.height(far)
				count[near.terminal]++
			}
			for _, p := range w.besides[d] {
				if near, far := w.ends(p, d); near.side == Side(side) {
					sum[near.terminal] += w.height(far)
					count[near.terminal]++
				}
			}
			wish := make(map[int]float64, len(terminals))
			last := math.Inf(-1)
			for _, t := range terminals {
				if count[t] > 0 {
					last = sum[t] / count[t]
				}
				wish[t] = last // one without a wire stays below the one above it
			}
			slices.SortStableFunc(terminals, func(a, b int) int { return cmp.Compare(wish[a], wish[b]) })
			for row, t := range terminals {
				w.spot[t].row = row
			}
		}
	}
}

// crossings counts, channel by channel, the pairs of pieces that must cross:
// inversions between the orders at its two edges (Barth, Juenger and Mutzel
// 2004), in O(n log n).
func (w *multigraph) crossings() int {
	channels := make([][][2]float64, len(w.column)+1)
	for i := range w.pieces {
		p := &w.pieces[i]
		if !p.across() {
			continue
		}
		left, right := w.height(p.a), w.height(p.b)
		if p.a.side == Left {
			left, right = right, left
		}
		channels[p.channel] = append(channels[p.channel], [2]float64{left, right})
	}
	sum := 0
	for _, ends := range channels {
		slices.SortFunc(ends, func(a, b [2]float64) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
		right := make([]float64, len(ends))
		for i, e := range ends {
			right[i] = e[1]
		}
		sum += inversions(right, make([]float64, len(right)))
	}
	return sum
}

// inversions sorts the list by merging and counts the pairs out of order.
func inversions(list, room []float64) int {
	if len(list) < 2 {
		return 0
	}
	mid := len(list) / 2
	count := inversions(list[:mid], room[:mid]) + inversions(list[mid:], room[mid:])
	a, b := 0, mid
	for i := range room {
		if b == len(list) || a < mid && list[a] <= list[b] {
			room[i] = list[a]
			a++
		} else {
			room[i] = list[b]
			b++
			count += mid - a
		}
	}
	copy(list, room)
	return count
}

// arrangement is an order of columns and ports that can be come back to.
type arrangement struct {
	column      [][]int
	left, right [][]int
	y           []float64
}

func (w *multigraph) snapshot() arrangement {
	a := arrangement{y: make([]float64, len(w.nodes))}
	for _, column := range w.column {
		a.column = append(a.column, slices.Clone(column))
	}
	for _, f := range w.forms {
		a.left = append(a.left, slices.Clone(f.left))
		a.right = append(a.right, slices.Clone(f.right))
	}
	for n := range w.nodes {
		a.y[n] = w.nodes[n].y
	}
	return a
}

func (w *multigraph) restore(a arrangement) {
	w.column = a.column
	for d, f := range w.forms {
		f.left, f.right = a.left[d], a.right[d]
	}
	for n := range w.nodes {
		w.nodes[n].y = a.y[n]
	}
	w.settle()
}
