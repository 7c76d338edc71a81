package layout

import (
	"slices"

	"bellout/graphs/kit"
)

// trackStep is the distance of two tracks in a channel.
const trackStep = Grid

// track is one upright line in a channel, with its taps: all pieces there that
// share a terminal. A single wire has a track with two taps.
type track struct {
	net         int
	left, right []float64 // the rows that reach it from either edge, sorted
	low, high   float64
	track       int
	pieces      []int
	// A trunk that could not stand in one line is drawn in two, joined by a row
	// of its own: first with the left taps, then with the right ones.
	other int // the trunk with the right taps; -1
	row   float64
}

// channel is the space between two columns.
type channel struct {
	trunks  []track
	trunkOf map[int]int // of a piece that is not straight
	tracks  int
}

// tracks gives every piece that is not straight a trunk, and every trunk a line
// such that lines of different nets never lie on each other: neither upright,
// nor where a row on the left edge meets one of the same height on the right.
func (w *multigraph) tracks() ([]channel, error) {
	channels := make([]channel, len(w.column)+1)
	of := make([][]int, len(channels))
	for i := range w.pieces {
		of[w.pieces[i].channel] = append(of[w.pieces[i].channel], i)
	}
	for c := range channels {
		if err := w.ctx.Err(); err != nil {
			return nil, err
		}
		w.progress(0.7+0.2*float64(c)/float64(len(channels)), "laying wires")
		w.gather(&channels[c], of[c])
		channels[c].assign()
	}
	return channels, nil
}

// gather makes the trunks of a channel.
func (w *multigraph) gather(c *channel, pieces []int) {
	c.trunkOf = map[int]int{}
	joined := kit.NewSets[int](len(pieces))
	seen := map[tag]int{}
	for i, p := range pieces {
		if w.straight(p) {
			continue
		}
		for _, h := range []hook{w.pieces[p].a, w.pieces[p].b} {
			if h.terminal < 0 {
				continue
			}
			key := tag{h.terminal, h.side}
			if first, found := seen[key]; found {
				joined.Union(first, i)
			} else {
				seen[key] = i
			}
		}
	}
	at := map[int]int{}
	for i, p := range pieces {
		if w.straight(p) {
			continue
		}
		root := joined.Find(i)
		if _, found := at[root]; !found {
			at[root] = len(c.trunks)
			c.trunks = append(c.trunks, track{net: w.net[w.wires[w.pieces[p].wire].from], other: -1})
		}
		t := &c.trunks[at[root]]
		t.pieces = append(t.pieces, p)
		c.trunkOf[p] = at[root]
		for _, h := range []hook{w.pieces[p].a, w.pieces[p].b} {
			if h.side == Right {
				t.left = append(t.left, w.height(h))
			} else {
				t.right = append(t.right, w.height(h))
			}
		}
	}
	for i := range c.trunks {
		c.trunks[i].sort()
	}
}

func (w *multigraph) straight(p int) bool {
	piece := &w.pieces[p]
	return piece.across() && w.height(piece.a) == w.height(piece.b)
}

func (t *track) sort() {
	for _, rows := range []*[]float64{&t.left, &t.right} {
		slices.Sort(*rows)
		*rows = slices.Compact(*rows)
	}
	all := slices.Concat(t.left, t.right)
	t.low, t.high = slices.Min(all), slices.Max(all)
}

// inside counts rows strictly between two heights.
func inside(rows []float64, low, high float64) int {
	from, found := slices.BinarySearch(rows, low)
	if found {
		from++
	}
	to, _ := slices.BinarySearch(rows, high)
	return max(0, to-from)
}

// cost is how often two trunks cross when a stands left of b.
func cost(a, b *track) int { return inside(b.left, a.low, a.high) + inside(a.right, b.low, b.high) }

// near says that two trunks may not share a line.
func near(a, b *track) bool { return a.low < b.high+Grid/2 && b.low < a.high+Grid/2 }

// softLimit is the number of trunks in a channel up to which every pair is
// weighed; beyond, a sorted order serves.
const softLimit = 700

// assign orders the trunks and gives each its line.
func (c *channel) assign() {
	if len(c.trunks) == 0 {
		return
	}
	order := c.sequence()
	// Each stands right of all earlier ones that it may not share a line with.
	line := newSkyline(c.trunks)
	for _, i := range order {
		t := &c.trunks[i]
		t.track = line.above(t.low, t.high) + 1
		line.raise(t.low, t.high, t.track)
		c.tracks = max(c.tracks, t.track+1)
	}
}

// musts cuts every ring of what must hold, by drawing in two a trunk of each
// ring: its left taps on one line, its right taps on a later one, joined by a
// row at a height that no port has. The first then has nothing that must stand
// left of it, the second nothing that must stand right.
func (c *channel) musts() {
	used := map[float64]bool{}
	for {
		ring := c.ring()
		if len(ring) == 0 {
			return
		}
		for _, i := range ring {
			t := &c.trunks[i]
			// Ports and knots stand on the grid: half a step beside it is free.
			row := t.low + Grid/2
			for step := 0; used[row]; step++ {
				row += Grid
			}
			used[row] = true
			second := track{net: t.net, right: t.right, other: -1, row: row}
			t.right, t.row, t.other = nil, row, len(c.trunks)
			t.low, t.high = min(t.left[0], row), max(t.left[len(t.left)-1], row)
			second.low, second.high = min(second.right[0], row), max(second.right[len(second.right)-1], row)
			c.trunks = append(c.trunks, second)
		}
	}
}

// ring returns one trunk of each ring that a search comes across; none means
// that all that must hold can hold.
func (c *channel) ring() []int {
	rightAt := map[float64][]int{}
	for i := range c.trunks {
		for _, y := range c.trunks[i].right {
			rightAt[y] = append(rightAt[y], i)
		}
	}
	const (
		fresh = iota
		open
		closed
	)
	state := make([]int, len(c.trunks))
	cut := make([]bool, len(c.trunks))
	var found []int
	var visit func(i int)
	visit = func(i int) {
		state[i] = open
		for _, y := range c.trunks[i].left {
			for _, b := range rightAt[y] {
				if b == i || cut[b] {
					continue
				}
				switch state[b] {
				case fresh:
					visit(b)
				case open:
					cut[b] = true
					found = append(found, b)
				}
			}
		}
		state[i] = closed
	}
	for i := range c.trunks {
		if state[i] == fresh {
			visit(i)
		}
	}
	return found
}
