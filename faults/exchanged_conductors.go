package faults

import (
	"cmp"
	"fmt"
	"slices"
	"sync"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// exchange is two conductors that the map shows on each other's terminals at one
// device: what each terminal wants is what the other one has. It is one mistake
// with one repair, so the findings that follow from it are left out.
type exchange struct {
	wires     [2]int
	terminals [2]int          // of the one device; wires[0] sits on terminals[0]
	crossings []int           // places in Crossings that it explains
	groups    []*misfeedGroup // misfed feeds that it explains
	cost      int             // how far from the loads it is; the nearest is meant
}

// strays are the feeds on wrong volts, grouped by cause, and what was exchanged.
type strays struct {
	once         sync.Once
	w            *wiring
	above, below []misfeedGroup
	exchanges    []exchange
}

// findStrays is worked out once. Cost: as misfeeds, and the square of the causes
// that meet at one device.
func (b *Analysis) findStrays() *strays {
	s := &b.strays
	s.once.Do(func() {
		s.w = newWiring(b)
		s.above, s.below = s.w.misfeeds(above), s.w.misfeeds(below)
		s.exchanges = append(b.exchangedBridges(), s.exchangedFeeds()...)
	})
	return s
}

// left returns the groups of a side that no exchange explains.
func (s *strays) left(groups []misfeedGroup) []misfeedGroup {
	var list []misfeedGroup
	for at := range groups {
		if !slices.ContainsFunc(s.exchanges, func(x exchange) bool { return slices.Contains(x.groups, &groups[at]) }) {
			list = append(list, groups[at])
		}
	}
	return list
}

// isExchange says whether a crossing is half of an exchange.
func (b *Analysis) isExchange(crossing int) bool {
	return slices.ContainsFunc(b.findStrays().exchanges, func(x exchange) bool { return slices.Contains(x.crossings, crossing) })
}

// landing is a conductor's end on a terminal, and what puts it under suspicion.
type landing struct {
	wire, terminal int
	cost           int
	crossing       int           // -1: none
	group          *misfeedGroup // nil: none
}

// exchangedBridges pairs crossings whose culprits end on two terminals of one
// device, each of which belongs where the other's conductor comes from: line and
// neutral, say.
func (b *Analysis) exchangedBridges() []exchange {
	nets := b.AsIntended.Nets()
	anchors := map[int]anchor(nil)
	classes := map[int][]anchor{}
	classesOf := func(t int) []anchor {
		net := nets.Of[t]
		if _, known := classes[net]; !known {
			list := []anchor{}
			for _, member := range nets.List[net].Terminals {
				if x, found := anchors[member]; found && !slices.Contains(list, x) {
					list = append(list, x)
				}
			}
			classes[net] = list
		}
		return classes[net]
	}
	suits := func(t, at int) bool {
		same := false
		for _, x := range classesOf(t) {
			for _, y := range classesOf(at) {
				if b.clash(x, y) != "" {
					return false
				}
				same = same || x == y
			}
		}
		return same
	}
	byDevice := map[string][]landing{}
	for at, crossing := range b.NetBridges {
		if len(crossing.Elements) != 1 || !b.isWire(crossing.Elements[0]) {
			continue
		}
		if anchors == nil {
			anchors = b.findAnchors()
		}
		id := crossing.Elements[0]
		for _, t := range [2]int{b.AsDrawn.Elements[id].A, b.AsDrawn.Elements[id].B} {
			byDevice[b.device(t)] = append(byDevice[b.device(t)], landing{
				wire: id, terminal: t, crossing: at, cost: len(b.Net(t).Terminals),
			})
		}
	}
	return b.pairUp(byDevice, func(x, y landing) bool {
		return suits(x.terminal, b.AsDrawn.Far(y.wire, y.terminal)) && suits(y.terminal, b.AsDrawn.Far(x.wire, x.terminal))
	})
}

// exchangedFeeds pairs causes of wrong volts that meet at one device and whose
// feeds would each be content with the other's supply.
func (s *strays) exchangedFeeds() []exchange {
	w := s.w
	byDevice := map[string][]landing{}
	add := func(group *misfeedGroup, wire, cost int) {
		e := w.c.Elements[wire]
		for _, t := range [2]int{e.A, e.B} {
			device := w.b.device(t)
			own := cost
			if device != w.b.Parts.Loads[group.feeds[0].load].Device {
				own++
			}
			byDevice[device] = append(byDevice[device], landing{wire: wire, terminal: t, cost: own, crossing: -1, group: group})
		}
	}
	const atTheRail = 100 // rather a plug is changed over than a supply's output
	for _, groups := range [2][]misfeedGroup{s.above, s.below} {
		for at := range groups {
			group := &groups[at]
			rail := w.b.Parts.Supplies[group.feeds[0].supply].Rail
			switch wires := w.wiresAt(rail); {
			case group.culprit >= 0:
				add(group, group.culprit, 0)
			case group.whole && len(wires) == 1:
				add(group, wires[0], atTheRail)
			case len(group.feeds) == 1 && group.alone:
				for place, wire := range group.wires {
					add(group, wire, 2*place)
				}
			}
		}
	}
	content := func(group, with *misfeedGroup) bool {
		supply := with.feeds[0].supply
		return !slices.ContainsFunc(group.feeds, func(f misfeed) bool {
			load := w.b.Parts.Loads[f.load]
			volts, known := w.nominalVolts(load, supply)
			where, _ := judgeVolts(load, volts)
			return !known || where != within
		})
	}
	return w.b.pairUp(byDevice, func(x, y landing) bool {
		return x.group != y.group && content(x.group, y.group) && content(y.group, x.group)
	})
}

// pairUp takes the cheapest pairs at one device that fit, each suspect once.
func (b *Analysis) pairUp(byDevice map[string][]landing, fit func(x, y landing) bool) []exchange {
	var found []exchange
	for _, device := range sortedKeys(byDevice) {
		list := byDevice[device]
		for i, x := range list {
			for _, y := range list[i+1:] {
				if x.wire == y.wire || x.terminal == y.terminal || !fit(x, y) {
					continue
				}
				if b.compareTerminals(y.terminal, x.terminal) < 0 {
					x, y = y, x
				}
				one := exchange{wires: [2]int{x.wire, y.wire}, terminals: [2]int{x.terminal, y.terminal}, cost: x.cost + y.cost}
				for _, l := range [2]landing{x, y} {
					if l.crossing >= 0 {
						one.crossings = append(one.crossings, l.crossing)
					}
					if l.group != nil {
						one.groups = append(one.groups, l.group)
					}
				}
				found = append(found, one)
			}
		}
	}
	slices.SortStableFunc(found, func(x, y exchange) int {
		return cmp.Or(cmp.Compare(x.cost, y.cost), b.compareTerminals(x.terminals[0], y.terminals[0]), b.compareTerminals(x.terminals[1], y.terminals[1]))
	})
	takenCrossing, takenGroup := map[int]bool{}, map[*misfeedGroup]bool{}
	return slices.DeleteFunc(found, func(x exchange) bool {
		for _, at := range x.crossings {
			if takenCrossing[at] {
				return true
			}
		}
		for _, group := range x.groups {
			if takenGroup[group] {
				return true
			}
		}
		for _, at := range x.crossings {
			takenCrossing[at] = true
		}
		for _, group := range x.groups {
			takenGroup[group] = true
		}
		return false
	})
}

// exchangeSure: at which end two conductors were exchanged is a guess; that they
// were is not.
const exchangeSure = 0.9

func (b *Analysis) exchangeFinding(x exchange) Finding {
	one, other := x.terminals[0], x.terminals[1]
	d := b.draft(nameSwapped, Fault).blame(x.wires[:]...).blameTerminals(one, other).nets(one, other)
	wires := fmt.Sprintf("%s and %s", b.elementName(x.wires[0]), b.elementName(x.wires[1]))
	device := b.device(one)
	d.headed("%s and %s are swapped at %s", b.elementName(x.wires[0]), b.elementName(x.wires[1]), device)
	if len(x.groups) == 0 {
		return b.exchangedMains(d, x, wires)
	}
	w := b.findStrays().w
	var stands []string
	for _, group := range x.groups {
		var needs []string
		for _, f := range group.feeds {
			load := b.Parts.Loads[f.load]
			d.blameTerminals(load.Feed).nets(load.Feed)
			needs = append(needs, fmt.Sprintf("%s (made for %s)", b.name(load.Feed), madeFor(load)))
		}
		first := group.feeds[0]
		verb := "stands"
		if len(needs) > 1 {
			verb = "stand"
		}
		stands = append(stands, fmt.Sprintf("%s %s on the %s V of %s", judge.ListText(needs, 6), verb, model.MeterFigures(first.volts), w.ref(b.Parts.Supplies[first.supply].Rail)))
	}
	message := fmt.Sprintf("%s and %s are swapped: %s, and %s. Each wants what the other has; the wires are %s.",
		b.name(one), b.name(other), stands[0], stands[1], wires)
	advice := fmt.Sprintf("Power off, plug out. Unplug what hangs on them; power on only to read the volts and their sign at the open plug, then off and 0 V again. Swap %s at %s and mark them, "+
		"or correct the map if the machine is right. Take what stood on too many volts as damaged until it has run on a fused bench supply.", wires, device)
	for _, group := range x.groups {
		if tooLive(group.feeds[0].volts) {
			advice = fmt.Sprintf("Leave the machine off, plug out, and do not probe this live: follow %s dead, swap them at %s, and have a competent person measure.", wires, device)
		}
	}
	return d.say(exchangeSure, message, advice)
}

// exchangedMains words an exchange that crossings show.
func (b *Analysis) exchangedMains(d *draft, x exchange, wires string) Finding {
	one, other := x.terminals[0], x.terminals[1]
	from, to := b.AsDrawn.Far(x.wires[0], one), b.AsDrawn.Far(x.wires[1], other)
	d.terminals(from, to).nets(from, to)
	message := fmt.Sprintf("%s and %s are swapped at %s: %s joins %s to %s, and %s joins %s to %s.",
		b.name(one), b.name(other), b.device(one), b.elementName(x.wires[0]), b.name(one), b.netAt(from),
		b.elementName(x.wires[1]), b.name(other), b.netAt(to))
	mains := slices.ContainsFunc([]int{one, other, from, to}, func(t int) bool {
		kind := b.Net(t).Kind
		return kind == graphs.NetLine || kind == graphs.NetNeutral || b.role(t) == model.RoleLine || b.role(t) == model.RoleNeutral
	})
	if !mains {
		advice := fmt.Sprintf("All power off and every load out: %s to %s and %s to %s below 0.5 ohm prove it. Swap %s and mark them, or correct the map if the machine is right",
			b.name(one), b.name(from), b.name(other), b.name(to), wires)
		if b.allLow(one, other, from, to) {
			advice += "; before power returns check the volts at the open plug"
		}
		return d.say(exchangeSure, message, advice+".")
	}
	switch poles := []int{one, other}; {
	case slices.ContainsFunc(poles, b.onEarth) && slices.ContainsFunc(poles, func(t int) bool { return b.Net(t).Kind == graphs.NetNeutral }):
		message += " Neutral is joined to earth: what the loads return runs over metal that hands touch."
	case slices.ContainsFunc(poles, b.onEarth):
		message += " The metal that hands touch stands on the line: it kills."
	default:
		message += " A switch or fuse in the line then sits in the neutral, and the device stays live when it is off."
	}
	return d.say(exchangeSure, message, fmt.Sprintf("Stop: this is the mains. Pull the plug and keep it in sight; never probe it live. Dead, in ohms only: %s to %s and %s to %s below 0.5 ohm prove it. "+
		"A licensed person decides, swaps %s and tests.", b.name(one), b.name(from), b.name(other), b.name(to), wires))
}
