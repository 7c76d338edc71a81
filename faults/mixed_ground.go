package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/model"
)

var ruleMixedGround = Rule{
	Name:  nameMixedGround,
	Title: "Returns of two supplies joined without a bond, or a load that returns to another supply",
	Why: "The current of a load has to go back to the supply that it came from. Where two 0 V sides meet by accident, part of " +
		"it takes the way through signal leads, screens and boards, and one lost wire puts the volts of the one supply on the " +
		"parts of the other. Joined on purpose, at one place, is another matter: write that place down as a bond. " +
		"A converter whose input and output have one 0 V is common with what feeds it, and needs no bond.",
	Check: checkMixedGround,
}

func checkMixedGround(b *Analysis) []Finding {
	var list []Finding
	for _, crossing := range b.NetBridges {
		if crossing.Rule == nameMixedGround {
			list = append(list, b.joinedGrounds(crossing))
		}
	}
	list = append(list, b.strayReturns()...)
	list = append(list, b.returnsPastBonds()...)
	return append(list, b.explained[nameMixedGround]...)
}

func (b *Analysis) joinedGrounds(crossing NetBridge) Finding {
	message := fmt.Sprintf("The returns %s and %s are joined by %s, and no bond says that they should be. The chain: %s.%s",
		b.name(crossing.From), b.name(crossing.To), b.culpritText(crossing.Elements),
		b.chainText(crossing.Chain, crossing.ChainSteps), b.rivalText(crossing))
	advice := fmt.Sprintf("All power off, every signal, USB and screen lead out: read %s to %s. %s "+
		"If the two are meant to be common, write the bond at the one place where they meet%s. "+
		"Lift no protective earth, and change no bond to earth on a hunch: the supplies' manuals and local rules decide.",
		b.name(crossing.From), b.name(crossing.To), b.liftText(crossing.Elements, "that this is the only join"), b.openable(crossing.Elements, "; if not, take the join out"))
	return b.crossed(crossing).headed("%s joins two 0 Vs, %s and %s", b.shortNames(crossing.Elements), b.name(crossing.From), b.name(crossing.To)).
		say(crossing.Confidence, message, advice)
}

// miswiredEnd is a load that returns to a ground which is not that of its feed.
type miswiredEnd struct {
	load      int
	to        int // the terminal by which it returns
	fed, back int // grounds
}

// strayReturns finds loads whose return reaches another supply's 0 V only, and
// that 0 V is not joined to their own. A bond permits a join, it is none. Where
// that goes for all loads of a supply, it is the supply's own return that is
// astray.
func (b *Analysis) strayReturns() []Finding {
	strays := map[int][]miswiredEnd{} // by the ground of the feed
	closed := map[int]bool{}
	for load := range b.Parts.Loads {
		feeding, returning := b.Feeding(load), b.Returning(load)
		if len(returning) == 0 || !b.feedFits(load, feeding) {
			continue
		}
		fed := b.firstGround(feeding)
		if b.loopCloses(feeding, returning) {
			closed[fed] = true
			continue
		}
		to := b.Parts.Loads[load].Returns[0]
		for _, t := range b.Parts.Loads[load].Returns {
			if len(b.reach.grounds(t, b.Parts.Loads[load].Volts.Or(0) < 0)) > 0 {
				to = t
			}
		}
		strays[fed] = append(strays[fed], miswiredEnd{load: load, to: to, fed: fed, back: slices.MinFunc(returning, b.compareGrounds)})
	}
	var list []Finding
	var single []miswiredEnd
	for fed, of := range strays {
		returns := b.Grounds[fed].Returns
		switch bare := !slices.ContainsFunc(returns, b.wired); {
		case bare && slices.ContainsFunc(returns, b.isMeant): // the crossing says it
		case bare, len(of) > 1 && !closed[fed]:
			list = append(list, b.cutOffGround(fed, of))
		default:
			single = append(single, of...)
		}
	}
	sortFindings(list)
	return append(list, b.reportStrays(single, func(s miswiredEnd, wire string) (message, advice string) {
		fed, back := b.Grounds[s.fed], b.Grounds[s.back]
		message = fmt.Sprintf("%%s fed by %s but %%s to %s (%s), which is not joined to the return of %s: the current finds no way back, or one that nobody meant.",
			fed.Device, back.Device, b.Net(s.to).Name, fed.Device)
		advice = fmt.Sprintf("All power off: read the load's return to %s and to %s; it should join the first. Move %s to the 0 V of %s.",
			b.groundName(s.fed), b.groundName(s.back), wire, fed.Device)
		return message, advice
	})...)
}

