package explain

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// mostPieces is how many pieces of one side are told apart.
const mostPieces = 8

// shorts proposes places where the two sides of a reading may touch: terminals
// of both on one device; and, of the pieces into which lifted wires and pulled
// plugs cut the sides in other readings, one place for each pair of pieces that
// has none yet.
func (x *Explainer) shorts(item *Item, sides sides, ohms float64) []Hypothesis {
	places := x.mayTouch(sides, item)
	red, black := x.pieces(item, sides.red, item.Red), x.pieces(item, sides.black, item.Black)
	covered := map[[2]int]bool{}
	for _, pair := range places {
		covered[red.key(black, pair)] = true
	}
	var elsewhere [][2]int
	for _, a := range red.first {
		for _, b := range black.first {
			pair := [2]int{min(a, b), max(a, b)}
			if a != b && !covered[red.key(black, pair)] {
				elsewhere = append(elsewhere, pair)
			}
		}
	}
	var list []Hypothesis
	probed := [2]int{min(item.Red, item.Black), max(item.Red, item.Black)}
	near := x.priors.Of("short")
	far := x.priors.Of("short-elsewhere")
	if len(places) == 0 {
		far = near
	}
	add := func(pairs [][2]int, total float64) {
		for _, pair := range pairs {
			chance := total / float64(len(pairs))
			if pair == probed {
				chance *= atTheTips
			}
			fuse := x.fuseOf(pair)
			if fuse < 0 {
				list = append(list, x.shortAt(pair, ohms, chance))
				continue
			}
			list = append(list, x.shortAt(pair, ohms, chance*(1-blown)))
			short := x.shortAt(pair, ohms, chance*blown)
			short.Other = fuse
			list = append(list, short)
		}
	}
	add(places, near)
	add(elsewhere, far)
	return list
}

// blown is the chance that a short behind a fuse has blown it, and that nobody
// noted so. Judgement.
const blown = 0.4

// fuseOf returns the nearest fuse that stands between a place where two nets
// touch and the rail of one of them; -1 if there is none.
func (x *Explainer) fuseOf(pair [2]int) int {
	nets, m := x.judge.Rest.Nets(), x.judge.Machine
	for _, t := range pair {
		for _, rail := range nets.Net(t).Terminals {
			if m.Terminals[rail].Role != model.RoleRail {
				continue
			}
			for _, id := range x.judge.Metal().BridgesBetween(t, rail) {
				if x.kind(id) == graphs.Fuse {
					return id
				}
			}
		}
	}
	return -1
}

// atTheTips prefers, of places that explain a reading alike, the one where the
// tips were: people probe where they have a reason to.
const atTheTips = 1.5

// pieces is one side of a reading, cut where other readings had it cut.
type pieces struct {
	of    map[int]int // by terminal: its piece
	first []int       // by piece: the terminal that stands for it
}

// key names the pair of pieces that a pair of terminals, one of each side in
// either order, joins.
func (p pieces) key(other pieces, pair [2]int) [2]int {
	if mine, held := p.of[pair[0]]; held {
		if theirs, held := other.of[pair[1]]; held {
			return [2]int{mine, theirs}
		}
	}
	return [2]int{p.of[pair[1]], other.of[pair[0]]}
}

func (x *Explainer) pieces(item *Item, side []int, tip int) pieces {
	c := x.judge.View(item.Reading.Conditions)
	cut := x.cutsNear(side)
	sorted := slices.Clone(side)
	slices.SortFunc(sorted, func(a, b int) int {
		switch {
		case a == tip && b != tip:
			return -1
		case b == tip && a != tip:
			return 1
		}
		return model.CompareRefs(c.Ref(a), c.Ref(b))
	})
	p := pieces{of: map[int]int{}}
	for _, start := range sorted {
		if _, done := p.of[start]; done {
			continue
		}
		piece := len(p.first)
		if piece < mostPieces {
			p.first = append(p.first, start)
		} else {
			piece-- // the rest counts as one with the last
		}
		p.of[start] = piece
		for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
			for _, id := range c.Incident(queue[0]) {
				far := c.Far(int(id), queue[0])
				if _, done := p.of[far]; done || cut[int(id)] || !c.Elements[id].Joins() {
					continue
				}
				p.of[far] = piece
				queue = append(queue, far)
			}
		}
	}
	return p
}

// cutsNear returns the metal that some reading with a tip in the nets of a side
// had open.
func (x *Explainer) cutsNear(side []int) map[int]bool {
	of := x.judge.Rest.Nets().Of
	nets := map[int]bool{}
	for _, t := range side {
		nets[of[t]] = true
	}
	cut := map[int]bool{}
	for net := range nets {
		for _, number := range x.byNet[net] {
			for _, change := range x.judge.Changes(x.items[number].Reading.Conditions) {
				if change.Element >= 0 && change.Ohms > 0 && x.kind(change.Element).Metal() {
					cut[change.Element] = true
				}
			}
		}
	}
	return cut
}

// metalOhms: a join under this is metal against metal.
const metalOhms = 0.5

func (x *Explainer) shortAt(pair [2]int, ohms, prior float64) Hypothesis {
	place := at(Short)
	place.A, place.B = pair[0], pair[1]
	if c := x.judge.Rest; model.CompareRefs(c.Ref(place.B), c.Ref(place.A)) < 0 {
		place.A, place.B = place.B, place.A // the order of rows means nothing
	}
	if ohms > 0 {
		return sizedHypothesis(place, ohms, prior)
	}
	return Hypothesis{Place: place, Prior: prior}
}

// mayTouch returns the pairs of terminals, one of each side, that sit on one
// device, those of the probed devices first.
func (x *Explainer) mayTouch(sides sides, item *Item) [][2]int {
	pairs := x.pairsOf(sides, item)
	return pairs[:min(len(pairs), mostPlaces)]
}

func (x *Explainer) pairsOf(sides sides, item *Item) [][2]int {
	m := x.judge.Machine
	if len(sides.black) < len(sides.red) {
		sides.red, sides.black = sides.black, sides.red
	}
	byDevice := map[string][]int{}
	for _, t := range sides.red {
		byDevice[m.Terminals[t].Device] = append(byDevice[m.Terminals[t].Device], t)
	}
	near := map[string]bool{item.Reading.Red.Device: true, item.Reading.Black.Device: true}
	var pairs [][2]int
	for _, t := range sides.black {
		for _, u := range byDevice[m.Terminals[t].Device] {
			pairs = append(pairs, [2]int{min(t, u), max(t, u)})
		}
	}
	slices.SortFunc(pairs, func(p, q [2]int) int {
		nearP, nearQ := near[m.Terminals[p[0]].Device], near[m.Terminals[q[0]].Device]
		if nearP != nearQ {
			if nearP {
				return -1
			}
			return 1
		}
		if order := model.CompareRefs(m.Terminals[p[0]].Ref(), m.Terminals[q[0]].Ref()); order != 0 {
			return order
		}
		return model.CompareRefs(m.Terminals[p[1]].Ref(), m.Terminals[q[1]].Ref())
	})
	return pairs
}
