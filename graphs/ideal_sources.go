package graphs

import "bellout/graphs/kit"

// levels are sets of terminals whose differences in volts are fixed, by metal
// or by ideal sources: union-find in which each member knows how far it lies
// above its set's root.
type levels struct {
	up     []int32
	offset []float64 // volts above up
}

func newLevels(n int) *levels { return &levels{up: kit.NewSets[int32](n), offset: make([]float64, n)} }

// find returns the root of x's set and shortens the way to it.
func (l *levels) find(x int32) int32 {
	root := x
	for l.up[root] != root {
		root = l.up[root]
	}
	total := 0.0
	for y := x; y != root; y = l.up[y] {
		total += l.offset[y]
	}
	for x != root {
		next, own := l.up[x], l.offset[x]
		l.up[x], l.offset[x] = root, total
		total -= own
		x = next
	}
	return root
}

// volts returns how far x lies above its root.
func (l *levels) volts(x int32) float64 {
	l.find(x)
	return l.offset[x]
}

// above returns how far a lies above b; both must be in one set.
func (l *levels) above(a, b int32) float64 { return l.volts(a) - l.volts(b) }

// join fixes a at so many volts above b; false if their difference was fixed
// already. The smaller root stays.
func (l *levels) join(a, b int32, volts float64) bool {
	rootA, rootB := l.find(a), l.find(b)
	if rootA == rootB {
		return false
	}
	rise := l.offset[b] + volts - l.offset[a] // of rootA above rootB
	if rootA < rootB {
		l.up[rootB], l.offset[rootB] = rootA, -rise
	} else {
		l.up[rootA], l.offset[rootA] = rootB, rise
	}
	return true
}