// cutOffGround describes a supply whose own return joins none of its loads,
// while they return to another.
func (b *Analysis) cutOffGround(ground int, strays []miswiredEnd) Finding {
	d := b.draft(nameMixedGround, Fault)
	var wires []int
	for _, t := range b.Grounds[ground].Returns {
		for _, id := range b.AsIntended.Incident(t) {
			if b.isWire(int(id)) && b.AsIntended.Elements[id].Present {
				wires = append(wires, int(id))
			}
		}
	}
	slices.SortFunc(wires, b.compareOddness)
	d.blame(wires...).blameTerminals(b.Grounds[ground].Returns...)
	var devices []string
	for _, s := range strays {
		devices = append(devices, b.Parts.Loads[s.load].Device)
		d.terminals(s.to).nets(b.Parts.Loads[s.load].Feed, s.to)
	}
	d.devices(devices...)
	returns := b.namesOf(b.Grounds[ground].Returns)
	d.headed("%s: its 0 V leads to none of its loads", b.Grounds[ground].Device)
	message := fmt.Sprintf("%s leads to none of its loads: %s, fed by %s, return to another supply: the current finds no way back, or one that nobody meant.",
		returns, judge.ListText(inOrder(nil, devices), 6), b.Grounds[ground].Device)
	advice := fmt.Sprintf("All power off, signal and USB leads out: ring %s to the returns of its loads. A beep is a wire that the map lacks; "+
		"silence is a wire that the machine lacks: fit it before power returns.", returns)
	return d.say(1, message, advice)
}

// firstGround returns, of the grounds of some supplies, the first by name.
func (b *Analysis) firstGround(supplies []int) int {
	first := b.groundOfSupply[supplies[0]]
	for _, supply := range supplies {
		if ground := b.groundOfSupply[supply]; b.groundBefore(ground, first) {
			first = ground
		}
	}
	return first
}

func (b *Analysis) compareGrounds(one, other int) int {
	switch {
	case one == other:
		return 0
	case b.groundBefore(one, other):
		return -1
	default:
		return 1
	}
}

// feedFits says whether one of the supplies that reach a feed suits it. Where
// none does, the feed is what is wrong, and the rules on volts say so.
func (b *Analysis) feedFits(load int, feeding []int) bool {
	return slices.ContainsFunc(feeding, func(supply int) bool { return b.Fits(load, supply) })
}

// loopCloses says whether some supply that feeds a load has a ground that some
// ground it returns to is joined with. A supply with no mapped return says
// nothing against the load.
func (b *Analysis) loopCloses(feeding, returning []int) bool {
	for _, supply := range feeding {
		fed := b.groundOfSupply[supply]
		returns := b.Grounds[fed].Returns
		if len(returns) == 0 || slices.Contains(returning, fed) {
			return true
		}
		for _, back := range returning {
			if b.Common(returns[0], b.Grounds[back].Returns[0]) {
				return true
			}
			if _, through := b.stackVolts(fed, back); len(through) > 0 {
				return true
			}
		}
	}
	return false
}

