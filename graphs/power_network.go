package graphs

import (
	"maps"
	"math"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"

	"gonum.org/v1/gonum/mat"
)

// PowerNetwork is the running machine as a network of conductances and sources,
// ready to be asked what its volts would be if parts of it were otherwise. It
// is eliminated once; each fault costs a few small products after that, by the
// matrix inversion lemma (Woodbury). It is for one goroutine at a time.
//
// It is made for telling dead from weak from working, not for milliohms: metal
// has at least contactOhms, each terminal leaks to a common reference through
// leakOhms, a supply has a resistance and a limit.
type PowerNetwork struct {
	Circuit *Circuit
	Parts   *Parts

	branches   []branch
	switching  []int // branches whose state follows from the volts: diodes, supplies
	element    []int // by element: its branch, or -1
	supply     []int // by place in Parts.Supplies
	load       []int // by place in Parts.Loads; -1: it draws nothing that is known
	sink       []int // by place in Parts.Drivers: the branch to its return, or -1
	feed       []int // by place in Parts.Drivers: the branch to its feed, or -1
	inputs     [][]int
	relays     []relay
	factor     *factor
	columns    map[[2]int32][]float64
	conditions []branchState   // of the branches, the machine running and sound
	volts      []float64       // the volts that belong to them
	given      Running         // the conditions that they are under
	rest       map[int]bool    // see resting; but for contacts that the conditions put
	linked     kit.Sets[int32] // see Linked
}

// branch is a two-terminal element of the network: a conductance with a source
// in series. The source drives current out of a when emf is positive.
type branch struct {
	a, b int32
	kind branchKind
	of   int // place among the elements, supplies, loads or drivers
}

type branchKind uint8

const (
	branchElement branchKind = iota
	branchDiode
	branchSupply
	branchLoad
	branchSink
	branchSource
	branchCommon // the returns of one section
)

// branchState is what a branch does now: siemens in series with emf volts, and
// amps put into a and taken out of b besides.
type branchState struct{ siemens, emf, amps float64 }

// injected returns the current that the branch puts into a.
func (s branchState) injected() float64 { return s.siemens*s.emf + s.amps }

// relay is a coil and the contacts that it moves.
type relay struct {
	coil     int // place in Parts.Loads, or -1
	winding  int // the element that is the coil, or -1
	rated    float64
	contacts []int // elements
}

// Figures of the network. All of them are judgement, but for the leak.
const (
	contactOhms = 1e-3 // of a joint, a closed contact, a fuse: common practice says milliohms
	leakOhms    = 1e7  // what a hand-held meter has on its volts ranges (meter manuals)
	driverOhms  = 0.05 // of an output that is on
	diodeVolts  = 0.65 // forward, silicon at working current
	diodeOnOhms = 0.02
	// limitOver: a supply holds its volts up to so many times its rating; past it
	// the current stays and the volts give way.
	limitOver = 1.3
	// inputShare: a converter works from so much of its input's volts on.
	inputShare = 0.7
	// pullIn: a relay's contacts change over at so much of its coil's volts.
	pullIn = 0.65
	// stateRounds bounds the search for the states of diodes, supplies and relays.
	stateRounds = 40
)

// Running says what is otherwise than on the map while the machine runs.
type Running struct {
	Changes  []ElementChange        // wires and links, as for PredictIf
	Driven   []int                  // drivers, by place in Parts.Drivers, that are commanded on
	Stuck    map[int]float64        // drivers: ohms to their return (or feed, where they source), whatever is commanded; +Inf: never on
	Supplies map[int]SupplyState    // by place in Parts.Supplies
	Loads    map[int]float64        // by place in Parts.Loads: ohms; +Inf open
	Diodes   map[int]model.Optional // by element: a diode's ohms both ways; unknown: fitted the wrong way round
}

// SupplyState is what a supply does instead of giving its own volts.
type SupplyState struct {
	Off   bool
	Volts float64 // at no load
	Ohms  float64 // in series; 0: its own
}

