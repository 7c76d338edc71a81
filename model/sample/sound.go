package sample

import (
	"strconv"

	"bellout/model"
)

// Sound returns a small sound machine of structures that look wrong to a rule of
// thumb and are not, the same for the same seed: sources in series, plus and
// minus, diode ORs, a charger on its battery, bridges, strips fed at both ends,
// shunts, H-bridges, isolators. Each stands by itself or has its 0 V on one star,
// by a bond; the star is on earth, or tied to it by a resistor, or floats.
// Everything carries what it must: no fuse is too large and next to nothing is
// lost on the way.
func Sound(seed uint64) *model.Machine {
	b := &island{builder: newBuilder(seed)}
	star := b.block("star of the returns", "cabinet", 8)
	var bonded model.TerminalRef
	taken := 0
	for range 1 + b.random.IntN(4) {
		zero := structures[b.random.IntN(len(structures))](b)
		if zero == (model.TerminalRef{}) || b.random.IntN(3) == 0 {
			continue
		}
		b.short(zero, star[taken])
		if taken > 0 {
			b.add(model.Bond{From: bonded, To: zero, Reason: "the returns meet at the star"})
		}
		bonded = zero
		taken++
	}
	b.earth(star[len(star)-1])
	return b.machine()
}

// structures lay one structure each and return a return of its supplies that may
// go to the star; the zero reference: none may.
var structures = []func(*island) model.TerminalRef{
	(*island).plain, (*island).series, (*island).plusMinus, (*island).twoRails, (*island).diodeOR, (*island).module,
	(*island).batteryBus, (*island).charger, (*island).bridge, (*island).centreTap, (*island).strip, (*island).shunt,
	(*island).hBridge, (*island).isolator, (*island).brake,
}

// island is a structure while it is built. All of its copper is 2.5 mm2, which may
// be fused for 17.4 A (IEC 60204-1 Table 6, B2), and no source gives more.
type island struct{ *builder }

const sourceAmps = 15

func (b *island) short(from, to model.TerminalRef)  { b.wire(from, to, metric(2.5, "BK"), 0.5) }
func (b *island) lead(from, to model.TerminalRef)   { b.wire(from, to, metric(2.5, "RD"), 2) }
func (b *island) signal(from, to model.TerminalRef) { b.wire(from, to, metric(0.75, "WH"), 2) }

func (b *island) source(kind model.DeviceKind, volts float64) (rail, zero model.TerminalRef) {
	g := b.device("G", model.Device{Kind: kind, Zone: "cabinet", LimitAmps: model.Known(sourceAmps)})
	return b.terminal(g, "+", model.RoleRail, volts, ""), b.terminal(g, "-", model.RoleReturn, 0, "")
}

func (b *island) pickVolts() float64 { return []float64{5, 12, 24}[b.random.IntN(3)] }

func (b *island) pickKind() model.DeviceKind {
	return []model.DeviceKind{model.KindSupply, model.KindBattery}[b.random.IntN(2)]
}

// pass adds a device of nothing but ways through.
func (b *island) pass(letter string, kind model.DeviceKind, marks ...string) []model.TerminalRef {
	ref := b.device(letter, model.Device{Kind: kind, Zone: "cabinet"})
	list := make([]model.TerminalRef, len(marks))
	for i, mark := range marks {
		list[i] = b.terminal(ref, mark, model.RolePass, 0, "")
	}
	return list
}

// diodes leads some terminals to a common cathode.
func (b *island) diodes(cathode model.TerminalRef, anodes ...model.TerminalRef) {
	for _, anode := range anodes {
		b.link(anode, cathode, model.LinkDiode, 0)
	}
}

// fused leads to a new fuse and returns what is behind it.
func (b *island) fused(from model.TerminalRef) model.TerminalRef {
	in, out := b.fuses("fuse", "cabinet", 1, float64(4+b.random.IntN(8)))
	b.short(from, in[0])
	return out[0]
}

