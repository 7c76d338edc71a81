package layout

import "slices"

// siftLimit is the number of nodes in a column up to which every place is tried
// for every node; in longer columns neighbours are exchanged only.
const siftLimit = 260

// sift takes each node of a column in turn out of it and puts it back where the
// fewest pieces cross (Matuszewski, Schönfeld and Molitor 1999, from memory).
// It says whether anything was gained.
func (w *multigraph) sift(layer int) bool {
	column := w.column[layer]
	far := make(map[int][2][]float64, len(column))
	for _, n := range column {
		var ends [2][]float64
		for side, pieces := range [][]int{w.leftOf[n], w.rightOf[n]} {
			for _, p := range pieces {
				_, h := w.ends(p, n)
				ends[side] = append(ends[side], w.height(h))
			}
			slices.Sort(ends[side])
		}
		far[n] = ends
	}
	// gain is how many crossings go when a, which stands above b, is put below.
	gain := func(a, b int) int {
		fa, fb := far[a], far[b]
		sum := 0
		for side := range 2 {
			sum += above(fb[side], fa[side]) - above(fa[side], fb[side])
		}
		return sum
	}
	gained := false
	if len(column) > siftLimit {
		for i := 1; i < len(column); i++ {
			if gain(column[i-1], column[i]) > 0 {
				column[i-1], column[i] = column[i], column[i-1]
				gained = true
			}
		}
	} else {
		for _, n := range slices.Clone(column) {
			at := slices.Index(column, n)
			best, most := at, 0
			sum := 0
			for i := at + 1; i < len(column); i++ {
				if sum += gain(n, column[i]); sum > most {
					best, most = i, sum
				}
			}
			sum = 0
			for i := at - 1; i >= 0; i-- {
				if sum += gain(column[i], n); sum > most {
					best, most = i, sum
				}
			}
			if best != at {
				column = slices.Delete(column, at, at+1)
				column = slices.Insert(column, best, n)
				gained = true
			}
		}
		w.column[layer] = column
	}
	if gained {
		w.restack(layer)
	}
	return gained
}

// above counts the pairs of a height of a and one of b where that of a is the
// lower number: both lists are sorted.
func above(a, b []float64) int {
	count, at := 0, 0
	for _, h := range b {
		for at < len(a) && a[at] < h {
			at++
		}
		count += at
	}
	return count
}

// restack stacks a column anew about the height where it was.
func (w *multigraph) restack(layer int) {
	column := w.column[layer]
	before, after := 0.0, 0.0
	for _, n := range column {
		before += w.nodes[n].y
	}
	w.stack(layer)
	for _, n := range column {
		after += w.nodes[n].y
	}
	shift := float64(int((before - after) / float64(len(column))))
	for _, n := range column {
		w.nodes[n].y += shift
	}
}