// PowerState is the running machine under one Running.
type PowerState struct {
	net   *PowerNetwork
	Volts []float64 // by terminal, against a reference that each terminal leaks to
	// Limiting are the supplies, by place, that cannot hold their volts.
	Limiting []int
	all      []stamp // what differs from the base
	stamps   []stamp // of all: those that change a conductance
	solved   small
}

// stamp is one branch that differs from the base.
type stamp struct {
	at      int // the branch; -1: one more
	a, b    int32
	siemens float64 // more than the base has
	amps    float64 // more into a, out of b
}

// NewPowerNetwork lays out the machine as it runs under some conditions: what
// they do not name is as the circuit has it, and no output is commanded. Cost: a
// few eliminations of the machine.
func NewPowerNetwork(c *Circuit, conditions Running) *PowerNetwork {
	return newPowerNetwork(c, FindParts(c.Machine), conditions)
}

// NewPowerNetworkUnder lays out the machine under the conditions of a reading: a
// device that is unplugged draws nothing and gives nothing.
func NewPowerNetworkUnder(c *Circuit, conditions model.Conditions) *PowerNetwork {
	parts := FindParts(c.Machine)
	r := Running{Changes: c.ConditionChanges(conditions), Loads: map[int]float64{}, Supplies: map[int]SupplyState{}}
	for _, condition := range conditions {
		switch condition.Kind {
		case model.Driven:
			for at, driver := range parts.Drivers {
				if ref := c.Ref(driver.Drive); ref.Device == condition.Device && ref.Mark == condition.From {
					r.Driven = append(r.Driven, at)
				}
			}
		case model.Unplugged:
			for at, load := range parts.Loads {
				if load.Device == condition.Device {
					r.Loads[at] = math.Inf(1)
				}
			}
			for at, supply := range parts.Supplies {
				if supply.Device == condition.Device {
					r.Supplies[at] = SupplyState{Off: true}
				}
			}
		}
	}
	return newPowerNetwork(c, parts, r)
}

// NewDeadNetwork lays out the de-energised machine in the same way: wires and links,
// and no supply, load or output. It says where a meter's current goes, not what
// the meter shows.
func NewDeadNetwork(c *Circuit, changes []ElementChange) *PowerNetwork {
	return newPowerNetwork(c, &Parts{}, Running{Changes: changes})
}

func newPowerNetwork(c *Circuit, parts *Parts, conditions Running) *PowerNetwork {
	n := &PowerNetwork{Circuit: c, Parts: parts, columns: map[[2]int32][]float64{}, given: conditions}
	n.layOut()
	n.findRelays()
	var extra []stamp
	n.rest = n.resting()
	n.set(conditions, n.conditions, n.rest, &extra)
	for _, s := range extra {
		n.add(branch{a: s.a, b: s.b, kind: branchElement, of: -1}, branchState{siemens: s.siemens})
	}
	n.settleBase()
	return n
}

func (n *PowerNetwork) add(b branch, s branchState) int {
	if b.kind == branchDiode || b.kind == branchSupply {
		n.switching = append(n.switching, len(n.branches))
	}
	n.branches = append(n.branches, b)
	n.conditions = append(n.conditions, s)
	return len(n.branches) - 1
}

