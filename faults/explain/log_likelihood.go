package explain

import (
	"cmp"
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// evidenceOf is what one reading tells of what its tips would face.
type evidenceOf struct {
	log float64 // the logarithm of its likelihood
	// shared is how far log lies below that of a reading whose value is known
	// beforehand, where that comes from parts which are not quite what the map
	// says, or are off without a note: another reading through the same parts
	// shares it, since the first has told the value.
	shared    float64
	concerned bool // of one hypothesis: it may change what the reading shows
}

// mostShared is how far, in nats, parts that are off may carry a reading: three
// standard deviations. What lies farther off has another cause.
const mostShared = 4.5

// partsOff is by how many standard deviations of its parts a value may be off.
const partsOff = 3

func (x *Explainer) tell(item *Item, s judge.Observed) evidenceOf {
	meter := x.judge.Meter
	l := evidenceOf{log: math.Log(meter.Likelihood(item.Reading, s))}
	if !item.sized() || s.Metal || math.IsInf(s.Ohms, 1) {
		return l
	}
	value := math.Max(item.Reading.Value.Number-meter.LeadOhms, 0)
	far := math.Abs(math.Log(value/s.Ohms)) > partsOff*math.Hypot(meter.PartSpread, meter.MetalOhms/s.Ohms)
	if s.Decided() {
		at, full := item.Reading, s
		at.Value = model.Value{Number: s.Ohms + meter.LeadOhms}
		full.Round = false
		if below := math.Log(meter.Likelihood(at, full)) - l.log; far || below >= mostShared {
			return l
		}
	} else if far && (value < judge.MetalBelowOhms || value < s.LeastOhms || value > s.Ohms) {
		return l
	}
	if below := math.Log(meter.Likelihood(item.Reading, judge.Observed{Prediction: graphs.Prediction{Ohms: value, LeastOhms: value}, Metal: true})) - l.log; below > 0 {
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
