package graphs

import "slices"

// elimination is an order in which the nodes of a network are taken out, one
// after another, and what each leaves behind. Taking out node x joins all of
// its neighbours to one another: with one neighbour that is the rule for a
// dead end, with two the rule for resistors in series, with more the star-mesh
// transform.
//
// Nodes go in rounds; those of one round are no neighbours. So a chain of n
// resistors is folded up in about log n rounds, and the way from any node to
// the last one of its part of the network is short: a solve for two nodes
// walks those ways only.
type elimination struct {
	order []int32 // by position: the node
	place []int32 // by node: its position
	// rows[first[k]:first[k+1]] are the positions of the neighbours that node
	// order[k] had when it went, ascending: all of them later ones.
	first []int32
	rows  []int32
	// parent[k] is rows[first[k]], or -1: k is the last of its part.
	parent []int32
	// sparse is how many positions were worked out one by one. What remains, the
	// core, is meshed too densely for that; core lists its edges by position.
	sparse int
	core   [][2]int32
}

// Bounds of the elimination. Work counts the pairs of neighbours joined.
const (
	// coreNodes is the most nodes that a core solved as a full matrix may have:
	// its cost is coreNodes^3/6 multiplications, about a second.
	coreNodes = 1800
	// smallCore: as few nodes are never worth a full matrix.
	smallCore = 96
	// workLimit bounds the pairs joined before the rest becomes a core, whatever
	// its size.
	workLimit = 20_000_000
)

// eliminate orders the nodes of a network without double edges or loops.
// near[x] are the neighbours of x; it is used up. Cost: about linear where the
// network is like wiring, and never more than workLimit pairs.
func eliminate(near [][]int32) *elimination {
	n := len(near)
	r := &rounds{near: near, mark: make([]int32, n), blocked: make([]int32, n), done: make([]int32, n), gone: make([]bool, n)}
	for x := range near {
		r.file(int32(x))
	}
	e := &elimination{order: make([]int32, 0, n), place: make([]int32, n), first: make([]int32, 1, n+1)}
	for r.next() {
		if r.dense(n - len(e.order)) {
			break
		}
		for _, x := range r.chosen {
			e.order = append(e.order, x)
			e.rows = append(e.rows, near[x]...)
			e.first = append(e.first, int32(len(e.rows)))
		}
		r.takeOut()
	}
	e.sparse = len(e.order)
	for x := range near {
		if !r.gone[x] {
			e.order = append(e.order, int32(x))
		}
	}
	for k, x := range e.order {
		e.place[x] = int32(k)
	}
	for at, x := range e.rows {
		e.rows[at] = e.place[x]
	}
	e.parent = make([]int32, n)
	for k := range e.parent {
		e.parent[k] = -1
		if k < e.sparse {
			if row := e.rows[e.first[k]:e.first[k+1]]; len(row) > 0 {
				slices.Sort(row)
				e.parent[k] = row[0]
			}
		}
	}
	for k := e.sparse; k < n; k++ {
		x := e.order[k]
		for _, y := range near[x] {
			if other := e.place[y]; other > int32(k) {
				e.core = append(e.core, [2]int32{int32(k), other})
			}
		}
	}
	return e
}

// rounds chooses who goes next. Between two rounds near[x] holds x's neighbours
// that remain, each once.
type rounds struct {
	near    [][]int32
	gone    []bool
	mark    []int32 // stamps while settling
	stamp   int32
	blocked []int32 // the last round in which a neighbour went
	done    []int32 // the last round after which the node was filed anew
	round   int32
	byCount [][]int32 // byCount[d]: nodes that had d neighbours when filed
	low     int
	chosen  []int32
	touched []int32
	work    int
}

// file puts a node where its number of neighbours belongs.
func (r *rounds) file(x int32) {
	d := len(r.near[x])
	for len(r.byCount) <= d {
		r.byCount = append(r.byCount, nil)
	}
	r.byCount[d] = append(r.byCount[d], x)
	r.low = min(r.low, d)
}

// settle drops from a node's list what is gone or stands twice.
func (r *rounds) settle(x int32) {
	r.stamp++
	r.mark[x] = r.stamp
	list := r.near[x][:0]
	for _, y := range r.near[x] {
		if !r.gone[y] && r.mark[y] != r.stamp {
			r.mark[y] = r.stamp
			list = append(list, y)
		}
	}
	r.near[x] = list
}

// next chooses the nodes of the next round: those with the fewest neighbours,
// one and two counting alike, no two of them neighbours. False: none is left.
func (r *rounds) next() bool {
	r.round++
	r.chosen = r.chosen[:0]
	for ; r.low < len(r.byCount); r.low++ {
		top := r.low
		if top <= 2 {
			top = min(2, len(r.byCount)-1)
		}
		var waiting []int32
		for d := r.low; d <= top; d++ {
			list := r.byCount[d]
			r.byCount[d] = nil
			for _, x := range list {
				if r.gone[x] || len(r.near[x]) != d {
					continue // filed elsewhere since
				}
				if r.blocked[x] == r.round {
					waiting = append(waiting, x)
					continue
				}
				r.gone[x] = true
				r.chosen = append(r.chosen, x)
				for _, y := range r.near[x] {
					r.blocked[y] = r.round
				}
			}
		}
		if len(r.chosen) > 0 {
			r.touched = append(r.touched, waiting...)
			return true
		}
	}
	return false
}

// takeOut joins the neighbours of the chosen nodes and files them anew.
func (r *rounds) takeOut() {
	for _, x := range r.chosen {
		list := r.near[x]
		r.work += len(list) * len(list)
		for _, y := range list {
			if len(list) > 1 {
				r.near[y] = append(r.near[y], list...)
			}
			r.touched = append(r.touched, y)
		}
		r.near[x] = nil
	}
	for _, y := range r.touched {
		if r.gone[y] || r.done[y] == r.round {
			continue
		}
		r.done[y] = r.round
		r.settle(y)
		r.file(y)
	}
	r.touched = r.touched[:0]
}

// dense says that the nodes which remain had better be solved as one matrix.
func (r *rounds) dense(remain int) bool {
	if remain <= smallCore {
		return false
	}
	if r.work > workLimit {
		r.putBack()
		return true
	}
	if remain > coreNodes || r.low*6 < remain {
		return false
	}
	r.putBack()
	return true
}

// putBack returns the chosen nodes to the network.
func (r *rounds) putBack() {
	for _, x := range r.chosen {
		r.gone[x] = false
	}
	r.chosen = r.chosen[:0]
}
