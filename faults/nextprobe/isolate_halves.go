package nextprobe

import (
	"fmt"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// mostClipped is how many nets clip leads join on one side at most: one more
// would be nothing that a person clips, nor reads on a screen.
const mostClipped = 128

// apartByHalves proposes to touch two bundles of nets that clip leads join, so
// that one silence proves every net of the one apart from every net of the
// other. First all rails against all that no rail may meet, the worst first;
// then the rails among themselves, one touch for each bit of their numbers: any
// two numbers differ in a bit. That makes 1 + ceil(log2 rails) touches, within one
// of the least, ceil(log2(1 + rails)), that keep so many apart (Kautz 1974: a
// number of its own, in tests of two sides, for each that has to be told apart).
// Where two bundles meet, or parts between them read too low to tell, one is
// halved: a short between a and b nets is found in ceil(log2 a) + ceil(log2 b)
// touches of halves that are silent (Chen and Hwang 1989), and what is found
// beeping on the way halves the rest.
func (p *Planner) apartByHalves(rails, others []int) (Proposal, bool) {
	if proposal, found := p.apartSides(rails, others, false); found {
		return proposal, true
	}
	for bit := 1; bit < len(rails); bit <<= 1 {
		var sides [2][]int
		for number, rail := range rails {
			side := b2int(number&bit != 0)
			sides[side] = append(sides[side], rail)
		}
		if proposal, found := p.apartSides(sides[0], sides[1], false); found {
			return proposal, true
		}
	}
	return Proposal{}, false
}

func b2int(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// apartSides proposes a touch of two bundles, or of parts of them. meet: nets of
// the two are known to meet, so that there is no need to touch the whole again.
// Two single nets are left to the proof pair by pair.
func (p *Planner) apartSides(a, b []int, meet bool) (Proposal, bool) {
	open := p.unprovenPairs(a, b)
	if open == 0 || len(a)*len(b) < 2 {
		return Proposal{}, false
	}
	if !meet && open > 1 && len(a) <= mostClipped && len(b) <= mostClipped {
		proposal, found, touched := p.bundleProposal(a, b, open)
		if found {
			return proposal, true
		}
		meet = touched
	}
	halved, other := a, b
	if len(b) > len(a) {
		halved, other = b, a
	}
	first, second := halved[:len(halved)/2], halved[len(halved)/2:]
	if proposal, found := p.apartSides(first, other, false); found {
		return proposal, true
	}
	return p.apartSides(second, other, meet && p.unprovenPairs(first, other) == 0)
}

// unprovenPairs counts the pairs of two sides that nothing proves apart.
func (p *Planner) unprovenPairs(a, b []int) int {
	count := 0
	for _, one := range a {
		for _, other := range b {
			if proven, counts := p.known.ApartProven(one, other); counts && !proven {
				count++
			}
		}
	}
	return count
}

// bundleProposal proposes to touch two bundles. touched: they were touched
// already, and do not prove apart.
func (p *Planner) bundleProposal(a, b []int, open int) (made Proposal, found, touched bool) {
	tipsA, tipsB := p.clipPoints(a), p.clipPoints(b)
	if len(tipsA) < len(a) || len(tipsB) < len(b) || p.anyMet(a, b) {
		return Proposal{}, false, false
	}
	red, black := tipsA[0], tipsB[0]
	conditions := clippedSides(p.refs(tipsA), p.refs(tipsB))
	if times, _ := p.known.Touched(p.ref(red), p.ref(black), conditions); times > 0 {
		return Proposal{}, false, true
	}
	if !p.reachable(red, black, conditions) {
		return Proposal{}, false, false
	}
	mode := p.apartMode(red, black, conditions)
	if mode == "" || !p.tellsOfAll(red, black, tipsA, tipsB, mode, conditions) {
		return Proposal{}, false, false
	}
	made = p.separationProposal(red, black, mode, conditions, open)
	made.Reason = p.bundleReason(a, b, open)
	return made, true, false
}

// tellsOfAll says whether the reading of two bundles would be surprising
// wherever they met: the way from a tip to a clip is not without ohms.
func (p *Planner) tellsOfAll(red, black int, a, b []int, mode model.Mode, conditions model.Conditions) bool {
	const most = 4 // of each side that are looked at; a clip makes them alike
	sight := p.sight(red, black, conditions)
	good := p.goodReading(mode, sight)
	for _, one := range a[:min(most, len(a))] {
		for _, other := range b[:min(most, len(b))] {
			if !p.tells(good, sight, p.judge.SightIf(red, black, conditions, []graphs.ElementChange{{Element: -1, A: one, B: other}})) {
				return false
			}
		}
	}
	return true
}

func (p *Planner) bundleReason(a, b []int, open int) string {
	nets := p.bench.AsIntended.Nets().List
	few := func(side []int) string {
		const most = 3
		var names []string
		for _, at := range side[:min(most, len(side))] {
			names = append(names, nets[at].Name)
		}
		if len(side) > most {
			names = append(names, fmt.Sprintf("%d more", len(side)-most))
		}
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s against %s, those of each side joined by clip leads: proves %s at once.", few(a), few(b), counted(float64(open), "separation"))
}

// anyMet says whether a pair of two sides was touched by itself and is not
// proven apart: the bundles would meet there.
func (p *Planner) anyMet(a, b []int) bool {
	for _, one := range a {
		for _, other := range b {
			proven, counts := p.known.ApartProven(one, other)
			if proven || !counts {
				continue
			}
			red, black := p.telling(one, 1)[0], p.telling(other, 1)[0]
			if times, _ := p.known.Touched(p.ref(red), p.ref(black), nil); times > 0 {
				return true
			}
		}
	}
	return false
}

// clipPoints returns one terminal of each net that somebody can get to; fewer
// where a net has none.
func (p *Planner) clipPoints(side []int) []int {
	const most = 4 // terminals of a net that are tried
	points := make([]int, 0, len(side))
	for _, at := range side {
		list := p.telling(at, most)
		if place := slices.IndexFunc(list, func(t int) bool { return !p.outOfReach(p.ref(t)) }); place >= 0 {
			points = append(points, list[place])
		}
	}
	return points
}

func (p *Planner) refs(terminals []int) []model.TerminalRef {
	list := make([]model.TerminalRef, len(terminals))
	for i, t := range terminals {
		list[i] = p.ref(t)
	}
	return list
}

// clippedSides are the conditions under which the terminals of each side are
// joined; one by itself needs no clip.
func clippedSides(sides ...[]model.TerminalRef) model.Conditions {
	var list []model.Condition
	for _, side := range sides {
		words := make([]string, len(side))
		for i, ref := range side {
			words[i] = ref.String()
		}
		slices.SortFunc(words, model.Compare)
		if words = slices.Compact(words); len(words) > 1 {
			list = append(list, model.Condition{Kind: model.Clipped, Terminals: strings.Join(words, " ")})
		}
	}
	return model.NewConditions(list...)
}
