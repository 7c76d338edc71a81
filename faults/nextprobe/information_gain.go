package nextprobe

import (
	"container/heap"
	"math"
	"slices"

	"bellout/faults/explain"
)

// test is one probe as a chooser sees it: what each outcome's chance is under
// each hypothesis, and what it costs.
type test struct {
	likely [][]float64 // by outcome, by hypothesis
	cost   float64
}

// information returns how many bits a test is expected to tell about which repair
// is called for, given the chances of hypotheses, which sum to 1, and the repair
// of each. What tells only hypotheses of one repair apart is worth nothing.
func (t test) information(chances []float64, repair []int) float64 {
	return t.informationOf(chances, repair, byRepair(chances, repair))
}

// informationOf is information where the chances of the repairs are summed up
// already.
func (t test) informationOf(chances []float64, repair []int, of []float64) float64 {
	sum := 0.0
	var few [64]float64
	with := few[:0]
	if len(of) > len(few) {
		with = make([]float64, 0, len(of))
	}
	with = with[:len(of)]
	for _, likely := range t.likely {
		clear(with)
		total := 0.0
		for h, l := range likely {
			joint := chances[h] * l
			with[repair[h]] += joint
			total += joint
		}
		for r, joint := range with {
			if joint > 0 {
				sum += joint * math.Log2(joint/(of[r]*total))
			}
		}
	}
	return math.Max(sum, 0)
}

// byRepair sums chances of hypotheses up to those of repairs.
func byRepair(chances []float64, repair []int) []float64 {
	shares := make([]float64, slices.Max(repair)+1)
	for h, chance := range chances {
		shares[repair[h]] += chance
	}
	return shares
}

// after returns the chance of an outcome, and those of the hypotheses once it
// was seen.
func (t test) after(chances []float64, outcome int) (total float64, posterior []float64) {
	posterior = make([]float64, len(chances))
	for h, l := range t.likely[outcome] {
		posterior[h] = chances[h] * l
		total += posterior[h]
	}
	if total > 0 {
		for h := range posterior {
			posterior[h] /= total
		}
	}
	return total, posterior
}

// chooser picks tests one after another.
type chooser struct {
	tests []test
	// repair tells hypotheses apart that call for different repairs: once those
	// of one repair have enough of the chances, nothing more is asked.
	repair []int
	enough float64 // 0.95; 1 for certainty
	least  float64 // bits under which a test is not worth making
}

// settled says whether one repair has enough of the chances.
func (c *chooser) settled(chances []float64) bool {
	return slices.Max(byRepair(chances, c.repair)) >= c.enough-1e-12
}

// greedy returns the test of most information for its cost; -1 if none is worth
// making.
func (c *chooser) greedy(chances []float64) int {
	best, most := -1, 0.0
	of := byRepair(chances, c.repair)
	for i, t := range c.tests {
		info := t.informationOf(chances, c.repair, of)
		if info < c.least {
			continue
		}
		if score := info / t.cost; score > most*(1+1e-9) {
			best, most = i, score
		}
	}
	return best
}

// Bounds of a rollout.
const (
	rolloutTests = 8  // that are followed to the end
	rolloutDepth = 12 // tests one after another
	rolloutShare = 0.01
	rolloutScore = 0.6 // of the best for its cost: what tells less is not followed
)

// choose returns the test after which greedy choice is expected to cost least
// (rollout: Ruan, Tu, Pattipati and others), of the few that tell most for
// their cost; -1 if none is worth making. Plain greedy choice can be a third off
// on one instance, see algorithms of test sequencing.
func (c *chooser) choose(chances []float64) int {
	type scored struct {
		test  int
		score float64
	}
	var list []scored
	of := byRepair(chances, c.repair)
	for i, t := range c.tests {
		if info := t.informationOf(chances, c.repair, of); info >= c.least && info > 1e-12 {
			list = append(list, scored{i, info / t.cost})
		}
	}
	slices.SortStableFunc(list, func(a, b scored) int { return explain.CompareChances(b.score, a.score) })
	if len(list) == 0 {
		return -1
	}
	best, least := -1, math.Inf(1)
	for _, s := range list[:min(rolloutTests, len(list))] {
		if s.score < rolloutScore*list[0].score {
			break
		}
		if cost := c.costFrom(s.test, chances, 1, rolloutDepth); cost < least*(1-1e-9) {
			best, least = s.test, cost
		}
	}
	return best
}

// costFrom returns the expected cost to a settled case, beginning with one test
// and going on greedily. Branches that are hardly ever taken are cut off.
func (c *chooser) costFrom(first int, chances []float64, weight float64, depth int) float64 {
	t := c.tests[first]
	cost := t.cost
	for outcome := range t.likely {
		share, posterior := t.after(chances, outcome)
		if share*weight < rolloutShare || c.settled(posterior) {
			continue
		}
		next := -1
		if depth > 0 {
			next = c.greedy(posterior)
		}
		if next < 0 {
			cost += share * explain.Entropy(byRepair(posterior, c.repair)) // as if split in halves from here
			continue
		}
		cost += share * c.costFrom(next, posterior, share*weight, depth-1)
	}
	return cost
}

// HuffmanLength returns the mean number of yes-or-no answers that the best code
// takes to tell hypotheses of some chances apart, in any units that sum to more
// than 0: no way of asking needs fewer.
func HuffmanLength(chances []float64) float64 {
	queue := &weights{}
	total := 0.0
	for _, chance := range chances {
		if chance > 0 {
			*queue = append(*queue, chance)
			total += chance
		}
	}
	heap.Init(queue)
	sum := 0.0
	for queue.Len() > 1 {
		joined := heap.Pop(queue).(float64) + heap.Pop(queue).(float64)
		sum += joined
		heap.Push(queue, joined)
	}
	if total == 0 {
		return 0
	}
	return sum / total
}

type weights []float64

func (w weights) Len() int           { return len(w) }
func (w weights) Less(i, j int) bool { return w[i] < w[j] }
func (w weights) Swap(i, j int)      { w[i], w[j] = w[j], w[i] }
func (w *weights) Push(x any)        { *w = append(*w, x.(float64)) }
func (w *weights) Pop() any {
	old := *w
	last := old[len(old)-1]
	*w = old[:len(old)-1]
	return last
}
