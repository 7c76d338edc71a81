package diagnosis

import (
	"cmp"
	"math"
	"slices"
)

// plan is what an act planner needs to know: how likely each diagnosis is, and
// in which outcome each act ends under it.
type plan struct {
	chance  []float64 // by diagnosis
	label   []int     // by diagnosis: the repair that it calls for; acts are to part these
	outcome [][]int   // by act, by diagnosis: the number of the outcome, from 0
	cost    []float64 // by act, in seconds
}

// lookAhead is how many of the acts that tell most for their cost are weighed
// with what the best act after each would tell. One step of greed can cost 31 %
// more than the best (testdata/sequential.csv, Pattipati and Alexandridis 1990).
const lookAhead = 12

// goodEnough is the bits between repairs under which nobody measures on: one
// leads with some 98 %. Judgement.
const goodEnough = 0.15

// worthwhile is the part of the best act's bits a second that another must have to
// be weighed: to the horizon a cheap act that tells nothing looks like a saving.
const worthwhile = 0.1

// split returns the chances of an act's outcomes among some diagnoses, and the
// diagnoses of each.
func (p *plan) split(act int, among []int) (chances []float64, of [][]int) {
	at := map[int]int{}
	for _, d := range among {
		outcome := p.outcome[act][d]
		i, seen := at[outcome]
		if !seen {
			i = len(chances)
			at[outcome] = i
			chances, of = append(chances, 0), append(of, nil)
		}
		chances[i] += p.chance[d]
		of[i] = append(of[i], d)
	}
	return chances, of
}

// entropy returns the bits between the repairs of some diagnoses; their chances
// need not sum to 1.
func (p *plan) entropy(among []int) float64 {
	byLabel, sum := make([]float64, len(p.label)), 0.0 // summed in one order, so that rounding decides nothing
	for _, d := range among {
		byLabel[p.label[d]] += p.chance[d]
		sum += p.chance[d]
	}
	bits := 0.0
	for _, c := range byLabel {
		if q := c / sum; q > 0 {
			bits -= q * math.Log2(q)
		}
	}
	return bits
}

// gain returns the bits that an act is expected to tell of the repair.
func (p *plan) gain(act int, among []int) float64 {
	chances, of := p.split(act, among)
	sum, bits := 0.0, p.entropy(among)
	for _, c := range chances {
		sum += c
	}
	for i, c := range chances {
		bits -= c / sum * p.entropy(of[i])
	}
	return bits
}

// parted says whether some diagnoses call for one repair.
func (p *plan) parted(among []int) bool {
	return !slices.ContainsFunc(among, func(d int) bool { return p.label[d] != p.label[among[0]] })
}

// ranked returns the acts that tell anything, the most for its cost first.
func (p *plan) ranked(among []int) []int {
	type rated struct {
		act  int
		rate float64
	}
	var list []rated
	for act := range p.outcome {
		if g := p.gain(act, among); g > 1e-9 {
			list = append(list, rated{act, g / p.cost[act]})
		}
	}
	slices.SortStableFunc(list, func(a, b rated) int { return cmp.Compare(b.rate, a.rate) })
	var acts []int
	for _, r := range list {
		if r.rate < worthwhile*list[0].rate {
			break
		}
		acts = append(acts, r.act)
	}
	return acts
}

// remaining estimates the cost of parting some diagnoses, at so much a bit.
func (p *plan) remaining(among []int, perBit float64) float64 {
	return p.entropy(among) * perBit
}

// best returns the act with the least expected cost: its own, that of the best
// act after each of its outcomes, and what then remains by entropy. -1 where no
// act tells anything.
func (p *plan) best(among []int) int {
	first := p.ranked(among)
	if len(first) == 0 {
		return -1
	}
	perBit := p.cost[first[0]] / p.gain(first[0], among)
	best, least := -1, math.Inf(1)
	for _, act := range first[:min(lookAhead, len(first))] {
		total := p.cost[act]
		chances, of := p.split(act, among)
		sum := 0.0
		for _, c := range chances {
			sum += c
		}
		for i, rest := range of {
			total += chances[i] / sum * p.after(rest, perBit)
		}
		if total < least-1e-12 {
			best, least = act, total
		}
	}
	return best
}

// after estimates what is left to pay once an act has been made: the best next
// act and the entropy behind it.
func (p *plan) after(among []int, perBit float64) float64 {
	if p.parted(among) {
		return 0
	}
	next := p.ranked(among)
	least := p.remaining(among, perBit)
	if len(next) == 0 || p.entropy(among) < goodEnough {
		return least
	}
	least = math.Inf(1)
	for _, act := range next[:min(lookAhead, len(next))] {
		total := p.cost[act]
		chances, of := p.split(act, among)
		sum := 0.0
		for _, c := range chances {
			sum += c
		}
		for i, rest := range of {
			total += chances[i] / sum * p.remaining(rest, perBit)
		}
		least = math.Min(least, total)
	}
	return least
}
