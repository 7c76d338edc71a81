package explain

import (
	"cmp"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// group is a set of surprising readings that could share a cause, with all that
// bears on it.
type group struct {
	surprising []*Item
	hypotheses []Hypothesis // each place once, as people read them
	evidence   []*Item      // surprising ones and agreeing ones, by what they say
	swapped    map[int64][]Hypothesis

	explanation *Explanation // nil until it is solved
}

// placeID returns the number of a place, given when it is first asked for.
func (x *Explainer) placeID(p Place) int32 {
	id, known := x.placeIDs[p]
	if !known {
		id = int32(len(x.placeIDs))
		x.placeIDs[p] = id
	}
	return id
}

// acquitted is how much less likely, in nats, agreeing readings must make a
// hypothesis before it no longer binds readings into one group: more than one
// touch that missed (4.6) does.
const acquitted = 6.0

// helps is how much more likely, in nats, a hypothesis must make a surprising
// reading to count as an explanation of it.
const helps = 1.0

// groups sorts the surprising readings into sets that could share a cause.
func (x *Explainer) groups() []*group {
	items := x.surprises
	bound := kit.NewSets[int](len(items))
	swapped := x.changedOver(items)
	owner := map[token]int{}
	for i, item := range items {
		for _, h := range slices.Concat(x.proposed(item), swapped[item.Reading.Number]) {
			if x.acquits(h) {
				continue
			}
			for _, t := range x.tokens(h) {
				if first, seen := owner[t]; seen {
					bound.Union(i, first)
				} else {
					owner[t] = i
				}
			}
		}
	}
	x.closeRounds(items, func(i, j int) { bound.Union(i, j) })
	byRoot := map[int]*group{}
	var list []*group
	for i, item := range items {
		root := bound.Find(i)
		if byRoot[root] == nil {
			byRoot[root] = &group{}
			list = append(list, byRoot[root])
		}
		byRoot[root].surprising = append(byRoot[root].surprising, item)
	}
	for _, g := range list {
		g.swapped = swapped
		x.fill(g)
	}
	return list
}

// likelyCause is the chance from which on a fault of one group is held against
// the readings of another.
const likelyCause = 0.2

// merge puts groups together where a likely cause of one explains a surprising
// reading of another, which its own suspects do not show: what a short between
// two nets does to a third. Nil where there is none.
func (x *Explainer) merge(groups []*group) []*group {
	into := make([]int, len(groups))
	size := make([]int, len(groups)) // by root: groups put together
	for g := range into {
		into[g], size[g] = g, 1
	}
	root := func(g int) int {
		for into[g] != g {
			g = into[g]
		}
		return g
	}
	any := false
	for g := range groups {
		for _, cause := range groups[g].explanation.Causes {
			if cause.Confidence < likelyCause {
				continue
			}
			for k, other := range groups {
				if a, b := min(root(g), root(k)), max(root(g), root(k)); a != b && x.explains(cause.Hypothesis, other.surprising) {
					into[b] = a
					size[a] += size[b]
					any = true
				}
			}
		}
	}
	if !any {
		return nil
	}
	var list []*group
	merged := map[int]*group{}
	for g, old := range groups {
		r := root(g)
		switch {
		case size[r] == 1:
			list = append(list, old)
			continue
		case merged[r] == nil:
			merged[r] = &group{swapped: old.swapped}
			list = append(list, merged[r])
		}
		merged[r].surprising = append(merged[r].surprising, old.surprising...)
	}
	for _, g := range list {
		if g.explanation != nil {
			continue
		}
		slices.SortFunc(g.surprising, func(a, b *Item) int { return cmp.Compare(a.Reading.Number, b.Reading.Number) })
		x.fill(g)
	}
	return list
}

func (x *Explainer) explains(h Hypothesis, items []*Item) bool {
	return slices.ContainsFunc(items, func(item *Item) bool { return x.gain(item, h) > helps })
}

// closeRounds binds readings of three nets that each read as joined to each: two
// joins make the third.
func (x *Explainer) closeRounds(items []*Item, bind func(i, j int)) {
	of := x.judge.Rest.Nets().Of
	joined := map[[2]int][]int{} // by pair of nets: places in items
	beside := map[int][]int{}    // by net: those that some reading joins to it
	for i, item := range items {
		a, b := of[item.Red], of[item.Black]
		if item.high() || a == b {
			continue
		}
		pair := [2]int{min(a, b), max(a, b)}
		if joined[pair] == nil {
			beside[a], beside[b] = append(beside[a], b), append(beside[b], a)
		}
		joined[pair] = append(joined[pair], i)
	}
	for pair, readings := range joined {
		for _, third := range beside[pair[0]] {
			one, other := [2]int{min(pair[0], third), max(pair[0], third)}, [2]int{min(pair[1], third), max(pair[1], third)}
			if third == pair[1] || joined[other] == nil {
				continue
			}
			for _, i := range slices.Concat(readings, joined[one], joined[other]) {
				bind(readings[0], i)
			}
		}
	}
}

// proposed returns what may explain an item.
func (x *Explainer) proposed(item *Item) []Hypothesis {
	if known, done := x.proposals[item.said]; done {
		return known
	}
	list := []Hypothesis{}
	seen := map[Place]bool{}
	for _, h := range x.propose(item) {
		if !seen[h.Place] && x.gain(item, h) > helps {
			seen[h.Place] = true
			list = append(list, h)
		}
	}
	x.proposals[item.said] = list
	return list
}

// token names something that two hypotheses can have in common.
type token struct {
	joint bool
	a, b  int
}

func (x *Explainer) tokens(h Hypothesis) []token {
	of := x.judge.Rest.Nets().Of
	var list []token
	for _, id := range h.elements(x.judge.Rest) {
		list = append(list, token{a: id, b: -1})
	}
	switch h.Fault {
	case JointOpen, JointHigh:
		list = append(list, token{joint: true, a: h.A, b: -1})
	case Short, Swap:
		a, b := of[h.A], of[h.B]
		list = append(list, token{a: min(a, b), b: max(a, b)})
		if h.Fault == Short && h.Other >= 0 {
			list = append(list, token{a: h.Other, b: -1})
		}
	case Mirrored, Shifted, Moved:
		for _, l := range h.Landings(x.judge.Rest) {
			if l.On >= 0 {
				a, b := of[l.At], of[l.On]
				list = append(list, token{a: min(a, b), b: max(a, b)})
			}
		}
	}
	return list
}

// fill adds the hypotheses and the evidence of a group.
func (x *Explainer) fill(g *group) {
	at := map[Place]int{}
	for _, item := range g.surprising {
		for _, h := range slices.Concat(x.proposed(item), g.swapped[item.Reading.Number]) {
			if known, seen := at[h.Place]; seen {
				g.hypotheses[known].Prior = max(g.hypotheses[known].Prior, h.Prior)
				continue
			}
			at[h.Place] = len(g.hypotheses)
			g.hypotheses = append(g.hypotheses, h)
		}
	}
	slices.SortFunc(g.hypotheses, func(p, q Hypothesis) int { return x.compare(p.Place, q.Place) })
	numbers := map[int64]bool{}
	for _, item := range g.surprising {
		numbers[item.Reading.Number] = true
	}
	for _, h := range g.hypotheses {
		for number := range x.testimonyOn(h).against {
			if !x.items[number].Surprising() {
				numbers[number] = true
			}
		}
	}
	for number := range numbers {
		g.evidence = append(g.evidence, x.items[number])
	}
	// by what they say, not by when they were taken: sums of likelihoods then
	// round the same whatever the order of the readings
	slices.SortFunc(g.evidence, compareItems)
}

func compareItems(a, b *Item) int {
	if order := model.CompareRefs(a.Reading.Red, b.Reading.Red); order != 0 {
		return order
	}
	if order := model.CompareRefs(a.Reading.Black, b.Reading.Black); order != 0 {
		return order
	}
	if order := cmp.Compare(a.words, b.words); order != 0 {
		return order
	}
	return cmp.Compare(a.Reading.Number, b.Reading.Number)
}
