package faults

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// Duty is what one wire has to carry, and what protects it.
type Duty struct {
	// Amps is the current with the whole machine on and every load drawing its
	// load_a, without a sign. Not known: no load of known load_a draws through
	// the wire, or the current may go several ways and the map does not say how
	// it divides.
	Amps model.Optional
	// DropVolts is what the wire's copper takes of the volts at that current; not
	// known without gauge and length.
	DropVolts model.Optional
	// Fuses are the nearest fuses and breakers upstream, by place in
	// Machine.Links, sorted by name: of a feed those in its way, of a return
	// those in the feeds of the loads that return through it.
	Fuses []int
}

// leastAmps is the current below which a computed one is rounding.
const leastAmps = 1e-6

// Duties returns the duty of every wire, by place in Machine.Wires; a removed
// wire has none. Cost: that of Circuit.Currents, and one walk for each size of
// wire and each load.
func (b *Analysis) Duties() []Duty {
	on := b.On()
	duties := make([]Duty, len(b.Machine.Wires))
	for row, amps := range on.Currents(graphs.LoadsAsCurrents)[:len(duties)] {
		carried := math.Abs(amps.Value)
		if !amps.Known || carried < leastAmps || math.IsNaN(carried) {
			continue
		}
		duties[row].Amps = model.Known(rounded(carried))
		if ohms := on.Elements[row].Ohms; ohms > 0 {
			duties[row].DropVolts = model.Known(rounded(carried * ohms))
		}
	}
	b.fuseDuties(on, duties)
	return duties
}

// rounded takes off what the solving of a network leaves behind the ninth digit.
func rounded(value float64) float64 {
	scale := math.Pow(10, 8-math.Floor(math.Log10(value)))
	return math.Round(value*scale) / scale
}

// fuseDuties finds the fuses of feeds by the pieces that a source reaches
// through them, and hands each on to the returns of the loads behind it,
// on their way to the supply that feeds them.
func (b *Analysis) fuseDuties(on *graphs.Circuit, duties []Duty) {
	pr := findProtection(b)
	p := pr.p
	fuseOf := pr.fusesByPiece()
	for row := range duties {
		e := b.AsIntended.Elements[row]
		if fuse := fuseOf[p.of[e.A]]; e.Present && fuse >= 0 {
			duties[row].Fuses = []int{fuse}
		}
	}
	home := map[int][]step{} // by supply: the way to its returns
	type passed struct{ terminal, supply, fuse int }
	seen := map[passed]bool{}
	for i, load := range b.Parts.Loads {
		fuse, feeding := fuseOf[p.of[load.Feed]], b.Feeding(i)
		if fuse < 0 || len(feeding) == 0 {
			continue
		}
		supply := feeding[0]
		if home[supply] == nil {
			home[supply] = b.homeward(on, b.Parts.Supplies[supply].Returns)
		}
		for _, at := range load.Returns {
			for !seen[passed{at, supply, fuse}] {
				seen[passed{at, supply, fuse}] = true
				by := home[supply][at]
				if by.far < 0 {
					break
				}
				if by.element < len(duties) && fuseOf[p.of[at]] < 0 && !slices.Contains(duties[by.element].Fuses, fuse) {
					duties[by.element].Fuses = append(duties[by.element].Fuses, fuse)
				}
				at = by.far
			}
		}
	}
	links := b.Machine.Links
	for row := range duties {
		slices.SortFunc(duties[row].Fuses, func(x, y int) int { return model.Compare(links[x].Place(), links[y].Place()) })
	}
}

// homeward finds, for every terminal, the step towards the nearest of some
// returns over metal and through the drivers that sink to them; far is -1 at the
// returns and where no way leads home.
func (b *Analysis) homeward(on *graphs.Circuit, returns []int) []step {
	towards := make([]step, len(b.Machine.Terminals))
	seen := make([]bool, len(towards))
	for t := range towards {
		towards[t] = step{noElement, -1}
	}
	sinks := map[int][]int{} // by a driver's return: its outputs
	for _, driver := range b.Parts.Drivers {
		for _, t := range driver.Returns {
			sinks[t] = append(sinks[t], driver.Drive)
		}
	}
	var queue []int
	visit := func(t int, by step) {
		if !seen[t] {
			seen[t], towards[t] = true, by
			queue = append(queue, t)
		}
	}
	for _, t := range returns {
		visit(t, step{noElement, -1})
	}
	for ; len(queue) > 0; queue = queue[1:] {
		t := queue[0]
		for _, id := range on.Incident(t) {
			if on.Elements[id].Joins() {
				visit(on.Far(int(id), t), step{int(id), t})
			}
		}
		for _, drive := range sinks[t] {
			visit(drive, step{noElement, t})
		}
	}
	return towards
}

// fusesByPiece returns, for each piece, the fuse or breaker nearest upstream, by
// place in Machine.Links; -1 where a source reaches it without one, or none at
// all.
func (pr *protection) fusesByPiece() []int {
	unfused, fused := pr.spread(func(feedPoint) bool { return true }, func(gate) bool { return true })
	fuses := make([]int, len(pr.p.holds))
	for piece := range fuses {
		fuses[piece] = -1
		if unfused[piece].source < 0 && fused[piece].source >= 0 {
			fuses[piece] = pr.p.b.AsIntended.Elements[fused[piece].gate].Row
		}
	}
	return fuses
}

// Source says what a terminal hangs on: the supplies whose rail or return is in
// its net, else the inlet or the source that reaches it through fuses and
// contacts in any position. Empty: nothing says.
type Source struct {
	Devices []string // sorted
	Through bool     // not of the net itself, but by way of contacts, fuses or drivers
}

// Sources returns the source of every net of the machine as it is drawn, by
// place in Drawn.Nets().List. Cost: linear.
func (b *Analysis) Sources() []Source {
	nets := b.AsDrawn.Nets()
	sources := make([]Source, len(nets.List))
	pr := findProtection(b)
	p := pr.p
	unfused, fused := pr.spread(func(feedPoint) bool { return true }, func(gate) bool { return true })
	own := make([][2][]string, len(nets.List)) // by the rails or inlets, by the returns
	add := func(t, kind int, device string) {
		list := &own[nets.Of[t]][kind]
		*list = append(*list, device)
	}
	for _, s := range pr.sources {
		add(s.terminal, 0, b.device(s.terminal))
	}
	for _, ground := range b.Grounds {
		for _, t := range ground.Returns {
			add(t, 1, ground.Device)
		}
	}
	for t, terminal := range b.Machine.Terminals {
		if (terminal.Role == model.RoleNeutral || terminal.Role == model.RoleEarth) && b.kindOf(terminal.Device) == model.KindMainsInlet {
			add(t, 1, terminal.Device)
		}
	}
	for at := range sources {
		list := own[at][0]
		if len(list) == 0 {
			list = own[at][1]
		}
		if len(list) == 0 {
			first := nets.List[at].Terminals[0]
			for _, way := range []reached{unfused[p.of[first]], fused[p.of[first]]} {
				if way.source >= 0 && len(list) == 0 {
					list = []string{b.device(pr.sources[way.source].terminal)}
					sources[at].Through = true
				}
			}
		}
		slices.SortFunc(list, model.Compare)
		sources[at].Devices = slices.Compact(list)
	}
	return sources
}
