package graphs

import (
	"math"

	"bellout/graphs/kit"
)

// factor is a network of conductors with its nodes eliminated in order, so that
// currents put in anywhere give voltages at once. Every number in it is a sum,
// product or quotient of positive numbers: nothing is ever subtracted, so a
// milliohm beside a megohm keeps its digits.
type factor struct {
	*elimination
	conductors []conductor
	// share[i] is, for entry i of rows, the part of the current into the node
	// that goes on to that neighbour.
	share []float64
	// direct[i] is the conductor of the network that entry i holds, or -1: the
	// entry came from the elimination of others.
	direct []int32
	sum    []float64 // by position: all conductance at the node when it went; 0 for the last of a part
	// update[updateAt[k]:] is what position k and all that were eliminated into
	// it leave between its neighbours: the pairs (i, j), i < j, of its row,
	// row by row. A part of the network where nothing changes is known by it.
	update    []float64
	updateAt  []int64
	childAt   []int32 // children[childAt[k]:childAt[k+1]]: positions with parent k that leave something
	children  []int32
	coreEdges []int32 // conductors with both ends in the core
	mesh      mesh    // the core; nil if there is none
	part      []int32 // by node: which connected part it is in
}

// newFactor eliminates a network of n nodes. No two conductors may join the
// same nodes and none may be a loop: see addParallel. Cost: see eliminate; memory for
// 20 numbers a node or so where the network is like wiring.
func newFactor(n int, conductors []conductor) *factor {
	f := &factor{conductors: conductors, part: parts(n, conductors)}
	f.elimination = eliminate(neighbours(n, conductors))
	f.findChildren()
	f.fill()
	if f.sparse < n {
		f.mesh = newMesh(n-f.sparse, f.coreConductors())
	}
	return f
}

// neighbours lists each node's neighbours, with room to grow a little.
func neighbours(n int, conductors []conductor) [][]int32 {
	const room = 2
	count := make([]int32, n)
	for _, c := range conductors {
		count[c.a]++
		count[c.b]++
	}
	near := make([][]int32, n)
	all := make([]int32, 2*len(conductors)+room*n)
	for x, d := range count {
		near[x] = all[: 0 : d+room]
		all = all[d+room:]
	}
	for _, c := range conductors {
		near[c.a] = append(near[c.a], c.b)
		near[c.b] = append(near[c.b], c.a)
	}
	return near
}

// parts numbers the connected parts of a network.
func parts(n int, conductors []conductor) []int32 {
	joined := kit.NewSets[int32](n)
	for _, c := range conductors {
		joined.Union(c.a, c.b)
	}
	part := make([]int32, n)
	for x := range part {
		part[x] = joined.Find(int32(x))
	}
	return part
}

func (f *factor) findChildren() {
	n := len(f.order)
	f.childAt = make([]int32, n+1)
	f.updateAt = make([]int64, f.sparse+1)
	for k := range f.sparse {
		d := int64(f.first[k+1] - f.first[k])
		f.updateAt[k+1] = f.updateAt[k] + d*(d-1)/2
		if d > 1 {
			f.childAt[f.parent[k]+1]++
		}
	}
	for k := range n {
		f.childAt[k+1] += f.childAt[k]
	}
	f.children = make([]int32, f.childAt[n])
	next := append([]int32(nil), f.childAt...)
	for k := range f.sparse {
		if f.first[k+1]-f.first[k] > 1 {
			p := f.parent[k]
			f.children[next[p]] = int32(k)
			next[p]++
		}
	}
}

// fill works out the numbers, position by position.
func (f *factor) fill() {
	n := len(f.order)
	f.share = make([]float64, len(f.rows))
	f.direct = make([]int32, len(f.rows))
	for i := range f.direct {
		f.direct[i] = -1
	}
	f.sum = make([]float64, f.sparse)
	f.update = make([]float64, f.updateAt[f.sparse])
	ownAt, own := f.byEarlierEnd()
	local := make([]int32, n)
	for k := range f.sparse {
		lo, hi := f.first[k], f.first[k+1]
		row, share := f.rows[lo:hi], f.share[lo:hi]
		for i, j := range row {
			local[j] = int32(i)
		}
		for _, id := range own[ownAt[k]:ownAt[k+1]] {
			c := f.conductors[id]
			far := max(f.place[c.a], f.place[c.b])
			share[local[far]] += c.siemens
			f.direct[lo+local[far]] = id
		}
		update := f.update[f.updateAt[k]:f.updateAt[k+1]]
		d := int32(len(row))
		for _, child := range f.children[f.childAt[k]:f.childAt[k+1]] {
			below := f.update[f.updateAt[child]:f.updateAt[child+1]]
			childRow := f.rows[f.first[child]:f.first[child+1]]
			at := len(childRow) - 1
			for i, siemens := range below[:at] {
				share[local[childRow[i+1]]] += siemens
			}
			for i := 1; i < len(childRow)-1; i++ {
				from := local[childRow[i]]
				base := from*(2*d-from-1)/2 - from - 1
				for _, j := range childRow[i+1:] {
					update[base+local[j]] += below[at]
					at++
				}
			}
		}
		sum := 0.0
		for _, siemens := range share {
			sum += siemens
		}
		f.sum[k] = sum
		at := 0
		for i, siemens := range share {
			share[i] = siemens / sum
			for _, other := range share[i+1:] {
				update[at] += share[i] * other
				at++
			}
		}
	}
	f.coreEdges = own[ownAt[f.sparse]:]
}