// part adds a device of the bay with a feed and a return of their own wires.
func (b *island) part(letter string, kind model.DeviceKind, amps float64, plus, zero model.TerminalRef, volts, least, most float64) (ref string, feed, back model.TerminalRef) {
	ref = b.device(letter, model.Device{Kind: kind, Zone: "bay", LoadAmps: model.Known(amps)})
	feed, back = b.feed(ref, "+", volts, least, most), b.terminal(ref, "-", model.RoleReturn, 0, "")
	b.lead(plus, feed)
	b.lead(back, zero)
	return ref, feed, back
}

// controller adds a controller and returns its signal.
func (b *island) controller(amps float64, plus, zero model.TerminalRef, volts, least, most float64) model.TerminalRef {
	a, feed, back := b.part("A", model.KindController, amps, plus, zero, volts, least, most)
	b.link(feed, back, model.LinkElectronic, 0)
	return b.terminal(a, "D", model.RoleSignal, 0, "")
}

// loads hangs one to three lamps or controllers between two places; controllers
// talk to one another.
func (b *island) loads(plus, zero model.TerminalRef, volts, least, most float64) {
	var last model.TerminalRef
	for range 1 + b.random.IntN(3) {
		amps := float64(1+b.random.IntN(4)) / 10
		if b.random.IntN(2) == 0 {
			_, feed, back := b.part("E", model.KindLamp, amps, plus, zero, volts, least, most)
			b.link(feed, back, model.LinkResistance, b.spread(volts/amps/10))
			continue
		}
		signal := b.controller(amps, plus, zero, volts, least, most)
		if last != (model.TerminalRef{}) {
			b.signal(last, signal)
		}
		last = signal
	}
}

// feed adds a load's feed; limits of 0 are those of its volts.
func (b *island) feed(device, mark string, volts, least, most float64) model.TerminalRef {
	t := model.Terminal{Device: device, Mark: mark, Role: model.RoleFeed, Volts: model.Known(volts)}
	if most != 0 {
		t.MinVolts, t.MaxVolts = model.Known(least), model.Known(most)
	}
	b.points++
	b.add(t)
	return t.Ref()
}

func (b *island) plain() model.TerminalRef {
	volts := b.pickVolts()
	rail, zero := b.source(b.pickKind(), volts)
	b.loads(b.fused(rail), zero, volts, 0, 0)
	return zero
}

// series stacks two or three sources, with loads or a step-down or nothing across
// all of them, and maybe loads on the lowest.
func (b *island) series() model.TerminalRef {
	kind := b.pickKind()
	lowest, zero := b.source(kind, 12)
	top, volts := lowest, 12.0
	for range 1 + b.random.IntN(2) {
		rail, back := b.source(kind, 12)
		b.short(top, back)
		top, volts = rail, volts+12
	}
	switch b.random.IntN(3) {
	case 0:
		b.loads(b.fused(top), zero, volts, 0, 0)
	case 1:
		u := b.device("U", model.Device{Kind: model.KindConverter, Zone: "cabinet", LoadAmps: model.Known(1), LimitAmps: model.Known(4)})
		in, back, out := b.feed(u, "IN", volts, 18, 40), b.terminal(u, "GND", model.RoleReturn, 0, ""), b.terminal(u, "OUT", model.RoleRail, 5, "")
		b.lead(b.fused(top), in)
		b.lead(back, zero)
		b.loads(out, back, 5, 0, 0)
	}
	if b.random.IntN(2) == 0 {
		b.loads(b.fused(lowest), zero, 12, 0, 0)
	}
	return zero
}

func (b *island) amplifier(plus, minus, zero model.TerminalRef) {
	a := b.device("A", model.Device{Kind: model.KindAmplifier, Zone: "bay", LoadAmps: model.Known(0.6)})
	b.lead(plus, b.terminal(a, "V+", model.RoleFeed, 12, ""))
	b.lead(minus, b.terminal(a, "V-", model.RoleFeed, -12, ""))
	b.lead(b.terminal(a, "0", model.RoleReturn, 0, ""), zero)
}

// plusMinus makes plus and minus of two isolated supplies.
func (b *island) plusMinus() model.TerminalRef {
	plus, middle := b.source(model.KindSupply, 12)
	upper, minus := b.source(model.KindSupply, 12)
	bar := b.block("0 V", "cabinet", 3)
	b.short(middle, bar[0])
	b.short(upper, bar[1])
	b.amplifier(plus, minus, bar[2])
	return middle
}