func (n *PowerNetwork) layOut() {
	c := n.Circuit
	bodies := map[[2]int]bool{} // pairs of feed and return of loads that draw by their load_a
	for _, load := range n.Parts.Loads {
		if loadSiemens(&load) > 0 {
			bodies[pairOf(load.Feed, load.Returns[0])] = true
		}
	}
	n.element = make([]int, len(c.Elements))
	for id := range c.Elements {
		e := &c.Elements[id]
		n.element[id] = -1
		switch {
		case e.A == e.B, e.Kind == Electronic, e.Kind == Capacitance:
		case e.Kind == Resistance && bodies[pairOf(e.A, e.B)]:
		case e.Kind == Diode:
			n.element[id] = n.add(branch{int32(e.A), int32(e.B), branchDiode, id}, branchState{})
		default:
			n.element[id] = n.add(branch{int32(e.A), int32(e.B), branchElement, id}, branchState{siemens: elementSiemens(e)})
		}
	}
	common := func(returns []int) {
		for _, back := range returns[min(1, len(returns)):] {
			n.add(branch{int32(returns[0]), int32(back), branchCommon, -1}, branchState{siemens: 1 / contactOhms})
		}
	}
	loadsOf := map[string][]int{}
	for at, load := range n.Parts.Loads {
		common(load.Returns)
		loadsOf[load.Device] = append(loadsOf[load.Device], at)
		n.load = append(n.load, -1)
		if siemens := loadSiemens(&load); siemens > 0 {
			n.load[at] = n.add(branch{int32(load.Feed), int32(load.Returns[0]), branchLoad, at}, branchState{siemens: siemens})
		}
	}
	for at, supply := range n.Parts.Supplies {
		common(supply.Returns)
		n.supply = append(n.supply, -1)
		n.inputs = append(n.inputs, loadsOf[supply.Device])
		if supply.Volts.Known && len(supply.Returns) > 0 {
			n.supply[at] = n.add(branch{int32(supply.Rail), int32(supply.Returns[0]), branchSupply, at}, n.holding(at, supply.Volts.Value, 0))
		}
	}
	for at, driver := range n.Parts.Drivers {
		common(driver.Returns)
		n.sink, n.feed = append(n.sink, -1), append(n.feed, -1)
		if len(driver.Returns) > 0 {
			n.sink[at] = n.add(branch{int32(driver.Drive), int32(driver.Returns[0]), branchSink, at}, branchState{})
		}
		if len(driver.Feeds) > 0 {
			n.feed[at] = n.add(branch{int32(driver.Drive), int32(driver.Feeds[0]), branchSource, at}, branchState{})
		}
	}
}

