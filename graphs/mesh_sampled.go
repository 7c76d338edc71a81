package graphs

import (
	"cmp"
	"container/heap"
	"math"
	"math/rand/v2"
	"slices"
)

// sampledMesh solves a core too large for a full matrix by conjugate gradients.
// Its preconditioner is an elimination that keeps, of the star-mesh of a node
// with d neighbours, d-1 conductors drawn at random so that each is right on
// average (Kyng and Sachdeva 2016, Gao, Kyng and Spielman 2023; from memory):
// it never fills up, and it stays a network, so it is never singular.
//
// Accuracy: the iteration stops when the residual, weighed by the
// preconditioner, is a stated part of the first one: ohmsTolerance where only the
// resistance is asked for, which errs by about the square of it, voltsTolerance
// where all voltages are. So 1e-9 relative holds with room. Cost: some tens of
// passes over the core; a core of 10,000 nodes with a million conductors takes
// about a second a question, where wiring has no core at all.
type sampledMesh struct {
	n          int
	conductors []conductor
	degree     []float64
	order      []int32
	place      []int32
	first      []int32
	rows       []int32
	share      []float64
	sum        []float64
	part       []int32
}

const (
	ohmsTolerance  = 1e-7
	voltsTolerance = 1e-11
	sampledSteps   = 2000
)

func newSampledMesh(n int, conductors []conductor) *sampledMesh {
	m := &sampledMesh{n: n, conductors: conductors, degree: make([]float64, n), place: make([]int32, n), part: parts(n, conductors)}
	for _, c := range conductors {
		m.degree[c.a] += c.siemens
		m.degree[c.b] += c.siemens
	}
	m.sample()
	return m
}

type parallelBranch struct {
	to      int32
	siemens float64
}

// fewest is a heap of nodes by the number of conductors at each, lazily kept.
type fewest struct {
	nodes  []int32
	counts []int32
}

func (h *fewest) Len() int { return len(h.nodes) }
func (h *fewest) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(h.counts[i], h.counts[j]), cmp.Compare(h.nodes[i], h.nodes[j])) < 0
}
func (h *fewest) Swap(i, j int) {
	h.nodes[i], h.nodes[j] = h.nodes[j], h.nodes[i]
	h.counts[i], h.counts[j] = h.counts[j], h.counts[i]
}
func (h *fewest) Push(x any) {
	entry := x.([2]int32)
	h.nodes, h.counts = append(h.nodes, entry[0]), append(h.counts, entry[1])
}
func (h *fewest) Pop() any {
	last := len(h.nodes) - 1
	entry := [2]int32{h.nodes[last], h.counts[last]}
	h.nodes, h.counts = h.nodes[:last], h.counts[:last]
	return entry
}

// sample eliminates the nodes, fewest conductors first. The seed is fixed: the
// same network gives the same digits every time.
func (m *sampledMesh) sample() {
	random := rand.New(rand.NewPCG(1, 2))
	near := make([][]parallelBranch, m.n)
	for _, c := range m.conductors {
		near[c.a] = append(near[c.a], parallelBranch{c.b, c.siemens})
		near[c.b] = append(near[c.b], parallelBranch{c.a, c.siemens})
	}
	queue := &fewest{}
	for x := range near {
		queue.nodes, queue.counts = append(queue.nodes, int32(x)), append(queue.counts, int32(len(near[x])))
	}
	heap.Init(queue)
	gone := make([]bool, m.n)
	slot := make([]int32, m.n)
	m.first = append(m.first, 0)
	for queue.Len() > 0 {
		entry := heap.Pop(queue).([2]int32)
		x := entry[0]
		if gone[x] {
			continue
		}
		star := near[x][:0]
		for _, s := range near[x] {
			if gone[s.to] {
				continue
			}
			if at := slot[s.to]; at > 0 {
				star[at-1].siemens += s.siemens
			} else {
				star = append(star, s)
				slot[s.to] = int32(len(star))
			}
		}
		for _, s := range star {
			slot[s.to] = 0
		}
		if int(entry[1]) > len(star) {
			near[x] = star // counted doubles or nodes gone: file it again
			heap.Push(queue, [2]int32{x, int32(len(star))})
			continue
		}
		slices.SortFunc(star, func(s, t parallelBranch) int {
			return cmp.Or(cmp.Compare(s.siemens, t.siemens), cmp.Compare(s.to, t.to))
		})
		gone[x] = true
		near[x] = nil
		m.place[x] = int32(len(m.order))
		m.order = append(m.order, x)
		sum := 0.0
		for _, s := range star {
			sum += s.siemens
		}
		m.sum = append(m.sum, sum)
		for _, s := range star {
			m.rows = append(m.rows, s.to)
			m.share = append(m.share, s.siemens/sum)
		}
		m.first = append(m.first, int32(len(m.rows)))
		rest := sum
		for i, s := range star[:max(0, len(star)-1)] {
			rest -= s.siemens
			later := star[i+1:]
			pick := random.Float64() * rest
			at := 0
			for at < len(later)-1 && pick >= later[at].siemens {
				pick -= later[at].siemens
				at++
			}
			siemens := s.siemens * math.Max(rest, later[at].siemens) / sum
			near[s.to] = append(near[s.to], parallelBranch{later[at].to, siemens})
			near[later[at].to] = append(near[later[at].to], parallelBranch{s.to, siemens})
		}
	}
	for i, x := range m.rows {
		m.rows[i] = m.place[x]
	}
}

