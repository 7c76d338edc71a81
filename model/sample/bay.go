package sample

import (
	"strconv"

	"bellout/model"
)

// bay is a group while it is built.
type bay struct {
	*builder
	zone         string
	channels     int
	volts        float64
	power, logic *trunk
	all          *survey
	buses        []model.TerminalRef
	cards        []chain // fused 5 V feeds for controllers and drivers
	grounds      []chain
}

// logicFeeds lays the fused 5 V feeds of what the group thinks with.
func (p *bay) logicFeeds() {
	const cards = 5 // two drivers, three controllers
	feed, back := p.logic.nextFeed(), p.logic.nextReturn()
	bar := p.block("5 V cards", p.zone, cards+1)
	ground := p.block("0 V cards", p.zone, cards+1)
	in, out := p.fuses("fuses of the 5 V cards", p.zone, cards, 2)
	feed = feed.then(bar[0], p.wire(feed.end(), bar[0], metric(2.5, "OG"), 0.6))
	back = back.then(ground[0], p.wire(back.end(), ground[0], metric(2.5, "BK"), 0.6))
	for i := range cards {
		way := feed.then(bar[i+1], laid{})
		way = way.then(in[i], p.wire(bar[i+1], in[i], metric(2.5, "OG"), 0.3)).then(out[i], laid{})
		p.cards = append(p.cards, way)
		p.grounds = append(p.grounds, back.then(ground[i+1], laid{}))
	}
}

// card feeds a controller or a driver's logic from 5 V.
func (p *bay) card(vcc, gnd model.TerminalRef) {
	feed, back := p.cards[0], p.grounds[0]
	p.cards, p.grounds = p.cards[1:], p.grounds[1:]
	p.all.metal = append(p.all.metal,
		feed.then(vcc, p.wire(feed.end(), vcc, awg(20, "OG"), 1)),
		back.then(gnd, p.wire(back.end(), gnd, awg(20, "BK"), 1)))
	p.link(vcc, gnd, model.LinkElectronic, 0)
}

// lampBank adds lamps that are on whenever their supply is.
func (p *bay) lampBank() {
	const amps = 0.1
	near, far := p.plug("plug of the lamps", p.zone, 2*p.channels)
	feed := p.feedStrip(p.power, "lamps", 1)
	back := p.power.nextReturn()
	bar := p.block("0 V of the lamps", p.zone, p.channels+1)
	back = back.then(bar[0], p.wire(back.end(), bar[0], p.power.minus, 1))
	lamps := p.device("E", model.Device{
		Kind: model.KindLamp, Title: "lamps", Zone: p.zone, LoadAmps: model.Known(amps * float64(p.channels)),
	})
	// A filament reads about a tenth cold of what it is hot (common practice).
	cold := p.spread(p.volts / amps / 10)
	for i := range p.channels {
		section := strconv.Itoa(i + 1)
		plus := p.terminal(lamps, section+"+", model.RoleFeed, p.volts, section)
		minus := p.terminal(lamps, section+"-", model.RoleReturn, 0, section)
		p.link(plus, minus, model.LinkResistance, cold)
		way := p.through(feed[i], near[2*i], far[2*i], plus, awg(22, "RD").in(near[0].Device+"a"))
		home := p.through(back.then(bar[i+1], laid{}), near[2*i+1], far[2*i+1], minus, awg(22, "BK").in(near[0].Device+"a"))
		p.all.metal = append(p.all.metal, way, home)
		p.all.loads = append(p.all.loads, apart{
			plus: far[2*i], minus: far[2*i+1], ohms: cold + way.last() + home.last(), plug: near[0].Device,
		})
	}
}

// coilBank adds coils, each with a diode across it, that a driver switches to
// the returns of their own supply.
func (p *bay) coilBank() {
	const amps = 0.15
	near, far := p.plug("plug of the coils", p.zone, 2*p.channels)
	feed := p.feedStrip(p.power, "coils", 1)
	back := p.power.nextReturn()
	coils := p.device("Y", model.Device{
		Kind: model.KindSolenoid, Title: "paddle coils", Zone: p.zone, LoadAmps: model.Known(amps * float64(p.channels)),
	})
	driver := p.device("K", model.Device{
		Kind: model.KindDriver, Title: "coil driver", Zone: p.zone, LoadAmps: model.Known(0.05),
	})
	controller := p.device("A", model.Device{
		Kind: model.KindController, Title: "lock controller", Zone: p.zone, LoadAmps: model.Known(0.3),
	})
	vcc := p.terminal(driver, "VCC", model.RoleFeed, 5, "logic")
	gnd := p.terminal(driver, "GND", model.RoleReturn, 0, "logic")
	p.card(vcc, gnd)
	sink := p.terminal(driver, "0V", model.RoleReturn, 0, "power")
	p.all.metal = append(p.all.metal, back.then(sink, p.wire(back.end(), sink, p.power.minus, 1)))
	brain := p.controller(controller)
	ohms := p.spread(p.volts / amps)
	for i := range p.channels {
		section := strconv.Itoa(i + 1)
		plus := p.terminal(coils, section+"+", model.RoleFeed, p.volts, section)
		minus := p.terminal(coils, section+"-", model.RoleReturn, 0, section)
		p.link(plus, minus, model.LinkResistance, ohms)
		p.link(minus, plus, model.LinkDiode, 0)
		drive := p.terminal(driver, "D"+section, model.RoleDrive, 0, "power")
		p.link(drive, sink, model.LinkElectronic, 0)
		input := p.terminal(driver, "IN"+section, model.RoleSignal, 0, "logic")
		p.link(input, gnd, model.LinkElectronic, 0)
		output := p.terminal(controller, "Q"+section, model.RoleSignal, 0, "")
		p.link(output, brain, model.LinkElectronic, 0)
		p.wire(output, input, awg(22, "WH").in(driver+"s"), 1)

		way := p.through(feed[i], near[2*i], far[2*i], plus, awg(22, "RD").in(near[0].Device+"a"))
		home := p.through(chain{{at: drive}}, near[2*i+1], far[2*i+1], minus, awg(22, "VT").in(near[0].Device+"a"))
		p.all.metal = append(p.all.metal, way, home)
		p.all.loads = append(p.all.loads, apart{
			plus: far[2*i], minus: far[2*i+1], ohms: ohms + way.last() + home.last(), plug: near[0].Device,
		})
	}
}

