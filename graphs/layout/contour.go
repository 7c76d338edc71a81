package layout

import "slices"

// skyline knows, for every height of a channel, the rightmost line used there.
// It is a tree of ranges: asking and raising cost the logarithm of the rows.
type skyline struct {
	rows []float64
	most []int // the highest track within a range
	all  []int // a track that holds for the whole range
}

func newSkyline(trunks []track) *skyline {
	s := &skyline{}
	for i := range trunks {
		s.rows = append(s.rows, trunks[i].low, trunks[i].high)
	}
	slices.Sort(s.rows)
	s.rows = slices.Compact(s.rows)
	s.most = make([]int, 4*len(s.rows)+4)
	s.all = make([]int, len(s.most))
	for i := range s.most {
		s.most[i], s.all[i] = -1, -1
	}
	return s
}

// span is the range of rows nearer than half a grid step to low .. high.
func (s *skyline) span(low, high float64) (from, to int) {
	from, _ = slices.BinarySearch(s.rows, low-Grid/2)
	if from < len(s.rows) && s.rows[from] == low-Grid/2 {
		from++ // exactly half a step away is enough
	}
	to, found := slices.BinarySearch(s.rows, high+Grid/2)
	if !found || s.rows[to] == high+Grid/2 {
		to--
	}
	return from, to
}

// above returns the rightmost line at any of the heights; -1 if there is none.
func (s *skyline) above(low, high float64) int {
	from, to := s.span(low, high)
	return s.ask(1, 0, len(s.rows)-1, from, to)
}

func (s *skyline) ask(node, low, high, from, to int) int {
	if to < low || high < from {
		return -1
	}
	if from <= low && high <= to {
		return s.most[node]
	}
	mid := (low + high) / 2
	return max(s.all[node], s.ask(2*node, low, mid, from, to), s.ask(2*node+1, mid+1, high, from, to))
}

// raise notes a line over the heights low .. high.
func (s *skyline) raise(low, high float64, track int) {
	from, _ := slices.BinarySearch(s.rows, low)
	to, _ := slices.BinarySearch(s.rows, high)
	s.set(1, 0, len(s.rows)-1, from, to, track)
}

func (s *skyline) set(node, low, high, from, to, track int) {
	if to < low || high < from {
		return
	}
	s.most[node] = max(s.most[node], track)
	if from <= low && high <= to {
		s.all[node] = max(s.all[node], track)
		return
	}
	mid := (low + high) / 2
	s.set(2*node, low, mid, from, to, track)
	s.set(2*node+1, mid+1, high, from, to, track)
}

// heap hands out numbers, the one of the least place first.
type heap struct {
	place []int
	items []int
}

func newHeap(place []int) *heap { return &heap{place: place} }

func (h *heap) push(i int) {
	h.items = append(h.items, i)
	at := len(h.items) - 1
	for at > 0 && h.place[h.items[at]] < h.place[h.items[(at-1)/2]] {
		h.items[at], h.items[(at-1)/2] = h.items[(at-1)/2], h.items[at]
		at = (at - 1) / 2
	}
}

func (h *heap) pop() int {
	top := h.items[0]
	last := len(h.items) - 1
	h.items[0] = h.items[last]
	h.items = h.items[:last]
	for at := 0; ; {
		least := at
		for _, child := range []int{2*at + 1, 2*at + 2} {
			if child < last && h.place[h.items[child]] < h.place[h.items[least]] {
				least = child
			}
		}
		if least == at {
			return top
		}
		h.items[at], h.items[least] = h.items[least], h.items[at]
		at = least
	}
}
