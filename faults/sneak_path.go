package faults

import (
	"cmp"
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
)

var ruleSneakPath = Rule{
	Name:  "sneak-path",
	Title: "A way from one rail to another through loads that touches no return",
	Why: "Two loads of different rails that meet at one point, such as one driver output, are in series between the rails: with " +
		"the driver off, current runs from the higher volts through both of them into the lower rail. Lamps glow, coils hold, and " +
		"a rail that is switched off stays half alive. A load whose return lands on another rail does the same by itself. " +
		"Diodes let current through one way only. A load across a plus and a minus rail of one 0 V is fed as it should be, and so is a rail through a diode alone, " +
		"be it a diode OR or a charger, unless that lifts it more than 20 % above its own volts and no bond from rail to rail permits it.",
	Check: checkSneakPath,
}

// passage is a way for current between two nets: a load from its feed to its
// return, a resistance, a diode.
type passage struct {
	from, to int // terminals
	load     int // place in Parts.Loads; -1 for an element
	element  int // -1 for a load
	oneWay   bool
}

// passages lists, by net of Apart, what leads on from there other than metal.
func (b *Analysis) passages() map[int][]passage {
	list := map[int][]passage{}
	add := func(p passage) {
		from, to := b.NetOf(p.from), b.NetOf(p.to)
		if from != to && !b.noSneak(from) && !b.noSneak(to) {
			list[from] = append(list[from], p)
			list[to] = append(list[to], p)
		}
	}
	for at, load := range b.Parts.Loads {
		for _, t := range load.Returns {
			add(passage{from: load.Feed, to: t, load: at, element: -1})
		}
	}
	for id, e := range b.AsIntended.Elements {
		switch e.Kind {
		case graphs.Resistance:
			if !b.ofLoad(e) && !b.isShunt(e) {
				add(passage{from: e.A, to: e.B, load: -1, element: id})
			}
		case graphs.Diode:
			add(passage{from: e.A, to: e.B, load: -1, element: id, oneWay: true})
		}
	}
	for _, there := range list {
		slices.SortFunc(there, func(p, q passage) int {
			return cmp.Or(b.compareTerminals(p.from, q.from), b.compareTerminals(p.to, q.to), cmp.Compare(q.load, p.load))
		})
	}
	return list
}

// ofLoad says whether a resistance is a load's own, from its feed to its return.
func (b *Analysis) ofLoad(e graphs.Element) bool {
	for _, load := range b.loadsAt[e.A] {
		l := b.Parts.Loads[load]
		if (l.Feed == e.A || slices.Contains(l.Returns, e.A)) && (l.Feed == e.B || slices.Contains(l.Returns, e.B)) {
			return true
		}
	}
	return false
}

// noSneak says whether a net ends a sneak path rightly: returns, earth, mains.
func (b *Analysis) noSneak(net int) bool {
	switch b.AsIntended.Nets().List[net].Kind {
	case graphs.NetReturn, graphs.NetEarth, graphs.NetLine, graphs.NetNeutral:
		return true
	default:
		return len(b.groundsAt[net]) > 0
	}
}

func checkSneakPath(b *Analysis) []Finding {
	passages := b.passages()
	var list []Finding
	for _, s := range b.sneaks(passages) {
		list = append(list, b.sneakFinding(s, passages))
	}
	sortFindings(list)
	return append(list, b.explained["sneak-path"]...)
}

// sneaks finds the ways from rail to rail.
func (b *Analysis) sneaks(passages map[int][]passage) []sneak {
	reported := map[int]bool{} // nets between the rails that a finding covers
	var list []sneak
	for _, net := range b.railNets() {
		seen := map[int]bool{} // nets from which this rail leads to no other
		for _, first := range passages[net] {
			if found, open := b.sneakFrom(net, first, passages, reported, seen); open {
				list = append(list, found)
			}
		}
	}
	return list
}

// railNets returns the rail nets of Apart, those of more volts first: current
// runs from them.
func (b *Analysis) railNets() []int {
	var nets []int
	for net, supplies := range b.suppliesAt {
		if len(supplies) > 0 {
			nets = append(nets, net)
		}
	}
	slices.SortStableFunc(nets, func(x, y int) int {
		one, other := b.Parts.Supplies[b.suppliesAt[x][0]], b.Parts.Supplies[b.suppliesAt[y][0]]
		switch {
		case one.Volts.Or(0) != other.Volts.Or(0):
			if one.Volts.Or(0) > other.Volts.Or(0) {
				return -1
			}
			return 1
		default:
			return b.compareTerminals(one.Rail, other.Rail)
		}
	})
	return nets
}

// sneak is one way from rail to rail.
type sneak struct {
	passages []passage
	nets     []int // every net that it touches, both rails included
}