// returnsPastBonds finds loads that return on the far side of a bond that is
// one link or wire between two 0 V systems, each with loads of its own: the join
// is right, but the load's current runs through it. Where one 0 V block serves
// both supplies there is no far side, and nothing to say.
func (b *Analysis) returnsPastBonds() []Finding {
	byNet := map[int][]int{}
	var strays []miswiredEnd
	for _, bond := range b.Machine.Bonds {
		from, foundFrom := b.Machine.TerminalIndex(bond.From)
		to, foundTo := b.Machine.TerminalIndex(bond.To)
		if !foundFrom || !foundTo || b.NetOf(from) != b.NetOf(to) {
			continue
		}
		if len(byNet) == 0 {
			byNet = b.plainReturns()
		}
		near, joint := b.sideOf(from, to)
		if near == nil || !joint {
			continue
		}
		strays = append(strays, b.strayPast(byNet[b.NetOf(from)], near)...)
	}
	return b.reportStrays(strays, func(s miswiredEnd, wire string) (message, advice string) {
		fed, back := b.Grounds[s.fed], b.Grounds[s.back]
		message = fmt.Sprintf("%%s fed by %s but %%s on the side of %s (%s): the join of the two is meant, but this current now runs through it.",
			fed.Device, back.Device, b.name(s.to))
		advice = fmt.Sprintf("Move %s to the 0 V of %s.", wire, fed.Device)
		if load := b.Parts.Loads[s.load]; b.allLow(load.Feed, s.to) {
			advice = "Load on, millivolts across the bond between the two returns: near zero is right, more is this load's current. " + advice
		}
		return message, advice
	})
}

// plainReturns lists the loads by the net of their return; a load whose return
// another load shares, or that is a converter, has no choice of its own and is
// left out.
func (b *Analysis) plainReturns() map[int][]int {
	byNet := map[int][]int{}
	for at, load := range b.Parts.Loads {
		if len(load.Returns) == 1 && b.groundAt[load.Returns[0]] < 0 && len(b.loadsAt[load.Returns[0]]) == 1 {
			net := b.NetOf(load.Returns[0])
			byNet[net] = append(byNet[net], at)
		}
	}
	return byNet
}

// sideOf returns the terminals on the side of from when the elements straight
// between from and to are open; nil when there are none, or others join the two.
func (b *Analysis) sideOf(from, to int) (side map[int]bool, joint bool) {
	side = map[int]bool{from: true}
	stack := []int{from}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, id := range b.AsIntended.Incident(t) {
			far := b.AsIntended.Far(int(id), t)
			switch {
			case !b.AsIntended.Elements[id].Joins():
			case t == from && far == to:
				joint = true
			case far == to:
				return nil, false
			case !side[far]:
				side[far] = true
				stack = append(stack, far)
			}
		}
	}
	return side, joint
}

// strayPast returns those of the loads that return on the other side of a bond
// than the supply that feeds them, while at least as many of that supply's loads
// return on its own side.
func (b *Analysis) strayPast(loads []int, near map[int]bool) []miswiredEnd {
	sideOfGround := map[int]bool{}
	for at, ground := range b.Grounds {
		if len(ground.Returns) > 0 {
			sideOfGround[at] = near[ground.Returns[0]]
		}
	}
	own, wrong := map[int]int{}, map[int][]miswiredEnd{}
	for _, load := range loads {
		to := b.Parts.Loads[load].Returns[0]
		feeding := b.Feeding(load)
		if !b.feedFits(load, feeding) {
			continue
		}
		fed := b.firstGround(feeding)
		clear := true
		for _, supply := range feeding {
			clear = clear && sideOfGround[b.groundOfSupply[supply]] == sideOfGround[fed]
		}
		back := b.nearestGround(to)
		switch {
		case !clear || back < 0 || b.NetOf(to) != b.netOfGround(fed):
		case near[to] == sideOfGround[fed]:
			own[fed]++
		default:
			wrong[fed] = append(wrong[fed], miswiredEnd{load: load, to: to, fed: fed, back: back})
		}
	}
	var strays []miswiredEnd
	for fed, list := range wrong {
		if own[fed] >= len(list) {
			strays = append(strays, list...)
		}
	}
	return strays
}

