package faults

import (
	"cmp"
	"slices"

	"bellout/graphs"
	"bellout/graphs/kit"
)

// NetBridge is a place where the map joins two nets that must not be joined.
type NetBridge struct {
	Rule     string // the rule that it breaks
	Elements []int  // the culprits, of Drawn; all of them together join the nets
	Rivals   []int  // elements that the map would blame as well
	// From and To are anchors of the two nets, the nearest to the culprit.
	From, To int
	// Chain is the shortest way from From to To: terminals and, between them,
	// elements.
	Chain      []int
	ChainSteps []int
	Confidence float64
	// MeantFor are dead terminals without a wire that a culprit was probably meant
	// for.
	MeantFor []int
}

// separateNets finds the crossings and makes Apart of Drawn without them. Nets
// that join nothing wrong cost one look at their terminals.
func (b *Analysis) separateNets() {
	a := newNetSeparation(b)
	for _, net := range b.AsDrawn.Nets().List {
		if a.joinsTooMuch(net.Terminals) {
			a.separate(net.Terminals)
		}
	}
	a.putBack()
	if len(a.out) == 0 {
		return
	}
	b.AsIntended = b.AsDrawn.Without(a.culprits()...)
	b.NetBridges = a.crossings()
}

// netSeparation is the work of cutting nets.
type netSeparation struct {
	b       *Analysis
	anchors map[int]anchor
	out     map[int]bool // elements that are cut
	rivals  map[int][]int
	sure    map[int]float64

	first map[anchor]int // by class: its terminal that comes first by name
	rails map[int][]int  // by net of Drawn: supplies whose rail it holds
	zeros map[int][]int  // by net of Drawn: roots of the permissions whose returns it holds

	ofDriver map[int]bool // returns that a driver switches to
}

func newNetSeparation(b *Analysis) *netSeparation {
	a := &netSeparation{
		b: b, anchors: b.findAnchors(), out: map[int]bool{}, rivals: map[int][]int{}, sure: map[int]float64{},
		first: map[anchor]int{}, rails: map[int][]int{}, zeros: map[int][]int{}, ofDriver: map[int]bool{},
	}
	nets := b.AsDrawn.Nets()
	for t, x := range a.anchors {
		if known, found := a.first[x]; !found || b.compareTerminals(t, known) < 0 {
			a.first[x] = t
		}
		if net := nets.Of[t]; x.kind == anchorZero && !slices.Contains(a.zeros[net], x.of) {
			a.zeros[net] = append(a.zeros[net], x.of)
		}
	}
	for _, driver := range b.Parts.Drivers {
		for _, t := range driver.Returns {
			a.ofDriver[t] = true
		}
	}
	for at, supply := range b.Parts.Supplies {
		net := nets.Of[supply.Rail]
		a.rails[net] = append(a.rails[net], at)
	}
	return a
}

func (a *netSeparation) culprits() []int {
	list := make([]int, 0, len(a.out))
	for id := range a.out {
		list = append(list, id)
	}
	slices.Sort(list)
	return list
}

// joins says whether an element still makes one net of its ends.
func (a *netSeparation) joins(id int) bool { return a.b.AsDrawn.Elements[id].Joins() && !a.out[id] }

// anchorsIn returns the classes that a set of terminals holds, in order.
func (a *netSeparation) anchorsIn(terminals []int) []anchor {
	var list []anchor
	for _, t := range terminals {
		if x, found := a.anchors[t]; found && !slices.Contains(list, x) {
			list = append(list, x)
		}
	}
	slices.SortFunc(list, a.compare)
	return list
}

// compare orders classes so that the order of the map's rows does not matter.
func (a *netSeparation) compare(x, y anchor) int {
	if x.kind != y.kind {
		return cmp.Compare(x.kind, y.kind)
	}
	return a.b.compareTerminals(a.first[x], a.first[y])
}

func (a *netSeparation) joinsTooMuch(terminals []int) bool {
	var first anchor
	known := false
	for _, t := range terminals {
		x, found := a.anchors[t]
		switch {
		case !found:
		case !known:
			first, known = x, true
		case x != first:
			return len(a.clashing(a.anchorsIn(terminals))) > 0
		}
	}
	return false
}

