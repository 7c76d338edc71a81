package nextprobe

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// bestTouches holds a search against what no order of asking beats. All touches
// that may be made are taken as never slipping: each tells the sets of faults
// apart by what is likeliest to show.
type bestTouches struct {
	weights  []float64
	repair   []int      // by set; those that no touch tells apart are one
	splits   [][]uint64 // by touch: the sets that show each outcome
	known    map[uint64]float64
	gaveUp   bool
	huffman  float64 // of what can be told apart
	optimum  float64 // mean touches to a settled case, with the touches there are
	searched bool    // optimum is exact
}

// mostStates bounds the exact search.
const mostStates = 4000

func (p *Planner) bestTouches(s *ambiguityGroup) *bestTouches {
	b := &bestTouches{weights: s.chances, repair: slices.Clone(s.repairs), known: map[uint64]float64{}}
	seen := map[string]bool{}
	signature := make([]string, len(s.chances))
	add := func(likely [][]float64) {
		split := make([]uint64, len(likely))
		for set := range s.chances {
			most := 0
			for outcome := range likely {
				if likely[outcome][set] > likely[most][set] {
					most = outcome
				}
			}
			split[most] |= 1 << set
		}
		split = slices.DeleteFunc(split, func(mask uint64) bool { return mask == 0 })
		slices.Sort(split)
		if key := fmt.Sprint(split); len(split) > 1 && !seen[key] {
			seen[key] = true
			b.splits = append(b.splits, split)
			for set := range s.chances {
				at := slices.IndexFunc(split, func(mask uint64) bool { return mask>>set&1 == 1 })
				signature[set] += fmt.Sprint(at, " ")
			}
		}
	}
	for _, c := range p.candidates(s) {
		sights := p.sightsOf(s, c)
		if !p.bySizeOnly(c) {
			add(p.byEar(c, sights, 1, s).test.likely)
		}
		add(p.byNumber(c, sights, 1, s).test.likely)
	}
	for x := range signature {
		for y := range x {
			if signature[x] == signature[y] {
				from, to := b.repair[x], b.repair[y]
				for set := range b.repair {
					if b.repair[set] == from {
						b.repair[set] = to
					}
				}
			}
		}
	}
	shares := map[int]float64{}
	for set, repair := range b.repair {
		shares[repair] += b.weights[set]
	}
	var list []float64
	for _, share := range shares {
		list = append(list, share)
	}
	slices.Sort(list)
	b.huffman = HuffmanLength(list)
	b.optimum = b.least(1<<len(s.chances) - 1)
	b.searched = !b.gaveUp
	return b
}

// least is the least mean number of touches from some sets on; those of greedy
// choice once too many states were seen.
func (b *bestTouches) least(mask uint64) float64 {
	if known, there := b.known[mask]; there {
		return known
	}
	total, byRepair := b.total(mask)
	for _, share := range byRepair {
		if share >= enough*total {
			return 0
		}
	}
	greedy := len(b.known) > mostStates
	b.gaveUp = b.gaveUp || greedy
	best, most := math.Inf(1), 0.0
	for _, split := range b.splits {
		cost, gained, parts := 1.0, 0.0, 0
		for _, part := range split {
			if part &= mask; part != 0 {
				share, _ := b.total(part)
				gained -= share / total * math.Log2(share/total)
				parts++
			}
		}
		if parts < 2 || greedy && gained <= most {
			continue
		}
		most = max(most, gained)
		for _, part := range split {
			if part &= mask; part != 0 && cost < best {
				share, _ := b.total(part)
				cost += share / total * b.least(part)
			}
		}
		if greedy || cost < best {
			best = cost
		}
	}
	if math.IsInf(best, 1) {
		best = 0 // nothing tells these apart
	}
	b.known[mask] = best
	return best
}

func (b *bestTouches) total(mask uint64) (total float64, byRepair map[int]float64) {
	byRepair = map[int]float64{}
	for set, weight := range b.weights {
		if mask>>set&1 == 1 {
			total += weight
			byRepair[b.repair[set]] += weight
		}
	}
	return total, byRepair
}

// TestBestTouches: of four equally likely sets that touches halve, two touches are
// the best, and Huffman's length; where touches only single one out, 2.25.
func TestBestTouches(t *testing.T) {
	quarters := []float64{.25, .25, .25, .25}
	halves := bestTouches{weights: quarters, repair: []int{0, 1, 2, 3}, known: map[uint64]float64{}, splits: [][]uint64{{3, 12}, {5, 10}}}
	near(t, "halves", halves.least(15), 2, 1e-9)
	singles := bestTouches{weights: quarters, repair: []int{0, 1, 2, 3}, known: map[uint64]float64{}, splits: [][]uint64{{1, 14}, {2, 13}, {4, 11}, {8, 7}}}
	near(t, "one by one", singles.least(15), 2.25, 1e-9)
}