// precondition solves the sampled network, in place, by node.
func (m *sampledMesh) precondition(values, scratch []float64) {
	for k, x := range m.order {
		scratch[k] = values[x]
	}
	for k := range scratch {
		lo, hi := m.first[k], m.first[k+1]
		for i, j := range m.rows[lo:hi] {
			scratch[j] += scratch[k] * m.share[lo+int32(i)]
		}
	}
	for k := m.n - 1; k >= 0; k-- {
		lo, hi := m.first[k], m.first[k+1]
		if lo == hi {
			scratch[k] = 0
			continue
		}
		scratch[k] /= m.sum[k]
		for i, j := range m.rows[lo:hi] {
			scratch[k] += scratch[j] * m.share[lo+int32(i)]
		}
	}
	for k, x := range m.order {
		values[x] = scratch[k]
	}
}

func (m *sampledMesh) ohms(amps []float64) float64 {
	volts := slices.Clone(amps)
	m.iterate(volts, ohmsTolerance)
	// Of voltages v for currents b, 2 b.v - v.L.v errs by the square of what v
	// errs by; b.v alone would err by as much as v.
	ohms := 0.0
	for x := range volts {
		ohms += 2 * amps[x] * volts[x]
	}
	for _, c := range m.conductors {
		drop := volts[c.a] - volts[c.b]
		ohms -= c.siemens * drop * drop
	}
	return ohms
}

func (m *sampledMesh) solve(values []float64) { m.iterate(values, voltsTolerance) }

// iterate turns currents into voltages, in place, to a tolerance.
func (m *sampledMesh) iterate(values []float64, tolerance float64) {
	n := m.n
	residual := slices.Clone(values)
	volts := make([]float64, n)
	step, scratch, image := make([]float64, n), make([]float64, n), make([]float64, n)
	z := slices.Clone(residual)
	m.precondition(z, scratch)
	copy(step, z)
	rz := dot(residual, z)
	stop := rz * tolerance * tolerance
	for range sampledSteps {
		if !(rz > stop) {
			break
		}
		clear(image)
		for _, c := range m.conductors {
			amps := c.siemens * (step[c.a] - step[c.b])
			image[c.a] += amps
			image[c.b] -= amps
		}
		alpha := rz / dot(step, image)
		for x := range volts {
			volts[x] += alpha * step[x]
			residual[x] -= alpha * image[x]
		}
		copy(z, residual)
		m.precondition(z, scratch)
		next := dot(residual, z)
		beta := next / rz
		rz = next
		for x := range step {
			step[x] = z[x] + beta*step[x]
		}
	}
	// The last node of each part is at 0 V, as the elimination has it.
	floor := map[int32]float64{}
	for k := n - 1; k >= 0; k-- {
		x := m.order[k]
		if _, seen := floor[m.part[x]]; !seen {
			floor[m.part[x]] = volts[x]
		}
		values[x] = volts[x] - floor[m.part[x]]
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