// sneakFrom follows one passage out of a rail net to the nearest other rail.
// Nets between rails are covered once: all loads that meet there are one matter.
func (b *Analysis) sneakFrom(rail int, first passage, passages map[int][]passage, reported, seen map[int]bool) (found sneak, leads bool) {
	next, open := b.through(first, rail)
	if !open {
		return sneak{}, false
	}
	if len(b.suppliesAt[next]) > 0 {
		if !b.runsTo(rail, next) || b.isMeantFrom(rail, next, first) || reported[-1-b.passageKey(first)] {
			return sneak{}, false
		}
		reported[-1-b.passageKey(first)] = true
		return sneak{passages: []passage{first}, nets: []int{rail, next}}, true
	}
	if reported[next] || seen[next] {
		return sneak{}, false
	}
	came := map[int]passage{next: first}
	ring := []int{next}
	for len(ring) > 0 {
		net := ring[0]
		ring = ring[1:]
		seen[net] = true
		for _, p := range passages[net] {
			far, open := b.through(p, net)
			if !open || far == rail {
				continue
			}
			if _, known := came[far]; known || seen[far] {
				continue
			}
			if len(b.suppliesAt[far]) == 0 {
				came[far] = p
				ring = append(ring, far)
				continue
			}
			if !b.runsTo(rail, far) {
				continue
			}
			found = sneak{passages: []passage{p}, nets: []int{far, net}}
			for at := net; at != rail; {
				step := came[at]
				at = b.NetOf(step.from) + b.NetOf(step.to) - at
				found.passages, found.nets = append(found.passages, step), append(found.nets, at)
			}
			slices.Reverse(found.passages)
			slices.Reverse(found.nets)
			b.cover(next, passages, reported)
			return found, !b.lostReturn(found) // no-return says it
		}
	}
	return sneak{}, false
}

// cover marks every net between rails that hangs together with one.
func (b *Analysis) cover(net int, passages map[int][]passage, reported map[int]bool) {
	reported[net] = true
	for stack := []int{net}; len(stack) > 0; {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, p := range passages[at] {
			far := b.NetOf(p.from) + b.NetOf(p.to) - at
			if len(b.suppliesAt[far]) == 0 && !reported[far] {
				reported[far] = true
				stack = append(stack, far)
			}
		}
	}
}

// through returns the net at the other end of a passage, if current may go
// there from a net.
func (b *Analysis) through(p passage, net int) (far int, open bool) {
	from, to := b.NetOf(p.from), b.NetOf(p.to)
	if net == from {
		return to, true
	}
	return from, !p.oneWay
}

// passageKey tells the passages of a machine apart.
func (b *Analysis) passageKey(p passage) int {
	if p.load >= 0 {
		return p.load
	}
	return len(b.Parts.Loads) + p.element
}

// runsTo says whether current may run from one rail to another: its volts are
// not lower, or one of the two is not known.
func (b *Analysis) runsTo(from, to int) bool {
	for _, one := range b.suppliesAt[from] {
		for _, other := range b.suppliesAt[to] {
			x, y := b.Parts.Supplies[one].Volts, b.Parts.Supplies[other].Volts
			if !x.Known || !y.Known || x.Value >= y.Value {
				return true
			}
		}
	}
	return false
}

// mostLift is how far a rail may be lifted through a diode by another one before that
// is a fault: the end of charge of a lead battery, 2.4 V against 2.0 V a cell
// (common practice).
const mostLift = 1.2

// alike says whether one of two supplies may stand on the other's volts.
func alike(one, other graphs.Supply) bool {
	x, y := one.Volts, other.Volts
	return x.Known && y.Known && x.Value*y.Value > 0 && max(x.Value/y.Value, y.Value/x.Value) <= mostLift*(1+1e-9)
}

// isMeantFrom says whether a passage leads from rail to rail as somebody meant it:
// a load of what lies between a plus and a minus, a diode alone.
func (b *Analysis) isMeantFrom(from, to int, p passage) bool {
	for _, one := range b.suppliesAt[from] {
		for _, other := range b.suppliesAt[to] {
			x, y := b.Parts.Supplies[one].Volts, b.Parts.Supplies[other].Volts
			switch {
			case b.MayMeet(one, other):
				return true
			case !x.Known || !y.Known:
			case p.load >= 0 && x.Value*y.Value < 0 && b.MayBeCommon(b.groundOfSupply[one], b.groundOfSupply[other]):
				return true
			case p.oneWay && x.Value*y.Value > 0 && (alike(b.Parts.Supplies[one], b.Parts.Supplies[other]) || b.liftsLoads(one, to)):
				return true
			}
		}
	}
	return false
}