// controller adds the supply and bus terminals of a controller and returns its
// ground.
func (p *bay) controller(ref string) (gnd model.TerminalRef) {
	vcc := p.terminal(ref, "VCC", model.RoleFeed, 5, "")
	gnd = p.terminal(ref, "GND", model.RoleReturn, 0, "")
	p.card(vcc, gnd)
	for _, mark := range []string{"BUS1", "BUS2"} {
		bus := p.terminal(ref, mark, model.RoleSignal, 0, "")
		p.link(bus, gnd, model.LinkElectronic, 0)
		p.buses = append(p.buses, bus)
	}
	return gnd
}

// sensorBank adds sensors at 5 V with a controller that reads them.
func (p *bay) sensorBank() {
	near, far := p.plug("plug of the sensors", p.zone, 3*p.channels)
	feed := p.feedStrip(p.logic, "sensors", 1)
	back := p.logic.nextReturn()
	bar := p.block("0 V of the sensors", p.zone, p.channels+1)
	back = back.then(bar[0], p.wire(back.end(), bar[0], p.logic.minus, 1))
	sensors := p.device("B", model.Device{
		Kind: model.KindSensor, Title: "level sensors", Zone: p.zone, LoadAmps: model.Known(0.02 * float64(p.channels)),
	})
	controller := p.device("A", model.Device{
		Kind: model.KindController, Title: "sensor controller", Zone: p.zone, LoadAmps: model.Known(0.3),
	})
	brain := p.controller(controller)
	for i := range p.channels {
		section := strconv.Itoa(i + 1)
		plus := p.terminal(sensors, section+"+", model.RoleFeed, 5, section)
		minus := p.terminal(sensors, section+"-", model.RoleReturn, 0, section)
		signal := p.terminal(sensors, section+"S", model.RoleSignal, 0, section)
		p.link(plus, minus, model.LinkElectronic, 0)
		p.link(signal, minus, model.LinkElectronic, 0)
		input := p.terminal(controller, "I"+section, model.RoleSignal, 0, "")
		p.link(input, brain, model.LinkElectronic, 0)
		cable := near[0].Device + "a"
		way := p.through(feed[i], near[3*i], far[3*i], plus, awg(22, "OG").in(cable))
		home := p.through(back.then(bar[i+1], laid{}), near[3*i+1], far[3*i+1], minus, awg(22, "BK").in(cable))
		line := p.through(chain{{at: input}}, near[3*i+2], far[3*i+2], signal, awg(22, "WH").in(cable))
		p.all.metal = append(p.all.metal, way, home, line)
		p.all.silent = append(p.all.silent,
			apart{plus: feed[i].end(), minus: plus, lifted: way[len(way)-3].wire},
			apart{plus: near[3*i], minus: far[3*i], plug: near[0].Device})
	}
}

// feedStrip lays a trunk's next branch to a row of fuses and returns the ways
// to their far ends, one a channel.
func (p *bay) feedStrip(t *trunk, what string, amps float64) []chain {
	way := t.nextFeed()
	bar := p.block(what+" feed", p.zone, p.channels+1)
	in, out := p.fuses("fuses of the "+what, p.zone, p.channels, amps)
	way = way.then(bar[0], p.wire(way.end(), bar[0], t.plus, 1))
	feeds := make([]chain, p.channels)
	for i := range feeds {
		// Before its fuse a wire is as thick as the trunk: the supply's limit is
		// what protects it.
		feeds[i] = way.then(bar[i+1], laid{})
		feeds[i] = feeds[i].then(in[i], p.wire(bar[i+1], in[i], t.plus, 0.3)).then(out[i], laid{})
	}
	return feeds
}

// through leads a way over a plug to a load.
func (p *bay) through(way chain, near, far, load model.TerminalRef, of conductor) chain {
	way = way.then(near, p.wire(way.end(), near, of, 2))
	return way.then(far, laid{}).then(load, p.wire(far, load, of, 1))
}
