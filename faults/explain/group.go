package explain

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bellout/model"
)

// group is a set of surprising readings that could share a cause, with all that
// bears on it.
type group struct {
	surprising []*Item
	hypotheses []Hypothesis // each place once, as people read them
	evidence   []*Item      // surprising ones and agreeing ones, by what they say
}

// key tells groups apart by what they were made of.
func (g *group) key() string {
	var text strings.Builder
	for _, item := range g.evidence {
		fmt.Fprint(&text, item.Reading.Number, " ")
	}
	text.WriteString("|")
	for _, item := range g.surprising {
		fmt.Fprint(&text, item.Reading.Number, " ")
	}
	text.WriteString("|")
	for _, h := range g.hypotheses {
		fmt.Fprint(&text, h.Place, h.Prior, ";")
	}
	return text.String()
}

// acquitted is how much less likely, in nats, agreeing readings must make a
// hypothesis before it no longer binds readings into one group.
const acquitted = 3.0

// helps is how much more likely, in nats, a hypothesis must make a surprising
// reading to count as an explanation of it.
const helps = 1.0

// groups sorts the surprising readings into sets that could share a cause.
func (x *Explainer) groups() []*group {
	items := x.surprising()
	parent := make([]int, len(items))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			i = parent[i]
		}
		return i
	}
	owner := map[token]int{}
	for i, item := range items {
		for _, h := range x.proposed(item) {
			if x.against(h, items) > acquitted {
				continue
			}
			for _, t := range x.tokens(h) {
				if first, seen := owner[t]; seen {
					parent[max(find(i), find(first))] = min(find(i), find(first))
				} else {
					owner[t] = i
				}
			}
		}
	}
	byRoot := map[int]*group{}
	var list []*group
	for i, item := range items {
		root := find(i)
		if byRoot[root] == nil {
			byRoot[root] = &group{}
			list = append(list, byRoot[root])
		}
		byRoot[root].surprising = append(byRoot[root].surprising, item)
	}
	for _, g := range list {
		x.fill(g)
	}
	return list
}

// proposed returns what may explain an item; it is worked out once.
func (x *Explainer) proposed(item *Item) []Hypothesis {
	number := item.Reading.Number
	if known, done := x.proposals[number]; done {
		return known
	}
	list := []Hypothesis{}
	seen := map[Place]bool{}
	for _, h := range x.propose(item) {
		if !seen[h.Place] && x.logLikelihood(item, h)-x.base(item) > helps {
			seen[h.Place] = true
			list = append(list, h)
		}
	}
	x.proposals[number] = list
	return list
}

// against returns by how many nats the agreeing readings that a hypothesis
// concerns speak against it.
func (x *Explainer) against(h Hypothesis, surprising []*Item) float64 {
	sum := 0.0
	for _, item := range x.bearing([]Hypothesis{h}) {
		if !item.Surprising() {
			sum += x.base(item) - x.logLikelihood(item, h)
		}
	}
	return sum
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
		for _, h := range x.proposed(item) {
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
	for _, item := range x.bearing(g.hypotheses) {
		if !item.Surprising() {
			numbers[item.Reading.Number] = true
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
	if order := cmp.Compare(a.text(), b.text()); order != 0 {
		return order
	}
	return cmp.Compare(a.Reading.Number, b.Reading.Number)
}

// bearing returns the items that some hypotheses could concern: those with a tip
// or a clip in a net that they touch.
func (x *Explainer) bearing(hypotheses []Hypothesis) []*Item {
	of := x.judge.Rest.Nets().Of
	nets := map[int]bool{}
	for _, h := range hypotheses {
		for _, id := range h.elements(x.judge.Rest) {
			e := x.judge.Rest.Elements[id]
			nets[of[e.A]], nets[of[e.B]] = true, true
		}
		for _, t := range [2]int{h.A, h.B} {
			if t >= 0 {
				nets[of[t]] = true
			}
		}
		for _, l := range h.Landings(x.judge.Rest) {
			if l.On >= 0 {
				nets[of[l.On]] = true
			}
		}
	}
	numbers := map[int64]bool{}
	var list []*Item
	for net := range nets {
		for _, number := range x.byNet[net] {
			if numbers[number] {
				continue
			}
			numbers[number] = true
			item := x.items[number]
			for _, h := range hypotheses {
				if x.concerns(item, h) {
					list = append(list, item)
					break
				}
			}
		}
	}
	return list
}