// twoRails is one supply of plus and minus, with a load across both.
func (b *island) twoRails() model.TerminalRef {
	g := b.device("G", model.Device{Kind: model.KindSupply, Zone: "cabinet", LimitAmps: model.Known(sourceAmps)})
	plus, minus, zero := b.terminal(g, "+", model.RoleRail, 12, ""), b.terminal(g, "-", model.RoleRail, -12, ""), b.terminal(g, "0", model.RoleReturn, 0, "")
	b.amplifier(plus, minus, zero)
	b.part("E", model.KindLamp, 0.3, plus, minus, 24, 0, 0)
	return zero
}

// common leads the returns of two supplies to one block, by a bond, and returns
// its free place.
func (b *island) common(zero, other model.TerminalRef) model.TerminalRef {
	bar := b.block("0 V", "cabinet", 3)
	b.short(zero, bar[0])
	b.short(other, bar[1])
	b.add(model.Bond{From: zero, To: other, Reason: "they share their loads"})
	return bar[2]
}

// diodeOR lets two supplies feed loads through a diode each.
func (b *island) diodeOR() model.TerminalRef {
	volts := b.pickVolts()
	one, zero := b.source(model.KindSupply, volts)
	other, back := b.source(b.pickKind(), volts)
	v := b.pass("V", model.KindOther, "A1", "A2", "K")
	b.diodes(v[2], v[0], v[1])
	b.short(one, v[0])
	b.short(other, v[1])
	b.loads(b.fused(v[2]), b.common(zero, back), volts, 0, 0)
	return zero
}

// module is a diode OR with a rail behind it.
func (b *island) module() model.TerminalRef {
	one, zero := b.source(model.KindSupply, 24)
	other, back := b.source(model.KindSupply, 24)
	v := b.device("V", model.Device{Kind: model.KindOther, Zone: "cabinet", LoadAmps: model.Known(0.1), LimitAmps: model.Known(10)})
	in, too := b.terminal(v, "IN1", model.RoleFeed, 24, ""), b.terminal(v, "IN2", model.RoleFeed, 24, "")
	gnd, out := b.terminal(v, "GND", model.RoleReturn, 0, ""), b.terminal(v, "OUT", model.RoleRail, 24, "")
	b.diodes(out, in, too)
	b.short(one, in)
	b.short(other, too)
	b.short(gnd, b.common(zero, back))
	b.loads(b.fused(out), gnd, 24, 0, 0)
	return zero
}

// batteryBus is a bus that a battery holds and a supply feeds through a diode.
func (b *island) batteryBus() model.TerminalRef {
	rail, zero := b.source(model.KindSupply, 13.8)
	battery, back := b.source(model.KindBattery, 12)
	v := b.pass("V", model.KindOther, "A", "K")
	b.diodes(v[1], v[0])
	bus := b.block("bus", "cabinet", 3)
	b.short(rail, v[0])
	b.short(v[1], bus[0])
	b.short(battery, bus[1])
	b.loads(b.fused(bus[2]), b.common(zero, back), 12, 10, 15)
	return zero
}

// charger is a charger on its battery, by a bond from rail to rail.
func (b *island) charger() model.TerminalRef {
	rail, zero := b.source(model.KindSupply, 13.8)
	battery, back := b.source(model.KindBattery, 12)
	bus, bar := b.block("bus", "cabinet", 3), b.block("0 V", "cabinet", 3)
	b.short(rail, bus[0])
	b.short(battery, bus[1])
	b.add(model.Bond{From: rail, To: battery, Reason: "a charger and its battery"})
	b.short(zero, bar[0])
	b.short(back, bar[1])
	b.loads(b.fused(bus[2]), bar[2], 12, 10, 15)
	return zero
}

