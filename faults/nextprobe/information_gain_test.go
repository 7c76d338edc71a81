package nextprobe

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults/explain"
)

// yesNo makes a test of unit cost that is surely right.
func yesNo(column string) test {
	t := test{likely: [][]float64{make([]float64, len(column)), make([]float64, len(column))}, cost: 1}
	for h, r := range column {
		t.likely[int(r-'0')][h] = 1
	}
	return t
}

// each hypothesis calls for a repair of its own.
func certain(tests []test, hypotheses int) chooser {
	c := chooser{tests: tests, enough: 1, least: 1e-9}
	for h := range hypotheses {
		c.repair = append(c.repair, h)
	}
	return c
}

// expected is the mean cost of a way of choosing, followed to the end.
func expected(c chooser, chances []float64, choose func([]float64) int) float64 {
	if c.settled(chances) {
		return 0
	}
	t := c.tests[choose(chances)]
	cost := t.cost
	for outcome := range t.likely {
		if share, posterior := t.after(chances, outcome); share > 0 {
			cost += share * expected(c, posterior, choose)
		}
	}
	return cost
}

// optimum is the least mean cost, by trying everything.
func optimum(c chooser, chances []float64) float64 {
	if c.settled(chances) {
		return 0
	}
	least := math.Inf(1)
	for _, t := range c.tests {
		if t.information(chances, apiece(len(chances))) < 1e-12 {
			continue
		}
		cost := t.cost
		for outcome := range t.likely {
			if share, posterior := t.after(chances, outcome); share > 0 {
				cost += share * optimum(c, posterior)
			}
		}
		least = math.Min(least, cost)
	}
	return least
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestSixStates is the classic example of the test-sequencing papers: six states,
// five tests (origin Pattipati and Alexandridis 1990, from memory; the optimum
// of 2.18, greedy 2.86, Huffman 1.59 and entropy 1.4549 were computed anew).
func TestSixStates(t *testing.T) {
	chances := []float64{.70, .01, .02, .10, .05, .12}
	c := certain([]test{yesNo("000111"), yesNo("010011"), yesNo("001001"), yesNo("001101"), yesNo("010100")}, 6)
	near(t, "optimum", optimum(c, chances), 2.18, 1e-9)
	near(t, "greedy", expected(c, chances, c.greedy), 2.86, 1e-9)
	near(t, "with rollout", expected(c, chances, c.choose), 2.18, 1e-9)
	near(t, "Huffman", HuffmanLength(chances), 1.59, 1e-9)
	near(t, "entropy", explain.Entropy(chances), 1.4549, 5e-5)
}

// TestHalfSplit: of equally likely elements in series the choice splits in halves:
// the mean is floor(lg n) + 2 - 2^(floor(lg n)+1)/n (half-split averages 3.4, 4,
// 4.4, 5.2703).
func TestHalfSplit(t *testing.T) {
	for _, row := range []struct {
		elements int
		want     float64
	}{{10, 3.4}, {16, 4}, {20, 4.4}, {37, 5.2703}} {
		chances := make([]float64, row.elements)
		var tests []test
		for i := range chances {
			chances[i] = 1 / float64(row.elements)
			column := make([]byte, row.elements)
			for h := range column {
				column[h] = '0'
				if h <= i {
					column[h] = '1'
				}
			}
			tests = append(tests, yesNo(string(column)))
		}
		c := certain(tests, row.elements)
		near(t, "mean of half-split", expected(c, chances, c.choose), row.want, 5e-5)
		near(t, "Huffman", HuffmanLength(chances), row.want, 5e-5)
	}
}

// TestGoldenChain: the information of probes of the chain A-B-C-D-E after silence
// from end to end (worked by hand for this program: wire, contact, wire, crimp).
func TestGoldenChain(t *testing.T) {
	// none; open w1 j w2 k; high w1 j w2 k
	chances := []float64{.98, 0, 0, 0, 0, 0, 0, 0, 0}
	sum := 0.0
	weights := []float64{1, 6, 1, 3, .5, 6, .5, 3}
	total := 0.0
	for _, w := range weights {
		total += w
	}
	for i, w := range weights {
		chances[i+1] = .02 * w / total
	}
	for _, p := range chances {
		sum += p
	}
	near(t, "sum", sum, 1, 1e-12)
	near(t, "entropy before", explain.Entropy(chances), 0.19164, 5e-5)
	between := func(from, to int) test {
		ok, open, high := []float64{.97, .02, .01}, []float64{.005, .005, .99}, []float64{.05, .93, .02}
		made := test{likely: make([][]float64, 3), cost: 1}
		for outcome := range made.likely {
			row := make([]float64, 9)
			for h := range row {
				class := ok
				if element := (h - 1) % 4; h > 0 && element >= from && element < to {
					class = open
					if h > 4 {
						class = high
					}
				}
				row[h] = class[outcome]
			}
			made.likely[outcome] = row
		}
		return made
	}
	evidence, after := between(0, 4).after(chances, 2)
	near(t, "evidence of OL", evidence, 0.020362, 5e-7)
	near(t, "nothing wrong", after[0], .48129, 5e-6)
	near(t, "joint open", after[2], .27783, 5e-6)
	near(t, "crimp open", after[4], .13891, 5e-6)
	near(t, "entropy after", explain.Entropy(after), 1.90333, 5e-5)
	for _, row := range []struct {
		pair     string
		from, to int
		bits     float64
	}{{"AE", 0, 4, .9672}, {"BE", 1, 4, .9617}, {"AD", 0, 3, .9081}, {"AC", 0, 2, .8651}, {"BC", 1, 2, .8085}, {"CE", 2, 4, .6427}, {"DE", 3, 4, .5352}, {"AB", 0, 1, .2312}} {
		near(t, "information of "+row.pair, between(row.from, row.to).information(after, apiece(9)), row.bits, 5e-5)
	}
}

// TestChoiceAgainstEverything holds the choice against the optimum by trying
// everything, on small cases: never better, and hardly worse on the mean.
func TestChoiceAgainstEverything(t *testing.T) {
	var chosen, best float64
	rapid.Check(t, func(t *rapid.T) {
		hypotheses := rapid.IntRange(2, 6).Draw(t, "hypotheses")
		chances := make([]float64, hypotheses)
		sum := 0.0
		for h := range chances {
			chances[h] = math.Exp(rapid.Float64Range(-3, 0).Draw(t, "chance"))
			sum += chances[h]
		}
		for h := range chances {
			chances[h] /= sum
		}
		var tests []test
		for h := range hypotheses { // each can be told by itself, so that there is always a way
			column := make([]byte, hypotheses)
			for i := range column {
				column[i] = '0'
			}
			column[h] = '1'
			tests = append(tests, yesNo(string(column)))
		}
		for range rapid.IntRange(0, 4).Draw(t, "more tests") {
			column := make([]byte, hypotheses)
			for i := range column {
				column[i] = byte('0' + rapid.IntRange(0, 1).Draw(t, "bit"))
			}
			tests = append(tests, yesNo(string(column)))
		}
		c := certain(tests, hypotheses)
		mine, least := expected(c, chances, c.choose), optimum(c, chances)
		if mine < least-1e-9 || least < HuffmanLength(chances)-1e-9 || HuffmanLength(chances) < explain.Entropy(chances)-1e-9 {
			t.Fatalf("chosen %v, optimum %v, Huffman %v, entropy %v", mine, least, HuffmanLength(chances), explain.Entropy(chances))
		}
		if mine > 1.35*least {
			t.Fatalf("chosen %v, optimum %v", mine, least)
		}
		chosen, best = chosen+mine, best+least
	})
	if chosen > 1.02*best {
		t.Errorf("on the mean %.1f %% over the optimum", 100*(chosen/best-1))
	}
}

// apiece gives each of some hypotheses a repair of its own.
func apiece(count int) []int {
	list := make([]int, count)
	for i := range list {
		list[i] = i
	}
	return list
}