// nearestGround returns the ground that a terminal's net leads to first; -1 if
// to none.
func (b *Analysis) nearestGround(t int) int {
	path, _, found := b.shortest(b.AsIntended, t, func(id int) bool { return b.AsIntended.Elements[id].Joins() },
		func(t int) bool { return b.groundAt[t] >= 0 })
	if !found {
		return -1
	}
	return b.groundAt[path[len(path)-1]]
}

// netOfGround returns the net of Apart of a ground's first return; -1 if it has
// none.
func (b *Analysis) netOfGround(ground int) int {
	if returns := b.Grounds[ground].Returns; len(returns) > 0 {
		return b.NetOf(returns[0])
	}
	return -1
}

// groundName names a ground by its first return.
func (b *Analysis) groundName(ground int) string {
	returns := slices.Clone(b.Grounds[ground].Returns)
	if len(returns) == 0 {
		return b.Grounds[ground].Device
	}
	slices.SortFunc(returns, b.compareTerminals)
	return b.name(returns[0])
}

// reportStrays makes one finding for all loads that one wire takes to the wrong
// 0 V. words gets one of them and the culprit; its message has a place for "E1
// and E2 are" and one for "return".
func (b *Analysis) reportStrays(strays []miswiredEnd, words func(s miswiredEnd, culprit string) (message, advice string)) []Finding {
	type group struct{ fed, back, net int }
	groups := map[group]map[int]miswiredEnd{}
	for _, s := range strays {
		key := group{s.fed, s.back, b.NetOf(s.to)}
		if groups[key] == nil {
			groups[key] = map[int]miswiredEnd{}
		}
		groups[key][s.to] = s
	}
	var list []Finding
	for key, members := range groups {
		inside := map[int]bool{}
		for t := range members {
			inside[t] = true
		}
		for _, branch := range b.branches(&b.AsIntended.Nets().List[key.net], b.rootOf(key.net, inside), inside) {
			list = append(list, b.strayFinding(branch, members, words))
		}
	}
	sortFindings(list)
	return list
}

func (b *Analysis) strayFinding(branch branch, members map[int]miswiredEnd, words func(miswiredEnd, string) (string, string)) Finding {
	d := b.draft(nameMixedGround, Fault)
	var devices []string
	culprit := "the return of " + b.device(branch.members[0])
	if branch.wire >= 0 {
		d.blame(branch.wire)
		culprit = "wire " + b.elementName(branch.wire)
	}
	for _, t := range branch.members {
		devices = append(devices, b.device(t))
		d.devices(b.device(t)).terminals(t)
	}
	s := members[branch.members[0]]
	message, advice := words(s, culprit)
	devices = eachOnce(devices)
	d.headed("%s: return on the 0 V of another supply", judge.ListText(devices, 3))
	is, returns := "is", "returns"
	if len(devices) > 1 {
		is, returns = "are", "return"
	}
	message = fmt.Sprintf(message, judge.ListText(devices, 6)+" "+is, returns)
	d.nets(b.Parts.Loads[s.load].Feed, s.to)
	confidence := 1.0
	if branch.wire < 0 {
		confidence = 0.9
	}
	return d.say(confidence, message, advice)
}

// rootOf returns a terminal that belongs in a net: a supply's rail or return,
// else any that is no member.
func (b *Analysis) rootOf(net int, members map[int]bool) int {
	terminals := b.AsIntended.Nets().List[net].Terminals
	root := -1
	for _, t := range terminals {
		switch {
		case b.groundAt[t] >= 0 || b.role(t) == model.RoleRail:
			return t
		case root < 0 && !members[t]:
			root = t
		}
	}
	if root < 0 {
		return terminals[0]
	}
	return root
}