// bridge is a winding and a bridge of diodes, the AC side named in one way or
// another, the DC side a supply or not.
func (b *island) bridge() model.TerminalRef {
	t := b.device("T", model.Device{Kind: model.KindSupply, Zone: "cabinet", LimitAmps: model.Known(4)})
	winding := []model.Role{model.RoleReturn, model.RoleReturn, model.RoleRail}[b.random.IntN(3)]
	v := b.device("V", model.Device{Kind: model.KindOther, Zone: "cabinet", LoadAmps: model.Known(1), LimitAmps: model.Known(4)})
	ac, plus, minus := model.RolePass, model.RolePass, model.RolePass
	if b.random.IntN(2) == 0 {
		plus, minus = model.RoleRail, model.RoleReturn
		ac = []model.Role{model.RolePass, model.RoleFeed}[b.random.IntN(2)]
	}
	x, y := b.terminal(v, "~1", ac, 18, ""), b.terminal(v, "~2", ac, 18, "")
	p, m := b.terminal(v, "+", plus, 24, ""), b.terminal(v, "-", minus, 0, "")
	b.diodes(p, x, y)
	b.diodes(x, m)
	b.diodes(y, m)
	b.short(b.terminal(t, "S1", model.RoleRail, 18, ""), x)
	b.short(b.terminal(t, "S2", winding, 18, ""), y)
	b.loads(p, m, 24, 15, 30)
	if minus == model.RoleReturn {
		return m
	}
	return model.TerminalRef{}
}

// centreTap is a winding with a tap and two diodes.
func (b *island) centreTap() model.TerminalRef {
	t := b.device("T", model.Device{Kind: model.KindSupply, Zone: "cabinet", LimitAmps: model.Known(4)})
	v := b.pass("V", model.KindOther, "A1", "A2", "K")
	b.diodes(v[2], v[0], v[1])
	b.short(b.terminal(t, "S1", model.RoleRail, 12, ""), v[0])
	b.short(b.terminal(t, "S2", model.RoleRail, 12, ""), v[1])
	tap := b.terminal(t, "0", model.RoleReturn, 0, "")
	b.loads(v[2], tap, 12, 9, 18)
	return tap
}

// strip is one to three strips in a row, fed at both ends, over plugs or not.
func (b *island) strip() model.TerminalRef {
	rail, zero := b.source(b.pickKind(), 24)
	plus, minus := b.block("24 V", "cabinet", 3), b.block("0 V", "cabinet", 3)
	b.short(b.fused(rail), plus[0])
	b.short(zero, minus[0])
	over := func(i int) (feed, home model.TerminalRef) {
		if b.random.IntN(2) == 0 {
			return plus[i], minus[i]
		}
		near, far := b.plug("plug of the strip", "bay", 2)
		b.lead(plus[i], near[0])
		b.lead(near[1], minus[i])
		return far[0], far[1]
	}
	feed, home := over(1)
	last, end := over(2)
	for range 1 + b.random.IntN(3) {
		e := b.device("E", model.Device{Kind: model.KindLEDStrip, Zone: "bay", LoadAmps: model.Known(0.8)})
		x, back := b.terminal(e, "A+", model.RoleFeed, 24, ""), b.terminal(e, "A-", model.RoleReturn, 0, "")
		y, out := b.terminal(e, "B+", model.RoleFeed, 24, ""), b.terminal(e, "B-", model.RoleReturn, 0, "")
		b.link(x, y, model.LinkSolid, 0)
		b.link(back, out, model.LinkSolid, 0)
		b.lead(feed, x)
		b.lead(back, home)
		feed, home = y, out
	}
	b.lead(last, feed)
	b.lead(home, end)
	return zero
}

// shunt measures the current of some loads, in their return or in their feed.
func (b *island) shunt() model.TerminalRef {
	volts := b.pickVolts()
	rail, zero := b.source(b.pickKind(), volts)
	plus := b.fused(rail)
	r := b.pass("R", model.KindOther, "1", "2")
	b.link(r[0], r[1], model.LinkResistance, 0.005)
	near, feed, back := zero, plus, r[1]
	if b.random.IntN(2) == 0 {
		near, feed, back = plus, r[1], zero
	}
	b.short(near, r[0])
	b.loads(feed, back, volts, 0, 0)
	a, vcc, gnd := b.part("A", model.KindController, 0.1, plus, back, volts, 0, 0)
	b.link(vcc, gnd, model.LinkElectronic, 0)
	for i, tap := range r {
		b.lead(tap, b.terminal(a, "I"+strconv.Itoa(i+1), model.RoleSignal, 0, ""))
	}
	return zero
}

