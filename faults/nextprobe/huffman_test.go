package nextprobe

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// codeLengths returns the length of each word of a Huffman code: how many
// yes-or-no answers single out each of some things, where the best code for
// their chances is asked. Those without a chance have the longest.
func codeLengths(chances []float64) []int {
	type node struct {
		weight float64
		leaves []int
	}
	var queue []node
	lengths := make([]int, len(chances))
	for i, chance := range chances {
		if chance > 0 {
			queue = append(queue, node{chance, []int{i}})
		}
	}
	for len(queue) > 1 {
		slices.SortStableFunc(queue, func(a, b node) int { return cmp.Compare(a.weight, b.weight) })
		joined := node{queue[0].weight + queue[1].weight, slices.Concat(queue[0].leaves, queue[1].leaves)}
		for _, leaf := range joined.leaves {
			lengths[leaf]++
		}
		queue = append(queue[2:], joined)
	}
	for i, chance := range chances {
		if chance <= 0 {
			lengths[i] = slices.Max(lengths)
		}
	}
	return lengths
}

// TestCodeLengths: their mean is the Huffman length, whatever the chances.
func TestCodeLengths(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		chances := make([]float64, 1+random.IntN(12))
		sum := 0.0
		for i := range chances {
			chances[i] = random.ExpFloat64()
			sum += chances[i]
		}
		mean := 0.0
		for i, length := range codeLengths(chances) {
			mean += chances[i] / sum * float64(length)
		}
		near(t, "mean length", mean, HuffmanLength(chances), 1e-9)
	}
	if got := codeLengths([]float64{.5, .25, .125, .125}); !slices.Equal(got, []int{1, 2, 3, 3}) {
		t.Errorf("lengths %v", got)
	}
}

// search is one search as it began, to be held against how it ended.
type search struct {
	numbers []int64
	lengths map[string]int // by what is suspected
	longest int
}

func newSearch(s *ambiguityGroup) search {
	begun := search{numbers: slices.Clone(s.Surprising), lengths: map[string]int{}}
	for at, length := range codeLengths(s.shares) {
		begun.lengths[s.texts[at]] = length
		begun.longest = max(begun.longest, length)
	}
	return begun
}

// ended returns how many answers a Huffman code would have taken to what the
// search came to.
func (b search) ended(groups []ambiguityGroup) int {
	found := "nothing but a slip of the tip" // no reading is surprising any more
	for i := range groups {
		if slices.ContainsFunc(b.numbers, func(n int64) bool { return slices.Contains(groups[i].Surprising, n) }) {
			repair, _ := groups[i].leading()
			found = groups[i].texts[repair]
			break
		}
	}
	if length, listed := b.lengths[found]; listed {
		return length
	}
	return b.longest // it was not among what was suspected then
}