// byEarlierEnd lists the conductors by the position of the end that goes first;
// those inside the core stand together at the end.
func (f *factor) byEarlierEnd() (at, list []int32) {
	at = make([]int32, f.sparse+2)
	earlier := func(c conductor) int32 { return min(f.place[c.a], f.place[c.b], int32(f.sparse)) }
	for _, c := range f.conductors {
		at[earlier(c)+1]++
	}
	for k := range f.sparse + 1 {
		at[k+1] += at[k]
	}
	list = make([]int32, len(f.conductors))
	next := append([]int32(nil), at...)
	for id, c := range f.conductors {
		k := earlier(c)
		list[next[k]] = int32(id)
		next[k]++
	}
	return at[:f.sparse+1], list
}

// coreConductors returns the network that is left when all but the core is
// eliminated; its nodes are the positions in the core.
func (f *factor) coreConductors() []conductor {
	base := int32(f.sparse)
	var all []conductor
	for _, id := range f.coreEdges {
		c := f.conductors[id]
		all = append(all, conductor{f.place[c.a] - base, f.place[c.b] - base, c.siemens})
	}
	for k := f.sparse; k < len(f.order); k++ {
		for _, child := range f.children[f.childAt[k]:f.childAt[k+1]] {
			f.leaves(child, func(i, j int32, siemens float64) {
				all = append(all, conductor{i - base, j - base, siemens})
			})
		}
	}
	merged, _ := addParallel(len(f.order)-f.sparse, all)
	return merged
}

// leaves calls back with everything that position k leaves between its
// neighbours, by positions.
func (f *factor) leaves(k int32, visit func(i, j int32, siemens float64)) {
	row := f.rows[f.first[k]:f.first[k+1]]
	at := f.updateAt[k]
	for n, i := range row {
		for _, j := range row[n+1:] {
			visit(i, j, f.update[at])
			at++
		}
	}
}

// ohms returns the resistance between two nodes; +Inf if nothing joins them.
// Cost: the two nodes' ways to the last one of their part. The scratch is as
// long as the network, all zero, and is left so.
func (f *factor) ohms(a, b int32, scratch []float64) float64 {
	if a == b {
		return 0
	}
	if f.part[a] != f.part[b] {
		return math.Inf(1)
	}
	var ohms float64
	f.climb(a, b, scratch, func(k int32, amps float64) {
		if f.sum[k] > 0 {
			ohms += amps * amps / f.sum[k]
		}
	})
	if f.mesh != nil && f.inCore(a) {
		inside := scratch[f.sparse:]
		ohms += f.mesh.ohms(inside)
		clear(inside)
	}
	return ohms
}

// inCore says whether a node's part ends in the core.
func (f *factor) inCore(node int32) bool {
	k := f.place[node]
	for k >= 0 && int(k) < f.sparse {
		k = f.parent[k]
	}
	return k >= 0
}

// climb puts one ampere in at a and takes it out at b, and calls back with what
// arrives at each position on the ways of both. What arrives in the core stays
// in the scratch.
func (f *factor) climb(a, b int32, scratch []float64, visit func(k int32, amps float64)) {
	ka, kb := f.place[a], f.place[b]
	scratch[ka], scratch[kb] = 1, -1
	for {
		k := ka
		if k < 0 || (kb >= 0 && kb < k) {
			k = kb
		}
		if k < 0 || int(k) >= f.sparse {
			return
		}
		amps := scratch[k]
		scratch[k] = 0
		visit(k, amps)
		if ka == k {
			ka = f.parent[k]
		}
		if kb == k {
			kb = f.parent[k]
		}
		if amps == 0 {
			continue
		}
		lo, hi := f.first[k], f.first[k+1]
		for i, j := range f.rows[lo:hi] {
			scratch[j] += amps * f.share[lo+int32(i)]
		}
	}
}

// solve turns currents put in, by node, into voltages, in place. Each part of
// the network must get as much as it gives; its last node is at 0 V.
// Cost: linear in the entries of the factor.
func (f *factor) solve(values []float64) {
	at := make([]float64, len(f.order))
	for k, x := range f.order {
		at[k] = values[x]
	}
	for k := range f.sparse {
		lo, hi := f.first[k], f.first[k+1]
		for i, j := range f.rows[lo:hi] {
			at[j] += at[k] * f.share[lo+int32(i)]
		}
	}
	if f.mesh != nil {
		f.mesh.solve(at[f.sparse:])
	}
	for k := f.sparse - 1; k >= 0; k-- {
		lo, hi := f.first[k], f.first[k+1]
		if lo == hi {
			at[k] = 0
			continue
		}
		at[k] /= f.sum[k]
		for i, j := range f.rows[lo:hi] {
			at[k] += at[j] * f.share[lo+int32(i)]
		}
	}
	for k, x := range f.order {
		values[x] = at[k]
	}
}
