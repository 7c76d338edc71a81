package faults

import "math"

// unbreakable is a capacity that no cut pays.
const unbreakable = 1 << 50

// flow is a network for minimum cuts, as E. A. Dinic's method wants it: arcs in
// pairs, the second the way back of the first. Node 0 is the source, node 1 the
// sink. Cost of a cut: linear in the arcs for each level graph, and few of
// those while the cut is small.
type flow struct {
	head  []int32 // by node: its first arc, -1 for none
	next  []int32 // by arc: the next arc of the same node
	to    []int32
	room  []int64 // what the arc can still take
	level []int32
	at    []int32 // by node: the arc that the search tries now
}

const (
	source = 0
	sink   = 1
)

func newFlow(nodes, arcs int) *flow {
	f := &flow{head: make([]int32, nodes), next: make([]int32, 0, 2*arcs), to: make([]int32, 0, 2*arcs), room: make([]int64, 0, 2*arcs)}
	for n := range f.head {
		f.head[n] = -1
	}
	return f
}

// arc adds a connection that takes forth one way and back the other way, and
// returns its number; the way back is the number plus one.
func (f *flow) arc(from, to int, forth, back int64) int {
	id := len(f.to)
	f.to = append(f.to, int32(to), int32(from))
	f.room = append(f.room, forth, back)
	f.next = append(f.next, f.head[from], f.head[to])
	f.head[from], f.head[to] = int32(id), int32(id+1)
	return id
}

// run fills the network. It returns false if no finite cut parts source and
// sink.
func (f *flow) run() bool {
	total := int64(0)
	for f.levels() {
		f.at = append(f.at[:0], f.head...)
		for {
			pushed := f.push(source, math.MaxInt64)
			if pushed == 0 {
				break
			}
			if total += pushed; total >= unbreakable {
				return false
			}
		}
	}
	return true
}

// levels numbers the nodes by their distance from the source along arcs with
// room, and says whether the sink is among them.
func (f *flow) levels() bool {
	if f.level == nil {
		f.level = make([]int32, len(f.head))
	}
	for n := range f.level {
		f.level[n] = -1
	}
	f.level[source] = 0
	queue := []int32{source}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for a := f.head[n]; a >= 0; a = f.next[a] {
			if m := f.to[a]; f.room[a] > 0 && f.level[m] < 0 {
				f.level[m] = f.level[n] + 1
				queue = append(queue, m)
			}
		}
	}
	return f.level[sink] >= 0
}

func (f *flow) push(n int32, most int64) int64 {
	if n == sink {
		return most
	}
	for ; f.at[n] >= 0; f.at[n] = f.next[f.at[n]] {
		a := f.at[n]
		if f.room[a] == 0 || f.level[f.to[a]] != f.level[n]+1 {
			continue
		}
		if pushed := f.push(f.to[a], min(most, f.room[a])); pushed > 0 {
			f.room[a] -= pushed
			f.room[a^1] += pushed
			return pushed
		}
	}
	return 0
}

// nearSource says, when the network is full, which nodes lie on the source's
// side of the minimum cut that lies nearest to it.
func (f *flow) nearSource() []bool {
	near := make([]bool, len(f.head))
	for n, level := range f.level {
		near[n] = level >= 0
	}
	return near
}

// nearSink does so from the other end.
func (f *flow) nearSink() []bool {
	near := make([]bool, len(f.head))
	near[sink] = true
	for stack := []int32{sink}; len(stack) > 0; {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for a := f.head[n]; a >= 0; a = f.next[a] {
			if m := f.to[a]; f.room[a^1] > 0 && !near[m] {
				near[m] = true
				stack = append(stack, m)
			}
		}
	}
	return near
}

// knots numbers the strongly connected parts of what still has room. A full arc
// lies in some minimum cut exactly if its ends lie in two knots (Picard and
// Queyranne 1980, from memory). The search is Tarjan's, with a stack of its own
// because wiring makes long chains.
func (f *flow) knots() []int32 {
	count := len(f.head)
	knot, low, order := make([]int32, count), make([]int32, count), make([]int32, count)
	for n := range knot {
		knot[n] = -1
	}
	at := append([]int32(nil), f.head...)
	var open, path []int32
	var seen, made int32
	for root := range count {
		if order[root] != 0 {
			continue
		}
		path = append(path[:0], int32(root))
		for len(path) > 0 {
			n := path[len(path)-1]
			if order[n] == 0 {
				seen++
				order[n], low[n] = seen, seen
				open = append(open, n)
			}
			deeper := false
			for ; at[n] >= 0; at[n] = f.next[at[n]] {
				m := f.to[at[n]]
				if f.room[at[n]] == 0 || knot[m] >= 0 {
					continue
				}
				if order[m] == 0 {
					path = append(path, m)
					deeper = true
					break
				}
				low[n] = min(low[n], low[m])
			}
			if deeper {
				continue
			}
			path = path[:len(path)-1]
			if low[n] == order[n] {
				for {
					m := open[len(open)-1]
					open = open[:len(open)-1]
					knot[m] = made
					if m == n {
						break
					}
				}
				made++
			}
			if len(path) > 0 {
				low[path[len(path)-1]] = min(low[path[len(path)-1]], low[n])
			}
		}
	}
	return knot
}
