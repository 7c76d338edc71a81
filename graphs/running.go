package graphs

import (
	"math"
	"slices"

	"bellout/model"
)

// running is the machine switched on, before its voltages are known.
type running struct {
	c       *Circuit
	loads   LoadModel
	parts   *Parts
	metal   []resistor // wires, metal links, drivers that are on
	added   int        // of metal: the first that is no element of c
	other   []resistor // resistance links that stand for no load
	diodes  []resistor // a is the anode
	diodeAt []int      // by diode: its element
	// ohms is, by element of c, with how many it is metal or other; +Inf: neither.
	ohms    []float64
	on      []bool // by diode
	sources []source
	resting []source        // that another supply holds up, see rest
	woken   []source        // that rested, and are among sources now
	dead    map[[2]int]bool // pairs of feed and return whose load's own link is open
	// unplugged are the devices that a condition takes out.
	unplugged map[string]bool
	idle      map[int]bool // feeds of loads that are taken to draw nothing
}

type source struct {
	supply int
	rail   int
	back   int
	volts  float64
}

// newRunning lays out the machine; idle are loads, by place in Parts.Loads, that
// draw nothing.
func newRunning(c *Circuit, loads LoadModel, changes []ElementChange, idle ...int) *running {
	r := &running{c: c, loads: loads, parts: FindParts(c.Machine), idle: map[int]bool{}}
	for _, i := range idle {
		r.idle[r.parts.Loads[i].Feed] = true
	}
	altered := map[int]float64{}
	for _, change := range changes {
		if change.Element >= 0 {
			altered[change.Element] = change.Ohms
		} else if !math.IsInf(change.Ohms, 1) && change.A != change.B {
			r.metal = append(r.metal, resistor{change.A, change.B, max(0, change.Ohms)})
		}
	}
	bodies := r.bodies()
	r.dead, r.unplugged = map[[2]int]bool{}, map[string]bool{}
	for _, condition := range c.Conditions {
		if condition.Kind == model.Unplugged {
			r.unplugged[condition.Device] = true
		}
	}
	r.ohms = make([]float64, len(c.Elements))
	for id := range c.Elements {
		e := &c.Elements[id]
		r.ohms[id] = math.Inf(1)
		ohms, changed := altered[id]
		if !changed {
			if e.Kind == Diode && e.Present {
				r.diodes = append(r.diodes, resistor{a: e.A, b: e.B})
				r.diodeAt = append(r.diodeAt, id)
				continue
			}
			ohms = decided.ohms(e)
		}
		pair := [2]int{min(e.A, e.B), max(e.A, e.B)}
		switch open := math.IsInf(ohms, 1); {
		case e.Kind == Resistance && bodies[pair] && (open || !changed):
			r.dead[pair] = open
		case open:
		case e.Kind.Metal() || e.Kind == Electronic || e.Kind == Capacitance || e.Kind == Diode:
			r.ohms[id] = max(0, ohms)
			r.metal = append(r.metal, resistor{e.A, e.B, max(0, ohms)})
		default:
			r.ohms[id] = max(0, ohms)
			r.other = append(r.other, resistor{e.A, e.B, max(0, ohms)})
		}
	}
	r.added = len(r.metal)
	r.commonReturns()
	r.findSources()
	r.switchOn()
	return r
}

// draws says whether the load's current is known well enough for the model.
func (r *running) draws(load *Load) bool {
	return load.Amps.Known && len(load.Returns) > 0 &&
		(r.loads == LoadsAsCurrents || load.Volts.Known && load.Volts.Value != 0)
}

// bodies lists the pairs of feed and return of every load that draws by its
// load_a, or is idle: a resistance link there stands for the load itself.
func (r *running) bodies() map[[2]int]bool {
	pairs := map[[2]int]bool{}
	for at := range r.parts.Loads {
		load := &r.parts.Loads[at]
		if !r.draws(load) && !r.idle[load.Feed] {
			continue
		}
		for _, back := range load.Returns {
			pairs[[2]int{min(load.Feed, back), max(load.Feed, back)}] = true
		}
	}
	return pairs
}