// liftsLoads says whether a supply puts too many volts on loads of a net, through
// diodes: over-voltage says it.
func (b *Analysis) liftsLoads(supply, net int) bool {
	return slices.ContainsFunc(b.findStrays().above, func(group misfeedGroup) bool {
		return slices.ContainsFunc(group.feeds, func(f misfeed) bool {
			return f.behind && f.supply == supply && b.NetOf(b.Parts.Loads[f.load].Feed) == net
		})
	})
}

// lostReturn says whether the loads of a way meet at a return that reaches no
// supply: then that is the cause.
func (b *Analysis) lostReturn(s sneak) bool {
	if len(s.passages) < 2 {
		return false
	}
	for _, p := range s.passages {
		if p.load >= 0 && len(b.Returning(p.load)) == 0 && !b.unknownDriver(p.load) {
			return true
		}
	}
	return false
}

func (b *Analysis) sneakFinding(s sneak, passages map[int][]passage) Finding {
	d := b.draft("sneak-path", Fault)
	first, last := s.nets[0], s.nets[len(s.nets)-1]
	high, low := b.Parts.Supplies[b.suppliesAt[first][0]], b.Parts.Supplies[b.suppliesAt[last][0]]
	culprits, rivals := b.sneakCulprits(s, passages)
	d.blame(culprits...).blame(rivals...)
	var through []string
	for _, p := range s.passages {
		if p.load >= 0 {
			through = append(through, b.Parts.Loads[p.load].Device)
		} else {
			through = append(through, b.elementName(p.element))
			d.elements(p.element)
		}
		d.devices(b.device(p.from)).terminals(p.from, p.to)
	}
	for _, net := range s.nets {
		d.rest.nets = append(d.rest.nets, b.AsIntended.Nets().List[net].Name)
	}
	d.first.nets = []string{b.AsIntended.Nets().List[first].Name, b.AsIntended.Nets().List[last].Name}
	d.headed("Current sneaks from %s to %s through %s", b.AsIntended.Nets().List[first].Name, b.AsIntended.Nets().List[last].Name, judge.ListText(eachOnce(through), 2))
	where := ""
	if len(s.nets) > 2 {
		where = " They meet at " + b.AsIntended.Nets().List[s.nets[1]].Name + "."
	}
	blame := ""
	if len(culprits) > 0 {
		blame = fmt.Sprintf(" Most likely at fault: %s.", b.culpritText(culprits)) + b.rivalText(NetBridge{Rivals: rivals})
	}
	message := fmt.Sprintf("Current can go from %s (%s) through %s to %s (%s) and touches no return.%s%s",
		b.AsIntended.Nets().List[first].Name, b.name(high.Rail), judge.ListText(eachOnce(through), 4),
		b.AsIntended.Nets().List[last].Name, b.name(low.Rail), where, blame)
	advice := "Power off and give each rail's loads an output of their own, or a diode in each feed."
	if b.allLow(high.Rail, low.Rail) {
		advice = fmt.Sprintf("Switch %s off, leave %s on, drivers off: volts on %s that should not be there prove it; they go when %s is unplugged. "+
			"Then power off and give each rail's loads an output of their own, or a diode in each feed.",
			b.AsIntended.Nets().List[last].Name, b.AsIntended.Nets().List[first].Name, b.AsIntended.Nets().List[last].Name, b.unplugText(through[0]))
	}
	confidence := 1.0
	if len(rivals) > 0 {
		confidence = max(0.3, 1/float64(1+len(rivals)))
	}
	return d.say(confidence, message, advice)
}

// sneakCulprits returns what joins the loads of the two rails: of a load that
// lands on a foreign rail the wire at its return, else the cheapest cut, inside
// the net where they meet, between the loads of the one rail and those of the
// other.
func (b *Analysis) sneakCulprits(s sneak, passages map[int][]passage) (culprits, rivals []int) {
	if len(s.nets) == 2 {
		p := s.passages[0]
		t := p.to
		if b.NetOf(t) == s.nets[0] {
			t = p.from
		}
		members := map[int]bool{t: true}
		for _, branch := range b.branches(&b.AsIntended.Nets().List[s.nets[1]], b.rootOf(s.nets[1], members), members) {
			if branch.wire >= 0 {
				return []int{branch.wire}, nil
			}
		}
		return nil, nil
	}
	net := s.nets[1]
	sides := map[int]int8{}
	for _, p := range passages[net] {
		near, far := p.from, p.to
		if b.NetOf(near) != net {
			near, far = far, near
		}
		switch {
		case b.NetOf(far) == s.nets[0]:
			sides[near] = sourceSide
		case sides[near] == noSide:
			sides[near] = sinkSide
		}
	}
	return b.cutBetween(b.AsIntended.Nets().List[net].Terminals, sides)
}
