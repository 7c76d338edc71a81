package layout

import (
	"cmp"
	"slices"
)

// edge is all wires between two devices that say the same.
type edge struct {
	from, to int
	weight   int
}

// layers returns the column of each device, from 0; -1 where no wire joins it
// to another.
func (s *sheet) layers(arrows []arrow) []int {
	edges, peers := s.edges(arrows)
	count := len(s.devices)
	at := make([]int, count)
	out, in := make([][]edge, count), make([][]edge, count)
	joined := make([]bool, count)
	for _, e := range edges {
		joined[e.from], joined[e.to] = true, true
	}
	for _, e := range peers {
		joined[e.from], joined[e.to] = true, true
	}
	for _, w := range s.wires { // one from a device to itself needs a channel too
		joined[s.deviceOf[w.from]] = true
	}
	position := s.sequence(edges)
	for _, e := range edges {
		if position[e.from] > position[e.to] { // against the stream: turned round
			e.from, e.to = e.to, e.from
		}
		out[e.from] = append(out[e.from], e)
		in[e.to] = append(in[e.to], e)
	}
	order := make([]int, count)
	for d, p := range position {
		order[p] = d
	}
	for _, d := range order { // the longest way from a source
		for _, e := range in[d] {
			at[d] = max(at[d], at[e.from]+1)
		}
	}
	follow(at, out, in, peers)
	s.pull(at, out, in, peers)
	least := 0
	for d := range at {
		if joined[d] {
			least = min(least, at[d])
		}
	}
	for d := range at {
		at[d] -= least
		if !joined[d] {
			at[d] = -1
		}
	}
	return at
}

// follow puts devices that hang on like ones only, as the middle of a daisy
// chain does, into the column of the nearest that has one.
func follow(at []int, out, in [][]edge, peers []edge) {
	near := map[int][]int{}
	for _, e := range peers {
		near[e.from] = append(near[e.from], e.to)
		near[e.to] = append(near[e.to], e.from)
	}
	known := make([]bool, len(at))
	var queue []int
	for d := range at {
		if len(in[d]) > 0 || len(out[d]) > 0 {
			known[d] = true
			queue = append(queue, d)
		}
	}
	for len(queue) > 0 {
		d := queue[0]
		queue = queue[1:]
		for _, n := range near[d] {
			if !known[n] {
				known[n] = true
				at[n] = at[d]
				queue = append(queue, n)
			}
		}
	}
}

// edges sums up the wires between devices, sorted.
func (s *sheet) edges(arrows []arrow) (edges, peers []edge) {
	type pair struct{ from, to int }
	sum, alike := map[pair]int{}, map[pair]int{}
	for i, w := range s.wires {
		a, b := s.deviceOf[w.from], s.deviceOf[w.to]
		switch arrows[i] {
		case forward:
			sum[pair{a, b}]++
		case backward:
			sum[pair{b, a}]++
		case beside, level:
			if a != b {
				alike[pair{min(a, b), max(a, b)}]++
			}
		}
	}
	for p, weight := range sum {
		if against := sum[pair{p.to, p.from}]; against > weight || against == weight && p.from > p.to {
			continue // the other way round says more
		}
		edges = append(edges, edge{p.from, p.to, weight})
	}
	for p, weight := range alike {
		peers = append(peers, edge{p.from, p.to, weight})
	}
	compare := func(a, b edge) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) }
	slices.SortFunc(edges, compare)
	slices.SortFunc(peers, compare)
	return edges, peers
}

