package explain

import (
	"cmp"
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/model"
)

// told is what one reading tells of what its tips would face.
type told struct {
	log float64 // the logarithm of its likelihood
	// shared is the part of what log lies below its best that comes from parts
	// which are not quite what the map says, or are off without a note: other
	// readings through the same parts share it.
	shared    float64
	concerned bool // of one hypothesis: it may change what the reading shows
}

// mostShared is how far, in nats, parts that are off may carry a reading: three
// standard deviations. What lies farther off has another cause.
const mostShared = 4.5

func (x *Explainer) tell(item *Item, s judge.Sight) told {
	meter := x.judge.Meter
	l := told{log: math.Log(meter.Likelihood(item.Reading, s))}
	if !item.sized() || s.Metal || math.IsInf(s.Ohms, 1) || !s.Decided() {
		return l
	}
	at := item.Reading
	at.Value = model.Value{Number: s.Ohms + meter.LeadOhms}
	s.Round = false
	if below := math.Log(meter.Likelihood(at, s)) - l.log; below > 0 && below < mostShared {
		l.shared = below
	}
	return l
}

// alikeRatio: two numbers that differ by no more may have come through the same
// parts.
const alikeRatio = 1.1

// clustersOf numbers the items whose numbers are about the same, in rows of
// neighbours.
func clustersOf(items []*Item) []int {
	clusters := make([]int, len(items))
	var sized []int
	for i, item := range items {
		clusters[i] = -1
		if item.sized() && item.Reading.Value.Number > 0 {
			sized = append(sized, i)
		}
	}
	slices.SortStableFunc(sized, func(a, b int) int {
		return cmp.Compare(items[a].Reading.Value.Number, items[b].Reading.Value.Number)
	})
	for k, i := range sized {
		clusters[i] = i
		if k > 0 && items[i].Reading.Value.Number <= alikeRatio*items[sized[k-1]].Reading.Value.Number {
			clusters[i] = clusters[sized[k-1]]
		}
	}
	return clusters
}
