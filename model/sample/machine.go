package sample

import (
	"fmt"

	"bellout/model"
)

// Machine returns a sound machine with that many terminals (at least 600) and
// one reading for every ten, the same for the same seed. At 100,000 terminals
// it has about 2,000 devices, 50 terminals each.
//
// It is built of groups. A group has two supplies: one of 36, 24 or 12 V feeds
// lamps directly and coils through drivers, one of 5 V feeds the drivers' logic,
// controllers and sensors. Every channel has its fuse and passes a plug. Each
// supply has a tree of returns to itself, all supplies meet at one star by a
// bond; no return serves two rails, so that none is critical.
func Machine(seed uint64, terminals int) *model.Machine {
	b := newBuilder(seed)
	channels := 30 // of a bank
	if terminals < 20000 {
		channels = 3
	}
	groups := max(1, (terminals-30)/groupTerminals(channels))
	house := b.house(groups)
	var all survey
	var previous model.TerminalRef
	for g := range groups {
		previous = b.group(g, channels, house, previous, &all)
	}
	if spare := terminals - b.points; spare > 0 {
		b.block("spare terminals", "cabinet", spare)
	}
	b.readings(terminals/10, &all)
	return b.machine()
}

// groupTerminals is how many terminals a group adds.
func groupTerminals(channels int) int {
	b := newBuilder(0)
	house := b.house(1)
	before := b.points
	b.group(0, channels, house, model.TerminalRef{}, &survey{})
	return b.points - before + 8 // two supplies more on each of four blocks
}

// house is what all groups hang on: mains, earth and the star of returns.
type house struct {
	line, neutral, earth, star []model.TerminalRef
	returns                    model.TerminalRef // of the first supply; zero: none yet
}

func (b *builder) house(groups int) *house {
	inlet := b.device("G", model.Device{Kind: model.KindMainsInlet, Title: "mains inlet", Zone: "cabinet", LimitAmps: model.Known(10)})
	l := b.terminal(inlet, "L", model.RoleLine, 0, "")
	n := b.terminal(inlet, "N", model.RoleNeutral, 0, "")
	pe := b.terminal(inlet, "PE", model.RoleEarth, 0, "")
	h := &house{}
	h.line = b.block("line", "cabinet", 2*groups+1)
	h.neutral = b.block("neutral", "cabinet", 2*groups+1)
	h.earth = b.block("earth", "cabinet", 2*groups+1)
	h.star = b.block("star of the returns", "cabinet", 2*groups+1)
	b.wire(l, h.line[0], metric(1.5, "BN"), 0.5)
	b.wire(n, h.neutral[0], metric(1.5, "BU"), 0.5)
	b.wire(pe, h.earth[0], metric(1.5, "GNYE"), 0.5)
	return h
}

// supply adds a supply as number of the house's rows, and the bond that
// permits its return at the star.
func (b *builder) supply(h *house, number int, volts, limitAmps float64) (rail, ret model.TerminalRef) {
	ref := b.device("G", model.Device{
		Kind: model.KindSupply, Title: model.FormatNumber(volts) + " V supply", Zone: "cabinet", LimitAmps: model.Known(limitAmps),
	})
	b.wire(h.line[number], b.terminal(ref, "L", model.RoleLine, 0, ""), metric(1.5, "BN"), 1)
	b.wire(h.neutral[number], b.terminal(ref, "N", model.RoleNeutral, 0, ""), metric(1.5, "BU"), 1)
	b.wire(h.earth[number], b.terminal(ref, "PE", model.RoleEarth, 0, ""), metric(1.5, "GNYE"), 1)
	rail = b.terminal(ref, "+", model.RoleRail, volts, "")
	ret = b.terminal(ref, "-", model.RoleReturn, 0, "")
	b.link(rail, ret, model.LinkElectronic, 0)
	b.wire(ret, h.star[number], metric(4, "BK"), 1)
	if h.returns != (model.TerminalRef{}) {
		b.add(model.Bond{From: h.returns, To: ret, Reason: "all returns meet at the star"})
	}
	h.returns = ret
	return rail, ret
}

var powerVolts = []float64{24, 36, 24, 12}

// group adds one group and returns its bus terminal, to which the next group's
// controller is joined.
func (b *builder) group(number, channels int, h *house, previous model.TerminalRef, all *survey) (bus model.TerminalRef) {
	volts := powerVolts[number%len(powerVolts)]
	zone := fmt.Sprintf("bay %d", number+1)
	p := &bay{
		builder: b, zone: zone, channels: channels, volts: volts, all: all,
		// The supply limits keep to the trunks' sizes: 4 mm2 may be fused for 23 A,
		// 2.5 mm2 for 17.4 A (IEC 60204-1 Table 6, B2).
		power: b.trunk(h, 2*number+1, volts, 20, metric(4, "RD"), metric(4, "BK"), 5, zone),
		logic: b.trunk(h, 2*number+2, 5, 10, metric(2.5, "OG"), metric(2.5, "BK"), 6, zone),
	}
	p.logicFeeds()
	p.lampBank()
	p.coilBank()
	p.lampBank()
	p.coilBank()
	p.sensorBank()
	bus = p.buses[0]
	if previous != (model.TerminalRef{}) {
		b.wire(previous, p.buses[1], awg(22, "WH"), 2)
	}
	b.wire(p.buses[2], p.buses[3], awg(22, "WH"), 1)
	all.supplies = append(all.supplies, p.logic.rail)
	all.powers = append(all.powers, p.power.rail)
	all.earth, all.star = h.earth, h.star
	return bus
}

// trunk is a supply with its main blocks.
type trunk struct {
	rail, ret      model.TerminalRef
	feeds, returns []model.TerminalRef // free places of the main blocks
	feed, back     chain               // the ways from the supply to the main blocks
	plus, minus    conductor
	feedAt, backAt int // the next free places
}

func (b *builder) trunk(h *house, number int, volts, limitAmps float64, plus, minus conductor, branches int, zone string) *trunk {
	t := &trunk{plus: plus, minus: minus}
	t.rail, t.ret = b.supply(h, number, volts, limitAmps)
	t.feeds = b.block(model.FormatNumber(volts)+" V", zone, branches+1)
	t.returns = b.block("0 V of "+model.FormatNumber(volts)+" V", zone, branches+1)
	t.feed = chain{{at: t.rail}}.then(t.feeds[0], b.wire(t.rail, t.feeds[0], plus, 1))
	t.back = chain{{at: t.ret}}.then(t.returns[0], b.wire(t.ret, t.returns[0], minus, 1))
	return t
}

// nextFeed and nextReturn lead to the next free place of a main block.
func (t *trunk) nextFeed() chain {
	t.feedAt++
	return t.feed.then(t.feeds[t.feedAt], laid{})
}

func (t *trunk) nextReturn() chain {
	t.backAt++
	return t.back.then(t.returns[t.backAt], laid{})
}
