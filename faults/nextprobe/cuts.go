package nextprobe

import (
	mathbits "math/bits"
	"slices"

	"bellout/faults/explain"
	"bellout/graphs"
	"bellout/model"
)

// Bounds of what is opened to find out where two nets meet.
const (
	mostCuts     = 24 // ways to part the machine by one thing that is opened
	mostTogether = 8  // things that are opened together
	mostStarts   = 4  // the best of the first, to which others are added
)

// cut is what may be opened, and the sets of faults that are behind it then.
type cut struct {
	at     model.Condition
	behind uint64 // by set
}

// cuts returns what may be opened on the ways from the tips to the places where
// two nets may touch, what parts most of the suspicion evenly first: one thing,
// and several that together leave half of the suspicion behind them, as where
// many branches leave one bar.
func (p *Planner) cuts(s *ambiguityGroup, red, black int) []model.Conditions {
	singles, total := p.singleCuts(s, red, black)
	weight := func(behind uint64) float64 {
		sum := 0.0
		for behind != 0 {
			sum += s.chances[mathbits.TrailingZeros64(behind)]
			behind &= behind - 1
		}
		return sum
	}
	slices.SortFunc(singles, func(x, y cut) int {
		if order := explain.CompareChances(uneven(weight(x.behind), total)*troubleOf(x.at), uneven(weight(y.behind), total)*troubleOf(y.at)); order != 0 {
			return order
		}
		return model.Compare(x.at.String(), y.at.String())
	})
	singles = singles[:min(mostCuts, len(singles))]
	var list []model.Conditions
	for _, single := range singles {
		list = append(list, model.Conditions{single.at})
	}
	for _, start := range singles[:min(mostStarts, len(singles))] {
		opened, behind := model.Conditions{start.at}, start.behind
		for len(opened) < mostTogether {
			best, least := -1, uneven(weight(behind), total)-leastEvened
			for i, more := range singles {
				if more.behind&^behind == 0 {
					continue
				}
				if left := uneven(weight(behind|more.behind), total); left < least {
					best, least = i, left
				}
			}
			if best < 0 {
				break
			}
			opened, behind = append(slices.Clone(opened), singles[best].at), behind|singles[best].behind
			list = append(list, opened)
		}
	}
	return list
}

// leastEvened is how much nearer to half one more opening has to come.
const leastEvened = 0.03

// singleCuts returns what may be opened by itself, and the suspicion that
// something joins the nets of two tips.
func (p *Planner) singleCuts(s *ambiguityGroup, red, black int) (list []cut, total float64) {
	blocks := p.judge.Metal()
	behind := map[model.Condition]uint64{}
	for at, set := range s.Sets {
		joined := false
		for _, h := range set.Members {
			for _, join := range p.joinsOf(h, red, black) {
				joined = true
				for _, ends := range [2][2]int{{red, join[0]}, {black, join[1]}} {
					for _, id := range blocks.BridgesBetween(ends[0], ends[1]) {
						if opened, may := p.cutAt(id); may {
							behind[opened] |= 1 << at
						}
					}
				}
			}
		}
		if joined {
			total += s.chances[at]
		}
	}
	for opened, sets := range behind {
		list = append(list, cut{opened, sets})
	}
	return list, total
}

// joinsOf returns where a fault would join the nets of two tips: a terminal of
// the first and one of the other.
func (p *Planner) joinsOf(h explain.Hypothesis, red, black int) [][2]int {
	of := p.circuit.Nets().Of
	var list [][2]int
	add := func(a, b int) {
		if of[a] != of[red] {
			a, b = b, a
		}
		if of[a] == of[red] && of[b] == of[black] {
			list = append(list, [2]int{a, b})
		}
	}
	if h.Fault == explain.Short {
		add(h.A, h.B)
	}
	for _, landing := range h.Landings(p.circuit) {
		if landing.On >= 0 {
			add(p.circuit.Far(landing.Wire, landing.At), landing.On)
		}
	}
	return list
}

// uneven is small where a cut leaves half of the suspicion behind it.
func uneven(part, total float64) float64 {
	if total == 0 {
		return 1
	}
	return 0.1 + max(part/total-0.5, 0.5-part/total)
}

// cutAt returns how a way is opened at an element: a plug, a fuse or a switch is
// opened, a wire lifted; a bar is not sawn. Nothing of the mains side and of
// earth is opened.
func (p *Planner) cutAt(id int) (model.Condition, bool) {
	e := p.circuit.Elements[id]
	if e.Kind == graphs.Joined || p.bench.LeftInPlace().Element(id) {
		return model.Condition{}, false
	}
	if e.Kind == graphs.Wire {
		return model.Condition{Kind: model.Lifted, Wire: p.machine.Wires[e.Row].Name}, true
	}
	link := p.machine.Links[e.Row]
	device, _ := p.machine.Device(link.Device)
	switch {
	case e.Kind == graphs.Contact || e.Kind == graphs.Fuse:
		return model.Condition{Kind: model.ContactOpen, Device: link.Device, From: link.From, To: link.To}, true
	case device.Kind == model.KindConnector:
		return model.Condition{Kind: model.Unplugged, Device: link.Device}, !p.bench.LeftInPlace().Device(link.Device)
	default:
		return model.Condition{}, false
	}
}
