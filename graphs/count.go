package graphs

import (
	"cmp"
	"encoding/binary"
	"math/bits"
	"slices"
)

// countLimit is where counts of paths end: a count that reaches it means that
// many or more. Every number below prints exactly in any JSON reader.
const countLimit = 1_000_000_000_000_000

func addCounts(a, b uint64) uint64 { return min(a+b, countLimit) }

func multiplyCounts(a, b uint64) uint64 {
	if high, low := bits.Mul64(a, b); high == 0 {
		return min(low, countLimit)
	}
	return countLimit
}

// Bounds of the count by frontier: states held after one edge, and states
// worked on in all.
const (
	frontierStates = 100_000
	frontierWork   = 2_000_000
)

// countPaths returns how many simple paths run from one vertex of a block to
// another, parallel edges told apart, and whether that is exact. Where it gives
// up it returns what the block has at least: one path more than independent
// loops, since every ear of an ear decomposition adds a path.
// Cost: linear where the block is series and parallel; else it grows with the
// width of what remains, up to frontierWork.
func (g *web) countPaths(in, out int32) (count uint64, exact bool) {
	if count, exact = newReduction(g).count(in, out); exact {
		return count, count < countLimit
	}
	return uint64(len(g.ends) - g.vertices() + 2), false
}

// reduction is a web whose edges stand for so many ways each.
type reduction struct{ ways []map[int32]uint64 }

func newReduction(g *web) *reduction {
	r := &reduction{ways: make([]map[int32]uint64, g.vertices())}
	for v := range r.ways {
		r.ways[v] = map[int32]uint64{}
	}
	for _, pair := range g.ends {
		r.add(pair[0], pair[1], 1)
	}
	return r
}

func (r *reduction) add(u, v int32, ways uint64) { // parallel edges: one or the other
	r.ways[u][v] = addCounts(r.ways[u][v], ways)
	r.ways[v][u] = r.ways[u][v]
}

func (r *reduction) count(in, out int32) (count uint64, exact bool) {
	var queue []int32
	for v := range r.ways {
		queue = append(queue, int32(v))
	}
	for len(queue) > 0 {
		v := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if v == in || v == out || len(r.ways[v]) > 2 {
			continue
		}
		var ends []int32
		product := uint64(1)
		for w, ways := range r.ways[v] {
			ends = append(ends, w)
			product = multiplyCounts(product, ways)
			delete(r.ways[w], v)
		}
		clear(r.ways[v])
		if len(ends) == 2 { // in series: one and the other
			r.add(ends[0], ends[1], product)
		}
		queue = append(queue, ends...)
	}
	return r.frontier(in, out)
}

// weighted is an edge of the reduced web, ends by order of the sweep.
type weighted struct {
	u, v int32
	ways uint64
}

// inSweepOrder numbers the vertices breadth first from in, and sorts the edges
// so that few vertices are open at a time.
func (r *reduction) inSweepOrder(in int32) (edges []weighted, number map[int32]int32) {
	number = map[int32]int32{in: 0}
	queue := []int32{in}
	for at := 0; at < len(queue); at++ {
		next := slices.SortedFunc(keysOfWays(r.ways[queue[at]]), cmp.Compare[int32])
		for _, w := range next {
			if _, met := number[w]; !met {
				number[w] = int32(len(number))
				queue = append(queue, w)
			}
		}
	}
	for v, a := range number {
		for w, ways := range r.ways[v] {
			if b := number[w]; a < b {
				edges = append(edges, weighted{a, b, ways})
			}
		}
	}
	slices.SortFunc(edges, func(a, b weighted) int {
		if order := cmp.Compare(a.u, b.u); order != 0 {
			return order
		}
		return cmp.Compare(a.v, b.v)
	})
	return edges, number
}

func keysOfWays(ways map[int32]uint64) func(yield func(int32) bool) {
	return func(yield func(int32) bool) {
		for v := range ways {
			if !yield(v) {
				return
			}
		}
	}
}