// clashing returns the classes that clash with some other one of the list.
func (a *netSeparation) clashing(list []anchor) []anchor {
	var found []anchor
	for _, x := range list {
		if slices.ContainsFunc(list, func(y anchor) bool { return a.b.clash(x, y) != "" }) {
			found = append(found, x)
		}
	}
	return found
}

// separate cuts a connected set of terminals until no part of it holds anchors
// that clash: the first class from all that it clashes with, then what is left.
func (a *netSeparation) separate(terminals []int) {
	work := [][]int{terminals}
	for len(work) > 0 {
		part := work[len(work)-1]
		work = work[:len(work)-1]
		classes := a.clashing(a.anchorsIn(part))
		if len(classes) == 0 {
			continue
		}
		if !a.cut(part, classes[0], classes[1:]) {
			continue
		}
		work = append(work, a.split(part)...)
	}
}

// split returns the connected parts of a set of terminals.
func (a *netSeparation) split(terminals []int) [][]int {
	seen := make(map[int]bool, len(terminals))
	var parts [][]int
	for _, t := range terminals {
		if seen[t] {
			continue
		}
		seen[t] = true
		part := []int{t}
		for at := 0; at < len(part); at++ {
			for _, id := range a.b.AsDrawn.Incident(part[at]) {
				if far := a.b.AsDrawn.Far(int(id), part[at]); a.joins(int(id)) && !seen[far] {
					seen[far] = true
					part = append(part, far)
				}
			}
		}
		parts = append(parts, part)
	}
	return parts
}

// putBack returns every cut element that, as things stand now, would join
// nothing wrong: what was cut only because a load sits on the wrong side.
func (a *netSeparation) putBack() {
	if len(a.out) == 0 {
		return
	}
	without := a.b.AsDrawn.Without(a.culprits()...)
	part := label(without, func(_ int, e graphs.Element) bool { return e.Joins() })
	classes := map[int32][]anchor{}
	for t, x := range a.anchors {
		if !slices.Contains(classes[part[t]], x) {
			classes[part[t]] = append(classes[part[t]], x)
		}
	}
	nets := kit.NewSets[int32](len(part))
	ids := a.culprits()
	slices.SortFunc(ids, func(x, y int) int { return a.b.compareOddness(y, x) })
	for _, id := range ids {
		e := a.b.AsDrawn.Elements[id]
		from, to := nets.Find(part[e.A]), nets.Find(part[e.B])
		if from == to {
			continue // it joins the same nets as one that stays out or came back
		}
		together := append(slices.Clone(classes[from]), classes[to]...)
		if len(a.clashing(together)) == 0 {
			delete(a.out, id)
			nets.Union(from, to)
			classes[nets.Find(to)] = together
		}
	}
	for _, id := range ids {
		if e := a.b.AsDrawn.Elements[id]; a.out[id] && nets.Same(part[e.A], part[e.B]) {
			delete(a.out, id)
		}
	}
}

// crossings groups what is cut by the nets that it joins.
func (a *netSeparation) crossings() []NetBridge {
	type pair struct{ one, other int }
	nets := a.b.AsIntended.Nets()
	groups := map[pair][]int{}
	for _, id := range a.culprits() {
		e := a.b.AsDrawn.Elements[id]
		p := pair{nets.Of[e.A], nets.Of[e.B]}
		if p.other < p.one {
			p.one, p.other = p.other, p.one
		}
		groups[p] = append(groups[p], id)
	}
	var list []NetBridge
	for p, ids := range groups {
		crossing, found := a.crossing(p.one, p.other, ids)
		if found {
			list = append(list, crossing)
		}
	}
	slices.SortFunc(list, func(x, y NetBridge) int {
		if order := a.b.compareTerminals(x.From, y.From); order != 0 {
			return order
		}
		if order := a.b.compareTerminals(x.To, y.To); order != 0 {
			return order
		}
		return a.b.compareElements(x.Elements[0], y.Elements[0])
	})
	return list
}