func pairOf(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// loadSiemens returns a load's conductance from its rating; 0 where it is not
// known.
func loadSiemens(load *Load) float64 {
	if !load.Amps.Known || !load.Volts.Known || load.Volts.Value == 0 || len(load.Returns) == 0 {
		return 0
	}
	return math.Abs(load.Amps.Value / load.Volts.Value)
}

func elementSiemens(e *Element) float64 {
	if !e.Present {
		return 0
	}
	return 1 / max(e.Ohms, contactOhms)
}

// holding is a supply that keeps its volts: its resistance makes it sag by a
// hundredth at its rating (judgement), or is a contact's where no rating is known.
func (n *PowerNetwork) holding(at int, volts, ohms float64) branchState {
	if ohms <= 0 {
		ohms = contactOhms
		if limit := n.Parts.Supplies[at].LimitAmps; limit.Known && limit.Value > 0 {
			ohms = max(contactOhms, math.Abs(0.01*n.Parts.Supplies[at].Volts.Value/limit.Value))
		}
	}
	return branchState{siemens: 1 / ohms, emf: volts}
}

// limit returns the most amperes of a supply: limitOver of its rating, or, where
// none is noted, three times what its own volts could feed (judgement).
func (n *PowerNetwork) limit(at int) float64 {
	if limit := n.Parts.Supplies[at].LimitAmps; limit.Known && limit.Value > 0 {
		return limitOver * limit.Value
	}
	sum := 0.0
	for place, load := range n.Parts.Loads {
		if n.load[place] >= 0 && load.Volts.Value == n.Parts.Supplies[at].Volts.Value {
			sum += math.Abs(load.Amps.Value)
		}
	}
	return max(10, 3*sum)
}

// findRelays pairs the coil of each relay with its contacts.
func (n *PowerNetwork) findRelays() {
	m := n.Circuit.Machine
	at := map[string]int{}
	for _, device := range m.Devices {
		if device.Kind == model.KindRelay {
			at[device.Ref] = len(n.relays)
			n.relays = append(n.relays, relay{coil: -1, winding: -1})
		}
	}
	for place, load := range n.Parts.Loads {
		if r, found := at[load.Device]; found && load.Volts.Known && n.relays[r].coil < 0 {
			n.relays[r].coil, n.relays[r].rated = place, load.Volts.Value
		}
	}
	for id := range n.Circuit.Elements {
		e := &n.Circuit.Elements[id]
		if e.Kind != Contact && e.Kind != Resistance {
			continue
		}
		r, found := at[m.Terminals[e.A].Device]
		switch {
		case !found:
		case e.Kind == Contact:
			n.relays[r].contacts = append(n.relays[r].contacts, id)
		default:
			n.relays[r].winding = id
		}
	}
	n.relays = slices.DeleteFunc(n.relays, func(r relay) bool { return r.coil < 0 || len(r.contacts) == 0 })
}

// settleBase finds the volts of the sound machine, eliminating anew until the
// states of diodes, supplies and relays agree with them.
func (n *PowerNetwork) settleBase() {
	for range stateRounds {
		n.eliminate()
		flips := n.flips(n.given, n.conditions, n.volts, n.rest)
		if len(flips) == 0 {
			return
		}
		for at, state := range flips {
			n.conditions[at] = state
		}
	}
}

// eliminate factors the network in its present states.
func (n *PowerNetwork) eliminate() {
	terminals := len(n.Circuit.Machine.Terminals)
	list := make([]conductor, 0, len(n.branches)+terminals)
	amps := make([]float64, terminals+1)
	for at, b := range n.branches {
		s := n.conditions[at]
		if s.siemens > 0 {
			list = append(list, conductor{b.a, b.b, s.siemens})
		}
		amps[b.a] += s.injected()
		amps[b.b] -= s.injected()
	}
	for t := range terminals {
		list = append(list, conductor{int32(t), int32(terminals), 1 / leakOhms})
	}
	unique, _ := addParallel(terminals+1, list)
	n.factor = newFactor(terminals+1, unique)
	n.factor.solve(amps)
	n.volts = grounded(amps)
	clear(n.columns)
}

// grounded counts volts from the last node, which is the reference.
func grounded(volts []float64) []float64 {
	ground := volts[len(volts)-1]
	for t := range volts {
		volts[t] -= ground
	}
	return volts
}

// column returns the volts that one ampere into a and out of b makes.
func (n *PowerNetwork) column(a, b int32) []float64 {
	key := [2]int32{a, b}
	if known, done := n.columns[key]; done {
		return known
	}
	x := make([]float64, len(n.Circuit.Machine.Terminals)+1)
	x[a]++
	x[b]--
	n.factor.solve(x)
	x = grounded(x)
	n.columns[key] = x
	return x
}

// Run returns the machine under what is otherwise. Cost: one sparse solve for
// each place that no earlier Run touched, and a product of the machine's length
// for each that it touches.
func (n *PowerNetwork) Run(r Running) *PowerState {
	states := slices.Clone(n.conditions)
	var extra []stamp
	rest := maps.Clone(n.rest)
	n.set(r, states, rest, &extra)
	r = r.with(n.given)
	p := &PowerState{net: n}
	for range stateRounds {
		p.solve(n.stamps(states, extra))
		flips := n.flips(r, states, p.Volts, rest)
		if len(flips) == 0 {
			break
		}
		for at, state := range flips {
			states[at] = state
		}
	}
	for at, b := range n.supply {
		if b >= 0 && states[b].siemens == 0 && states[b].amps != 0 {
			p.Limiting = append(p.Limiting, at)
		}
	}
	return p
}

// with adds conditions, which hold whatever else is said of the same part.
func (r Running) with(conditions Running) Running {
	r.Changes = slices.Concat(conditions.Changes, r.Changes)
	r.Driven = slices.Concat(conditions.Driven, r.Driven)
	r.Stuck = both(r.Stuck, conditions.Stuck)
	r.Supplies = both(r.Supplies, conditions.Supplies)
	r.Diodes = both(r.Diodes, conditions.Diodes)
	return r
}

func both[K comparable, V any](one, over map[K]V) map[K]V {
	if len(over) == 0 {
		return one
	}
	all := maps.Clone(over)
	for key, value := range one {
		if _, set := all[key]; !set {
			all[key] = value
		}
	}
	return all
}

// resting says, by element, whether contacts are closed with no coil pulled in.
func (n *PowerNetwork) resting() map[int]bool {
	rest := map[int]bool{}
	for _, r := range n.relays {
		for _, id := range r.contacts {
			rest[id] = n.Circuit.Elements[id].Present
		}
	}
	return rest
}

// set makes the states what the Running says, before anything follows from it.
func (n *PowerNetwork) set(r Running, states []branchState, rest map[int]bool, extra *[]stamp) {
	for _, change := range r.Changes {
		siemens := 0.0
		if !math.IsInf(change.Ohms, 1) {
			siemens = 1 / max(change.Ohms, contactOhms)
		}
		if change.Element < 0 {
			if change.A != change.B && siemens > 0 {
				*extra = append(*extra, stamp{at: -1, a: int32(change.A), b: int32(change.B), siemens: siemens})
			}
			continue
		}
		if at := n.element[change.Element]; at >= 0 {
			states[at] = branchState{siemens: siemens}
			delete(rest, change.Element) // it stays where it is put
			continue
		}
		n.setBody(change, states)
	}
	for place, ohms := range r.Loads {
		if at := n.load[place]; at >= 0 {
			states[at] = branchState{}
			if !math.IsInf(ohms, 1) {
				states[at].siemens = 1 / max(ohms, contactOhms)
			}
		}
	}
	for _, at := range r.Driven {
		if b := n.drives(at); b >= 0 {
			states[b].siemens = 1 / driverOhms
		}
	}
	for at, ohms := range r.Stuck {
		if b := n.drives(at); b >= 0 {
			states[b].siemens = 1 / max(ohms, contactOhms)
		}
	}
}

// setBody changes a load by the resistance link that stands for it.
func (n *PowerNetwork) setBody(change ElementChange, states []branchState) {
	e := &n.Circuit.Elements[change.Element]
	for place, load := range n.Parts.Loads {
		if n.load[place] < 0 || pairOf(load.Feed, load.Returns[0]) != pairOf(e.A, e.B) {
			continue
		}
		switch {
		case math.IsInf(change.Ohms, 1):
			states[n.load[place]] = branchState{}
		case e.Ohms > 0: // of other value: it draws in proportion
			states[n.load[place]].siemens *= e.Ohms / max(change.Ohms, contactOhms)
		}
	}
}

// drives returns the branch by which a driver switches: to its return where it
// has one and no load hangs from it to a return, else to its feed.
func (n *PowerNetwork) drives(at int) int {
	sink, source := n.sink[at], n.feed[at]
	if sink < 0 || source < 0 {
		return max(sink, source)
	}
	nets := n.Circuit.Nets()
	net := nets.Of[n.Parts.Drivers[at].Drive]
	for _, load := range n.Parts.Loads {
		if nets.Of[load.Feed] == net {
			return source
		}
	}
	return sink
}

// flips returns the branches whose state does not agree with the volts.
func (n *PowerNetwork) flips(r Running, states []branchState, volts []float64, rest map[int]bool) map[int]branchState {
	var wrong map[int]branchState
	note := func(at int, next branchState) {
		if next == states[at] {
			return
		}
		if wrong == nil {
			wrong = map[int]branchState{}
		}
		wrong[at] = next
	}
	for _, at := range n.switching {
		if b := n.branches[at]; b.kind == branchDiode {
			note(at, n.diode(r, b, volts))
		} else {
			note(at, n.supplying(r, b.of, states[at], volts))
		}
	}
	for _, relay := range n.relays {
		load := &n.Parts.Loads[relay.coil]
		if len(load.Returns) == 0 {
			continue
		}
		pulled := math.Abs(volts[load.Feed]-volts[load.Returns[0]]) >= pullIn*math.Abs(relay.rated)
		for _, id := range relay.contacts {
			closed, free := rest[id]
			if !free {
				continue
			}
			next := branchState{}
			if closed != pulled {
				next.siemens = 1 / contactOhms
			}
			note(n.element[id], next)
		}
	}
	return wrong
}

func (n *PowerNetwork) diode(r Running, b branch, volts []float64) branchState {
	forward := volts[b.a] - volts[b.b]
	if ohms, told := r.Diodes[b.of]; told {
		if ohms.Known {
			if math.IsInf(ohms.Value, 1) {
				return branchState{}
			}
			return branchState{siemens: 1 / max(ohms.Value, contactOhms)}
		}
		if -forward > diodeVolts-1e-9 {
			return branchState{siemens: 1 / diodeOnOhms, emf: -diodeVolts}
		}
		return branchState{}
	}
	if !n.Circuit.Elements[b.of].Present {
		return branchState{}
	}
	for _, change := range r.Changes {
		if change.Element == b.of {
			if math.IsInf(change.Ohms, 1) {
				return branchState{}
			}
			return branchState{siemens: 1 / max(change.Ohms, contactOhms)}
		}
	}
	if forward > diodeVolts-1e-9 {
		return branchState{siemens: 1 / diodeOnOhms, emf: diodeVolts}
	}
	return branchState{}
}

// supplying is a supply's next state: off without input, its volts, or its
// limit.
func (n *PowerNetwork) supplying(r Running, at int, now branchState, volts []float64) branchState {
	supply := &n.Parts.Supplies[at]
	state, told := r.Supplies[at]
	open := supply.Volts.Value
	if told {
		if state.Off {
			return branchState{}
		}
		open = state.Volts
	}
	for _, input := range n.inputs[at] {
		load := &n.Parts.Loads[input]
		if !load.Volts.Known || len(load.Returns) == 0 {
			continue
		}
		if across := (volts[load.Feed] - volts[load.Returns[0]]) / load.Volts.Value; across < inputShare {
			return branchState{}
		}
	}
	holds := n.holding(at, open, state.Ohms)
	limit := n.limit(at)
	across := volts[supply.Rail] - volts[supply.Returns[0]]
	toward := math.Copysign(1, open)
	if given := toward * (open - across) * holds.siemens; given > limit*(1+1e-9) && now.siemens > 0 {
		return branchState{amps: toward * limit}
	}
	if now.siemens == 0 && now.amps != 0 && toward*across < toward*open {
		return now // still at its limit
	}
	if given := toward * (open - across) * holds.siemens; given < 0 {
		return branchState{} // driven from elsewhere: a supply does not sink
	}
	return holds
}

// stamps lists what differs from the base.
func (n *PowerNetwork) stamps(states []branchState, extra []stamp) []stamp {
	list := slices.Clone(extra)
	for at, b := range n.branches {
		if states[at] != n.conditions[at] {
			list = append(list, stamp{at, b.a, b.b, states[at].siemens - n.conditions[at].siemens, states[at].injected() - n.conditions[at].injected()})
		}
	}
	return list
}

// solve works out the volts with some stamps, by the matrix inversion lemma:
// with A x = i for the base, U the ends of the stamps and D their siemens,
// (A + U D U') x = i + j gives x = y - A^-1 U (D^-1 + U' A^-1 U)^-1 U' y, where
// y = A^-1 (i + j).
func (p *PowerState) solve(stamps []stamp) {
	n := p.net
	p.all, p.stamps, p.solved = stamps, nil, small{}
	p.Volts = slices.Clone(n.volts)
	for _, s := range stamps {
		if s.amps != 0 {
			addScaled(p.Volts, s.amps, n.column(s.a, s.b))
		}
		if s.siemens != 0 {
			p.stamps = append(p.stamps, s)
		}
	}
	if k := len(p.stamps); k > 0 {
		p.solved = newSmall(k, func(i, j int) float64 {
			s, x := p.stamps[i], n.column(p.stamps[j].a, p.stamps[j].b)
			if i == j {
				return x[s.a] - x[s.b] + 1/s.siemens
			}
			return x[s.a] - x[s.b]
		})
		p.correct(p.Volts)
	}
}

// correct turns volts of the base into volts with the stamps.
func (p *PowerState) correct(volts []float64) {
	y := make([]float64, len(p.stamps))
	for i, s := range p.stamps {
		y[i] = volts[s.a] - volts[s.b]
	}
	for i, z := range p.solved.solve(y) {
		addScaled(volts, -z, p.net.column(p.stamps[i].a, p.stamps[i].b))
	}
}

// small is the matrix of a few stamps: one number, or its factors.
type small struct {
	one float64
	lu  *mat.LU
}

func newSmall(k int, at func(i, j int) float64) small {
	if k == 1 {
		return small{one: at(0, 0)}
	}
	d := mat.NewDense(k, k, nil)
	for i := range k {
		for j := range k {
			d.Set(i, j, at(i, j))
		}
	}
	s := small{lu: &mat.LU{}}
	s.lu.Factorize(d)
	return s
}

func (s small) solve(y []float64) []float64 {
	if s.lu == nil {
		return []float64{y[0] / s.one}
	}
	var z mat.VecDense
	_ = s.lu.SolveVecTo(&z, false, mat.NewVecDense(len(y), y)) // a poor condition has an answer too
	return z.RawVector().Data
}

func addScaled(to []float64, factor float64, from []float64) {
	for i, x := range from {
		to[i] += factor * x
	}
}

// Between returns the volts from black to red.
func (p *PowerState) Between(red, black int) float64 { return p.Volts[red] - p.Volts[black] }

// Ohms returns what drives a meter on two terminals: the resistance of the
// running machine between them. Kilohms say that the volts there come through
// what a meter alone would move.
func (p *PowerState) Ohms(red, black int) float64 {
	if red == black {
		return 0
	}
	x := p.Shares(red, black).volts
	return x[red] - x[black]
}

// Ripple returns the alternating volts that one volt of ripple at a supply's
// output, behind its own resistance, makes between two terminals.
func (p *PowerState) Ripple(supply, red, black int) float64 {
	b := p.net.supply[supply]
	if b < 0 {
		return 0
	}
	s := p.net.branches[b]
	x := p.Shares(int(s.a), int(s.b)).volts
	return p.net.conditions[b].siemens * (x[red] - x[black])
}

// Amps returns the current through an element from its end A to its end B.
func (p *PowerState) Amps(element int) float64 {
	at := p.net.element[element]
	if at < 0 {
		return 0
	}
	b, s := p.net.branches[at], p.net.conditions[at]
	for _, st := range p.stamps {
		if st.at == at {
			s.siemens += st.siemens
		}
	}
	return (p.Volts[b.a]-p.Volts[b.b])*s.siemens - s.injected()
}

// Shares says where one ampere goes that a meter puts into one terminal and
// takes out of another.
type Shares struct {
	p     *PowerState
	volts []float64
}

// Shares puts one ampere in at red and takes it out at black. Cost: one sparse
// solve, the first time.
func (p *PowerState) Shares(red, black int) *Shares {
	x := slices.Clone(p.net.column(int32(red), int32(black)))
	if len(p.stamps) > 0 {
		p.correct(x)
	}
	return &Shares{p: p, volts: x}
}

// Element returns the part of the ampere that runs through an element.
func (s *Shares) Element(id int) float64 { return s.branch(s.p.net.element[id]) }

// Drop returns the volts that the ampere makes between two terminals.
func (s *Shares) Drop(a, b int) float64 { return math.Abs(s.volts[a] - s.volts[b]) }

// Supply returns the part that runs through a supply, by place in Parts.Supplies.
func (s *Shares) Supply(at int) float64 { return s.branch(s.p.net.supply[at]) }

// Driver returns the part that runs through an output, by place in
// Parts.Drivers.
func (s *Shares) Driver(at int) float64 { return s.branch(s.p.net.drives(at)) }

func (s *Shares) branch(at int) float64 {
	if at < 0 {
		return 0
	}
	n := s.p.net
	siemens := n.conditions[at].siemens
	for _, st := range s.p.stamps {
		if st.at == at {
			siemens += st.siemens
		}
	}
	b := n.branches[at]
	return math.Abs(s.volts[b.a]-s.volts[b.b]) * siemens
}

// Linked says whether wires, links, loads, supplies or outputs that may switch
// join two terminals.
func (n *PowerNetwork) Linked(a, b int) bool {
	if n.linked == nil {
		n.linked = kit.NewSets[int32](len(n.Circuit.Machine.Terminals))
		for _, branch := range n.branches {
			n.linked.Union(branch.a, branch.b)
		}
	}
	return n.linked.Find(int32(a)) == n.linked.Find(int32(b))
}