// inner marks a vertex in the middle of a piece of path.
const inner = -1

// frontier sweeps over the edges, taking each or not, and keeps for every way
// to choose so far only how the open vertices are paired by pieces of path
// (Knuth's Simpath, The Art of Computer Programming 4A, cited from memory).
func (r *reduction) frontier(in, out int32) (count uint64, exact bool) {
	edges, number := r.inSweepOrder(in)
	if _, joined := number[out]; !joined {
		return 0, true
	}
	s := &sweep{from: 0, to: number[out], mate: make([]int32, len(number))}
	last := make([]int32, len(number))
	for i, e := range edges {
		last[e.u], last[e.v] = int32(i), int32(i)
	}
	states := map[string]uint64{"": 1}
	var open []int32
	work := 0
	for i, e := range edges {
		before := slices.Clone(open)
		for _, v := range []int32{e.u, e.v} {
			if !slices.Contains(open, v) {
				open = append(open, v)
			}
		}
		var closing []int32
		open = slices.DeleteFunc(slices.Clone(open), func(v int32) bool {
			if last[v] == int32(i) {
				closing = append(closing, v)
				return true
			}
			return false
		})
		next := make(map[string]uint64, 2*len(states))
		for state, ways := range states {
			s.load(before, state, e)
			if s.closes(closing) {
				key := s.save(open)
				next[key] = addCounts(next[key], ways)
			}
			switch s.take(before, e) {
			case joined:
				count = addCounts(count, multiplyCounts(ways, e.ways))
			case going:
				if s.closes(closing) {
					key := s.save(open)
					next[key] = addCounts(next[key], multiplyCounts(ways, e.ways))
				}
			}
		}
		states = next
		if work += len(states); len(states) > frontierStates || work > frontierWork {
			return 0, false
		}
	}
	return count, true
}

// sweep is one state being worked on: mate[v] is the other end of the piece of
// path that ends at v, v itself where none does, or inner.
type sweep struct {
	from, to int32
	mate     []int32
	buffer   []byte
}

func (s *sweep) load(open []int32, state string, e weighted) {
	s.mate[e.u], s.mate[e.v] = e.u, e.v // met here for the first time, perhaps
	for i, v := range open {
		s.mate[v] = int32(binary.LittleEndian.Uint32([]byte(state[4*i : 4*i+4])))
	}
}

func (s *sweep) save(open []int32) string {
	s.buffer = s.buffer[:0]
	for _, v := range open {
		s.buffer = binary.LittleEndian.AppendUint32(s.buffer, uint32(s.mate[v]))
	}
	return string(s.buffer)
}

// closes says whether vertices may be left behind as they are: the two ends
// with a piece that begins there, others untouched or passed.
func (s *sweep) closes(vertices []int32) bool {
	for _, v := range vertices {
		if v == s.from || v == s.to {
			if s.mate[v] == v {
				return false
			}
		} else if s.mate[v] != v && s.mate[v] != inner {
			return false
		}
	}
	return true
}

type taken uint8

const (
	refused taken = iota
	going
	joined
)

// take puts an edge into the path.
func (s *sweep) take(open []int32, e weighted) taken {
	a, b := s.mate[e.u], s.mate[e.v]
	if a == inner || b == inner || a == e.v {
		return refused
	}
	for _, v := range []int32{e.u, e.v} {
		if (v == s.from || v == s.to) && s.mate[v] != v {
			return refused
		}
	}
	if (a == s.from && b == s.to) || (a == s.to && b == s.from) {
		for _, v := range open { // nothing else may be left lying about
			if v != e.u && v != e.v && v != a && v != b && s.mate[v] != v && s.mate[v] != inner {
				return refused
			}
		}
		return joined
	}
	s.mate[a], s.mate[b] = b, a
	if a != e.u {
		s.mate[e.u] = inner
	}
	if b != e.v {
		s.mate[e.v] = inner
	}
	return going
}