// crossing describes what the elements join: the worst rule that the two nets
// break, their anchors, and the shortest chain of joins that proves it.
func (a *netSeparation) crossing(one, other int, ids []int) (NetBridge, bool) {
	nets := a.b.AsIntended.Nets()
	rule := ""
	var here, there []anchor
	for _, x := range a.anchorsIn(nets.List[one].Terminals) {
		for _, y := range a.anchorsIn(nets.List[other].Terminals) {
			switch broken := a.b.clash(x, y); {
			case broken == "":
			case rule == "" || ruleWeight[broken] < ruleWeight[rule]:
				rule, here, there = broken, []anchor{x}, []anchor{y}
			case broken == rule:
				here, there = append(here, x), append(there, y)
			}
		}
	}
	if rule == "" {
		return NetBridge{}, false
	}
	slices.SortFunc(ids, a.b.compareOddness)
	crossing := NetBridge{Rule: rule, Elements: ids, Confidence: 1}
	for _, id := range ids {
		crossing.Confidence = min(crossing.Confidence, a.sure[id])
		for _, rival := range a.rivals[id] {
			if !slices.Contains(ids, rival) && !slices.Contains(crossing.Rivals, rival) {
				crossing.Rivals = append(crossing.Rivals, rival)
			}
		}
	}
	a.prove(&crossing, one, a.goals(one, here, there), a.goals(other, there, here))
	return crossing, true
}

// ruleWeight orders the rules that a crossing can break, the worst first.
var ruleWeight = map[string]int{nameRailCross: 0, nameShort: 1, nameMixedGround: 2}

// prove finds the shortest chain through one of the culprits, from an anchor of
// the one net to an anchor of the other.
func (a *netSeparation) prove(crossing *NetBridge, one int, here, there map[int]bool) {
	best := -1
	for _, id := range crossing.Elements {
		e := a.b.AsDrawn.Elements[id]
		near, far := e.A, e.B
		if a.b.NetOf(near) != one {
			near, far = far, near
		}
		terminals, steps, foundFrom := a.walk(near, here)
		others, otherSteps, foundTo := a.walk(far, there)
		if !foundFrom || !foundTo || best >= 0 && len(steps)+len(otherSteps) >= best {
			continue
		}
		best = len(steps) + len(otherSteps)
		slices.Reverse(terminals)
		slices.Reverse(steps)
		crossing.Chain = append(terminals, others...)
		crossing.ChainSteps = append(append(steps, id), otherSteps...)
	}
	if len(crossing.Chain) == 0 {
		e := a.b.AsDrawn.Elements[crossing.Elements[0]]
		crossing.Chain, crossing.ChainSteps = []int{e.A, e.B}, []int{crossing.Elements[0]}
	}
	crossing.From, crossing.To = crossing.Chain[0], crossing.Chain[len(crossing.Chain)-1]
	if a.b.compareTerminals(crossing.To, crossing.From) < 0 {
		slices.Reverse(crossing.Chain)
		slices.Reverse(crossing.ChainSteps)
		crossing.From, crossing.To = crossing.To, crossing.From
	}
}

// goals returns the terminals of a net that a chain may end at: those of the
// classes, of returns rather the rail's own than others, and rather a source's
// than a converter's.
func (a *netSeparation) goals(net int, classes, against []anchor) map[int]bool {
	var lists [3][]int
	for _, t := range a.b.AsIntended.Nets().List[net].Terminals {
		x, anchored := a.anchors[t]
		if !anchored || !slices.Contains(classes, x) {
			continue
		}
		rank := 0
		if x.kind == anchorZero {
			rank = 1
			if slices.ContainsFunc(against, func(y anchor) bool {
				return y.kind == anchorRail && a.b.groundOfSupply[y.of] == a.b.groundAt[t]
			}) {
				rank = 0
			} else if len(a.b.loadsAt[t]) > 0 {
				rank = 2
			}
		}
		lists[rank] = append(lists[rank], t)
	}
	goals := map[int]bool{}
	for _, list := range lists {
		if len(goals) == 0 {
			for _, t := range list {
				goals[t] = true
			}
		}
	}
	return goals
}

// walk returns the shortest way in Apart from a terminal to a goal.
func (a *netSeparation) walk(from int, goals map[int]bool) (terminals, steps []int, found bool) {
	return a.b.shortest(a.b.AsIntended, from, func(id int) bool { return a.b.AsIntended.Elements[id].Joins() }, func(t int) bool { return goals[t] })
}