// sequence puts devices into a row such that little runs backward: sinks are
// taken off at the end, sources at the beginning, and of what is left the one
// that sends most more than it takes (Eades, Lin and Smyth 1993, from memory);
// among equals the kind that stands nearer to the mains.
func (s *sheet) sequence(edges []edge) (position []int) {
	count := len(s.devices)
	out, in := make([][]edge, count), make([][]edge, count)
	sends, takes := make([]int, count), make([]int, count)
	outs, ins := make([]int, count), make([]int, count)
	for _, e := range edges {
		out[e.from] = append(out[e.from], e)
		in[e.to] = append(in[e.to], e)
		sends[e.from] += e.weight
		takes[e.to] += e.weight
		outs[e.from]++
		ins[e.to]++
	}
	position = make([]int, count)
	done := make([]bool, count)
	front, back := 0, count-1
	var sources, sinks []int
	take := func(d, at int) {
		done[d] = true
		position[d] = at
		for _, e := range out[d] {
			if !done[e.to] {
				takes[e.to] -= e.weight
				if ins[e.to]--; ins[e.to] == 0 {
					sources = append(sources, e.to)
				}
			}
		}
		for _, e := range in[d] {
			if !done[e.from] {
				sends[e.from] -= e.weight
				if outs[e.from]--; outs[e.from] == 0 {
					sinks = append(sinks, e.from)
				}
			}
		}
	}
	for d := range count {
		if ins[d] == 0 {
			sources = append(sources, d)
		} else if outs[d] == 0 {
			sinks = append(sinks, d)
		}
	}
	for front <= back {
		if len(sinks) > 0 {
			d := sinks[0]
			sinks = sinks[1:]
			if !done[d] {
				take(d, back)
				back--
			}
			continue
		}
		if len(sources) > 0 {
			d := sources[0]
			sources = sources[1:]
			if !done[d] {
				take(d, front)
				front++
			}
			continue
		}
		best := -1
		for d := range count {
			if done[d] {
				continue
			}
			if best < 0 || sends[d]-takes[d] > sends[best]-takes[best] ||
				sends[d]-takes[d] == sends[best]-takes[best] && rank(s.devices[d].Kind) < rank(s.devices[best].Kind) {
				best = d
			}
		}
		take(best, front)
		front++
	}
	return position
}

// pull moves devices within the room that their neighbours leave them to where
// their wires are shortest.
func (s *sheet) pull(at []int, out, in [][]edge, peers []edge) {
	beside := make([][]edge, len(at))
	for _, e := range peers {
		beside[e.from] = append(beside[e.from], e)
		beside[e.to] = append(beside[e.to], edge{e.to, e.from, e.weight})
	}
	for round := range 24 {
		moved := false
		for i := range at {
			d := i
			if round%2 == 0 {
				d = len(at) - 1 - i
			}
			const free = 1 << 30
			low, high := -free, free
			for _, e := range in[d] {
				low = max(low, at[e.from]+1)
			}
			for _, e := range out[d] {
				high = min(high, at[e.to]-1)
			}
			if low == -free && high == free && len(beside[d]) == 0 {
				continue
			}
			best, least := at[d], s.span(d, at[d], at, out, in, beside)
			try := func(layer int) {
				if layer < low || layer > high {
					return
				}
				if cost := s.span(d, layer, at, out, in, beside); cost < least {
					best, least = layer, cost
				}
			}
			for _, e := range in[d] {
				try(at[e.from] + 1)
			}
			for _, e := range out[d] {
				try(at[e.to] - 1)
			}
			for _, e := range beside[d] {
				try(at[e.to])
			}
			if best != at[d] {
				at[d], moved = best, true
			}
		}
		if !moved {
			return
		}
	}
}

// span is the length, in columns, of a device's wires if it stood there.
func (s *sheet) span(d, layer int, at []int, out, in, beside [][]edge) int {
	sum := 0
	for _, e := range in[d] {
		sum += 2 * e.weight * (layer - at[e.from])
	}
	for _, e := range out[d] {
		sum += 2 * e.weight * (at[e.to] - layer)
	}
	for _, e := range beside[d] {
		away := at[e.to] - layer
		if away < 0 {
			away = -away
		}
		sum += 3 * e.weight * away
	}
	return sum
}