// hBridge is a driver with a motor across two outputs.
func (b *island) hBridge() model.TerminalRef {
	rail, zero := b.source(model.KindSupply, 24)
	k := b.device("K", model.Device{Kind: model.KindDriver, Zone: "bay"})
	b.lead(b.fused(rail), b.terminal(k, "VM", model.RoleFeed, 24, ""))
	b.lead(b.terminal(k, "GND", model.RoleReturn, 0, ""), zero)
	m := b.device("M", model.Device{Kind: model.KindMotor, Zone: "bay", LoadAmps: model.Known(0.8)})
	roles := [][2]model.Role{{model.RolePass, model.RolePass}, {model.RoleFeed, model.RoleReturn}}[b.random.IntN(2)]
	one, other := b.terminal(m, "1", roles[0], 24, ""), b.terminal(m, "2", roles[1], 0, "")
	b.link(one, other, model.LinkResistance, b.spread(12))
	b.lead(b.terminal(k, "O1", model.RoleDrive, 0, ""), one)
	b.lead(b.terminal(k, "O2", model.RoleDrive, 0, ""), other)
	return zero
}

// isolator is two islands with a signal between them through an isolator; the
// second keeps its 0 V to itself.
func (b *island) isolator() model.TerminalRef {
	rail, zero := b.source(model.KindSupply, 5)
	far, back := b.source(model.KindSupply, 24)
	u := b.device("U", model.Device{Kind: model.KindOther, Zone: "bay"})
	a, k := b.terminal(u, "A", model.RoleSignal, 0, "in"), b.terminal(u, "K", model.RoleReturn, 0, "in")
	c, e := b.terminal(u, "C", model.RoleSignal, 0, "out"), b.terminal(u, "E", model.RoleReturn, 0, "out")
	b.link(a, k, model.LinkElectronic, 0)
	b.link(c, e, model.LinkElectronic, 0)
	b.signal(b.controller(0.2, rail, zero, 5, 0, 0), a)
	b.lead(k, zero)
	b.signal(c, b.controller(0.2, far, back, 24, 0, 0))
	b.lead(e, back)
	return zero
}

// brake is a motor on a relay that joins it to 0 V at rest.
func (b *island) brake() model.TerminalRef {
	rail, zero := b.source(b.pickKind(), 24)
	k := b.pass("K", model.KindRelay, "11", "12", "14")
	for i, state := range []model.LinkState{model.StateClosed, model.StateOpen} {
		b.add(model.Link{Device: k[0].Device, From: k[0].Mark, To: k[1+i].Mark, Kind: model.LinkContact, State: state})
	}
	bar := b.block("0 V", "cabinet", 3)
	b.short(zero, bar[0])
	_, feed, back := b.part("M", model.KindMotor, 0.8, k[0], bar[2], 24, 0, 0)
	b.link(feed, back, model.LinkResistance, b.spread(12))
	b.lead(b.fused(rail), k[2])
	b.lead(k[1], bar[1])
	return zero
}

// earth joins the star to earth, or ties it there by a resistor, or leaves it.
func (b *island) earth(star model.TerminalRef) {
	x := b.device("X", model.Device{Kind: model.KindMainsInlet, Title: "mains inlet", Zone: "cabinet", LimitAmps: model.Known(10)})
	b.terminal(x, "L", model.RoleLine, 0, "")
	b.terminal(x, "N", model.RoleNeutral, 0, "")
	pe := b.terminal(x, "PE", model.RoleEarth, 0, "")
	switch b.random.IntN(3) {
	case 0:
		b.wire(star, pe, metric(2.5, "GNYE"), 0.5)
	case 1:
		r := b.pass("R", model.KindOther, "1", "2")
		b.link(r[0], r[1], model.LinkResistance, 1e6)
		b.short(star, r[0])
		b.short(r[1], pe)
	}
}
