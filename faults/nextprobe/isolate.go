package nextprobe

import (
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// verifyApart proposes a touch that proves two nets apart, the worst to meet
// first: rails against returns, then against earth, then against each other.
func (p *Planner) verifyApart() (Proposal, bool) {
	rails, returns, earths := p.separable()
	if p.options.Clips {
		if proposal, found := p.apartByHalves(rails, slices.Concat(returns, earths)); found {
			return proposal, true
		}
	}
	for _, others := range [][]int{returns, earths, rails} {
		for i, rail := range rails {
			for j, other := range others {
				if &others[0] == &rails[0] && j <= i || rail == other {
					continue
				}
				if proposal, found := p.apartProposal(rail, other); found {
					return proposal, true
				}
			}
		}
	}
	return Proposal{}, false
}

// separable returns the nets, by place in Bench.Apart, that have to be apart.
func (p *Planner) separable() (rails, returns, earths []int) {
	for at, net := range p.bench.AsIntended.Nets().List {
		switch net.Kind {
		case graphs.NetRail:
			rails = append(rails, at)
		case graphs.NetReturn:
			returns = append(returns, at)
		case graphs.NetEarth:
			earths = append(earths, at)
		}
	}
	return rails, returns, earths
}

// apartProposal proposes to touch two nets, in the mode in which a good reading
// would be surprising if they were joined.
func (p *Planner) apartProposal(a, b int) (Proposal, bool) {
	proven, counts := p.known.ApartProven(a, b)
	if proven || !counts || p.joined[[2]int{min(a, b), max(a, b)}] {
		return Proposal{}, false
	}
	red, black, found := p.apartTips(a, b)
	if red == black {
		return Proposal{}, false
	}
	mode, conditions := model.Mode(""), model.Conditions(nil)
	if found {
		mode = p.apartMode(red, black, nil)
	}
	if mode == "" { // what joins them reads as a join would, or the meter could not tell
		mode, conditions = p.apartUnplugged(red, black)
	}
	if mode == "" || len(conditions) > 0 && !p.usable(red, black, conditions) {
		return Proposal{}, false
	}
	return p.separationProposal(red, black, mode, conditions, 1), true
}

// mostPulled is how many parts are pulled to prove two nets apart.
const mostPulled = 4

// apartUnplugged returns what to unplug so that a reading proves two nets apart
// that parts of hardly any ohms join, such as a row of cold lamps: those of the
// least ohms first.
func (p *Planner) apartUnplugged(red, black int) (model.Mode, model.Conditions) {
	key := touchOf(red, black, nil)
	if known, worked := p.pulled[key]; worked {
		if len(known) == 0 {
			return "", nil
		}
		return p.apartMode(red, black, known), known
	}
	p.pulled[key] = nil
	var list []model.Condition
	for range mostPulled {
		conditions := model.NewConditions(list...)
		part := p.leastPart(p.judge.View(conditions), red, black)
		if part == "" {
			return "", nil
		}
		list = append(list, model.Condition{Kind: model.Unplugged, Device: part})
		conditions = model.NewConditions(list...)
		if mode := p.apartMode(red, black, conditions); mode != "" && p.sight(red, black, conditions).Ohms > 4*p.sight(red, black, nil).Ohms {
			p.pulled[key] = conditions
			return mode, conditions
		}
	}
	return "", nil
}

// apartTips returns the first usable pair of tips of two nets; false with the
// pair that was touched already.
func (p *Planner) apartTips(a, b int) (red, black int, found bool) {
	const most = 4
	tipsA, tipsB := p.telling(a, most), p.telling(b, most)
	for _, red := range tipsA {
		for _, black := range tipsB {
			if times, _ := p.known.Touched(p.ref(red), p.ref(black), nil); times > 0 {
				return red, black, false // it was read, and does not prove them apart
			}
			if p.reachable(red, black, nil) {
				return red, black, true
			}
		}
	}
	return 0, 0, false
}

// telling returns a few terminals of a net of Bench.Apart, by its place there,
// those of sources first.
func (p *Planner) telling(at, most int) []int {
	list, worked := p.tellings[at]
	if !worked {
		list = p.sourcesFirst(&p.bench.AsIntended.Nets().List[at])
		p.tellings[at] = list
	}
	return list[:min(most, len(list))]
}

// sourcesFirst returns the terminals of a net, those of sources first.
func (p *Planner) sourcesFirst(net *graphs.Net) []int {
	list := slices.Clone(net.Terminals)
	order := func(t int) int {
		switch p.machine.Terminals[t].Role {
		case model.RoleRail:
			return 0
		case model.RoleReturn:
			if p.supplies(t) {
				return 0
			}
			return 3
		case model.RoleEarth:
			return 1
		case model.RolePass:
			return 2
		default:
			return 3
		}
	}
	slices.SortStableFunc(list, func(x, y int) int { return order(x) - order(y) })
	return list
}

// supplies says whether a terminal belongs to a device that has a rail.
func (p *Planner) supplies(t int) bool {
	return slices.ContainsFunc(p.bench.Parts.Supplies, func(s graphs.Supply) bool { return s.Device == p.machine.Terminals[t].Device })
}

// apartMode returns the mode in which a good reading proves two tips apart;
// empty where none does: a load of hardly any ohms joins them.
func (p *Planner) apartMode(red, black int, conditions model.Conditions) model.Mode {
	key := touchOf(red, black, conditions)
	if mode, known := p.provable[key]; known {
		return mode
	}
	p.provable[key] = ""
	sight := p.sight(red, black, conditions)
	if sight.Metal {
		return ""
	}
	joined := p.judge.SightIf(red, black, conditions, []graphs.ElementChange{{Element: -1, A: red, B: black}})
	for _, mode := range []model.Mode{model.ModeContinuity, model.ModeOhms} {
		good := p.goodReading(mode, sight)
		if p.judge.Meter.Decide(good, sight) == judge.Agrees && p.tells(good, sight, joined) {
			p.provable[key] = mode
			return mode
		}
	}
	return ""
}
