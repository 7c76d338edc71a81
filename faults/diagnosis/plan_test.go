package diagnosis

import (
	"math"
	"testing"
)

// expected is the cost of following a planner until one diagnosis is left.
func (p *plan) expected(among []int, choose func(p *plan, among []int) int) float64 {
	if len(among) < 2 {
		return 0
	}
	act := choose(p, among)
	if act < 0 {
		return 0
	}
	chances, of := p.split(act, among)
	total, sum := p.cost[act], 0.0
	for _, c := range chances {
		sum += c
	}
	for i, rest := range of {
		total += chances[i] / sum * p.expected(rest, choose)
	}
	return total
}

func greedy(p *plan, among []int) int {
	if list := p.ranked(among); len(list) > 0 {
		return list[0]
	}
	return -1
}

func ahead(p *plan, among []int) int { return p.best(among) }

func everything(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

// chain has a test between each two neighbours.
func chain(chances ...float64) *plan {
	p := &plan{chance: chances, label: everything(len(chances))}
	for cut := 1; cut < len(chances); cut++ {
		row := make([]int, len(chances))
		for d := range row {
			if d < cut {
				row[d] = 1
			}
		}
		p.outcome, p.cost = append(p.outcome, row), append(p.cost, 1)
	}
	return p
}

// Pattipati and Alexandridis, Application of heuristic search and information
// theory to sequential fault diagnosis, IEEE Trans. SMC 20 (1990) 872-887; the
// matrix is from memory, the optimum 2.18 and greed's 2.86 are computed.
func TestLookingAheadReachesTheOptimum(t *testing.T) {
	rows := []string{"00000", "01001", "00110", "10011", "11000", "11110"}
	p := &plan{label: everything(6), chance: []float64{.70, .01, .02, .10, .05, .12}}
	for test := range 5 {
		outcome := make([]int, len(rows))
		for state, row := range rows {
			outcome[state] = int(row[test] - '0')
		}
		p.outcome, p.cost = append(p.outcome, outcome), append(p.cost, 1)
	}
	if got := p.expected(everything(6), greedy); math.Abs(got-2.86) > 0.005 {
		t.Errorf("greed needs %.3f, computed 2.86", got)
	}
	if got := p.expected(everything(6), ahead); math.Abs(got-2.18) > 0.005 {
		t.Errorf("two acts ahead need %.3f, the optimum is 2.18", got)
	}
}

// Half-splitting: expected tests of chains of equally likely elements, and of
// weighted ones; computed.
func TestChainsAreHalved(t *testing.T) {
	for n, want := range map[int]float64{2: 1, 4: 2, 5: 2.4, 8: 3, 10: 3.4, 16: 4, 20: 4.4} {
		chances := make([]float64, n)
		for i := range chances {
			chances[i] = 1 / float64(n)
		}
		if got := chain(chances...).expected(everything(n), ahead); math.Abs(got-want) > 1e-6 {
			t.Errorf("%d in a chain need %.4f, want %.4f", n, got, want)
		}
	}
	if got := chain(.05, .05, .05, .05, .05, .6, .1, .05).expected(everything(8), ahead); math.Abs(got-2.5) > 1e-6 {
		t.Errorf("the weighted chain needs %.3f, the best is 2.5", got)
	}
	if got := chain(.4, .1, .2, .3).expected(everything(4), ahead); math.Abs(got-1.9) > 1e-6 {
		t.Errorf("cutting after the first needs 1.9, not %.3f", got)
	}
}

// Gain for its cost, not gain: a look of 5 s at .30/.70 before a touch of 10 s
// at .5/.5; computed.
func TestCheapLooksComeFirst(t *testing.T) {
	p := &plan{label: everything(3), chance: []float64{.3, .2, .5}, outcome: [][]int{{0, 1, 1}, {0, 0, 1}}, cost: []float64{5, 10}}
	if got := p.ranked(everything(3)); got[0] != 0 {
		t.Errorf("the touch comes first")
	}
	if bits := p.gain(0, everything(3)); math.Abs(bits-0.8813) > 1e-4 {
		t.Errorf("the look tells %.4f bits, computed 0.8813", bits)
	}
}