// commonReturns joins the returns of one section.
func (r *running) commonReturns() {
	join := func(returns []int) {
		for _, back := range returns[min(1, len(returns)):] {
			r.metal = append(r.metal, resistor{a: returns[0], b: back})
		}
	}
	for _, supply := range r.parts.Supplies {
		join(supply.Returns)
	}
	for _, load := range r.parts.Loads {
		join(load.Returns)
	}
	for _, driver := range r.parts.Drivers {
		join(driver.Returns)
	}
}

// findSources lists the supplies that have volts and a return, by the names of
// their rails.
func (r *running) findSources() {
	for at, supply := range r.parts.Supplies {
		if supply.Volts.Known && len(supply.Returns) > 0 {
			r.sources = append(r.sources, source{at, supply.Rail, supply.Returns[0], supply.Volts.Value})
		}
	}
	r.sortSources(r.sources)
	r.rest()
}

// rest takes for no sources the supplies whose rails a bond lets meet another one
// of more volts: a battery that its charger holds up, the lower of two that share
// their loads. A supply takes no current in.
func (r *running) rest() {
	if len(r.c.Machine.Bonds) == 0 {
		return
	}
	nets := r.c.Nets()
	shared := map[int]bool{} // nets with a bond inside
	for _, bond := range r.c.Machine.Bonds {
		from, known := r.c.Machine.TerminalIndex(bond.From)
		to, too := r.c.Machine.TerminalIndex(bond.To)
		if known && too && nets.Of[from] == nets.Of[to] {
			shared[nets.Of[from]] = true
		}
	}
	highest := map[int]source{} // by net
	for _, s := range r.sources {
		net := nets.Of[s.rail]
		if top, known := highest[net]; shared[net] && (!known || math.Abs(s.volts) > math.Abs(top.volts)) {
			highest[net] = s
		}
	}
	r.sources = slices.DeleteFunc(r.sources, func(s source) bool {
		top, known := highest[nets.Of[s.rail]]
		if !known || top.supply == s.supply || top.volts == s.volts {
			return false
		}
		r.resting = append(r.resting, s)
		return true
	})
}

// wake makes sources of resting supplies whose rail stands below their own volts
// by now, or on nothing; false: none does.
func (r *running) wake(point *OperatingPoint) bool {
	slept := len(r.resting)
	r.resting = slices.DeleteFunc(r.resting, func(s source) bool {
		volts, known := point.Between(s.rail, s.back)
		if !s.wakes(volts, known) {
			return false
		}
		r.sources, r.woken = append(r.sources, s), append(r.woken, s)
		return true
	})
	r.sortSources(r.sources)
	return len(r.resting) < slept
}

// wakes says whether a resting supply gives current at the volts of its rail.
func (s source) wakes(volts float64, known bool) bool {
	const slack = 1e-6
	return !known || volts*s.volts < s.volts*s.volts-slack*math.Abs(s.volts)
}

func (r *running) sortSources(list []source) {
	slices.SortFunc(list, func(s, t source) int { return model.CompareRefs(r.c.Ref(s.rail), r.c.Ref(t.rail)) })
}

// switchOn joins each drive terminal to what its driver switches to.
func (r *running) switchOn() {
	if len(r.parts.Drivers) == 0 {
		return
	}
	nets := r.c.Nets()
	const (
		rails = 1 << iota
		supplyReturns
		feeds
		returns
	)
	holds := make([]uint8, len(nets.List))
	for _, supply := range r.parts.Supplies {
		holds[nets.Of[supply.Rail]] |= rails
		for _, back := range supply.Returns {
			holds[nets.Of[back]] |= supplyReturns
		}
	}
	for _, load := range r.parts.Loads {
		holds[nets.Of[load.Feed]] |= feeds
		for _, back := range load.Returns {
			holds[nets.Of[back]] |= returns
		}
	}
	for _, driver := range r.parts.Drivers {
		on := holds[nets.Of[driver.Drive]]
		sinks := on&returns != 0 || (on&feeds == 0 && len(driver.Returns) > 0)
		switch {
		case on&(rails|supplyReturns) != 0:
		case sinks && len(driver.Returns) > 0:
			r.metal = append(r.metal, resistor{a: driver.Drive, b: driver.Returns[0]})
		case !sinks && len(driver.Feeds) > 0:
			r.metal = append(r.metal, resistor{a: driver.Drive, b: driver.Feeds[0]})
		}
	}
}
