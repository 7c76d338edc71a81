package book

import (
	"cmp"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// output is one output of a supply: its rails of one voltage and section, and the
// loads that it feeds.
type output struct {
	device  string
	volts   model.Optional
	limit   model.Optional // amperes, of the device
	rails   []int          // terminals
	returns []int
	loads   []int // places in Parts.Loads, sorted by feed
	amps    float64
	unknown int // loads of no known load_a
	shared  int // loads that another output reaches too
}

// outputs lists the outputs of all supplies, by volts, then device.
func (f *facts) outputs() []*output {
	type key struct {
		device, section string
		volts           model.Optional
	}
	known := map[key]*output{}
	bySupply := make([]*output, len(f.parts.Supplies))
	var list []*output
	for i, s := range f.parts.Supplies {
		k := key{s.Device, f.machine().Terminals[s.Rail].Section, s.Volts}
		o := known[k]
		if o == nil {
			o = &output{device: s.Device, volts: s.Volts, limit: s.LimitAmps, returns: s.Returns}
			known[k] = o
			list = append(list, o)
		}
		o.rails = append(o.rails, s.Rail)
		bySupply[i] = o
	}
	for i, load := range f.parts.Loads {
		var feeding []*output
		for _, s := range f.bench.Feeding(i) {
			if o := bySupply[s]; !slices.Contains(feeding, o) && o.device != load.Device {
				feeding = append(feeding, o)
			}
		}
		for _, o := range feeding {
			o.loads = append(o.loads, i)
			if len(feeding) > 1 {
				o.shared++
			}
			if load.Amps.Known {
				o.amps += load.Amps.Value
			} else {
				o.unknown++
			}
		}
	}
	for _, o := range list {
		slices.SortFunc(o.loads, func(a, b int) int { return f.compareTerminals(f.parts.Loads[a].Feed, f.parts.Loads[b].Feed) })
		slices.SortFunc(o.rails, f.compareTerminals)
	}
	slices.SortStableFunc(list, func(a, b *output) int {
		return cmp.Or(cmp.Compare(b.volts.Value, a.volts.Value), model.Compare(a.device, b.device))
	})
	return list
}

// returnOf is the return that belongs to one of an output's rails.
func (f *facts) returnOf(o *output, rail int) int {
	for _, supply := range f.parts.Supplies {
		if supply.Rail == rail {
			return supply.Returns[0]
		}
	}
	return o.returns[0]
}

// railTo is the rail of an output that feeds a load.
func (f *facts) railTo(o *output, load int) int {
	for _, supply := range f.bench.Feeding(load) {
		if rail := f.parts.Supplies[supply].Rail; slices.Contains(o.rails, rail) {
			return rail
		}
	}
	return o.rails[0]
}

func (f *facts) compareTerminals(a, b int) int {
	return model.CompareRefs(f.machine().Terminals[a].Ref(), f.machine().Terminals[b].Ref())
}

func (f *facts) ref(terminal int) model.TerminalRef { return f.machine().Terminals[terminal].Ref() }

func (f *facts) refs(terminals []int) []string {
	names := make([]string, len(terminals))
	for i, t := range terminals {
		names[i] = f.ref(t).String()
	}
	return names
}

// isolation is where the mains can be parted from the machine.
type isolation struct {
	inlets   []model.Device
	switches []string // the first devices after the inlets that have contacts or fuses, in that order
	live     []string // devices that stay live while the plug is in and those are off
}

// isolation follows the mains from the inlets to the first contacts and fuses.
func (f *facts) isolation() isolation {
	iso := isolation{inlets: f.devicesOf(model.KindMainsInlet)}
	m := f.machine()
	var queue []int
	seen := make([]bool, len(m.Terminals))
	inlet := map[string]bool{}
	for _, d := range iso.inlets {
		inlet[d.Ref] = true
		for _, t := range f.marks[d.Ref] {
			if at, there := m.TerminalIndex(t.Ref()); there && (t.Role == model.RoleLine || t.Role == model.RoleNeutral) {
				queue, seen[at] = append(queue, at), true
			}
		}
	}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		device := m.Terminals[t].Device
		if !slices.Contains(iso.live, device) {
			iso.live = append(iso.live, device)
		}
		for _, id := range f.bench.AsDrawn.Incident(t) {
			e := f.bench.AsDrawn.Elements[id]
			if !e.Walks() {
				continue
			}
			if e.Kind == graphs.Contact || e.Kind == graphs.Fuse {
				if !slices.Contains(iso.switches, device) {
					iso.switches = append(iso.switches, device)
				}
				continue
			}
			if far := f.bench.AsDrawn.Far(int(id), t); !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		}
	}
	return iso
}

// charge is something that stays charged.
type charge struct {
	device string
	place  string // terminals
	farads model.Optional
	volts  model.Optional
	bleed  model.Optional // ohms straight across it in the map
}

// joules is the energy at full volts.
func (c charge) joules() model.Optional {
	if !c.farads.Known || !c.volts.Known {
		return model.Optional{}
	}
	return model.Known(0.5 * c.farads.Value * c.volts.Value * c.volts.Value)
}

// seconds is five time constants of what bleeds it, after which less than one
// percent of the volts is left.
func (c charge) seconds() model.Optional {
	if !c.farads.Known || !c.bleed.Known {
		return model.Optional{}
	}
	return model.Known(5 * c.farads.Value * c.bleed.Value)
}

// charges lists the capacitors that the map holds, by device.
func (f *facts) charges() []charge {
	var list []charge
	for _, l := range f.m.Links {
		if l.Kind != model.LinkCapacitance {
			continue
		}
		c := charge{device: l.Device, place: l.From + " to " + l.To, farads: l.Value}
		for _, ref := range []model.TerminalRef{l.FromRef(), l.ToRef()} {
			v := f.nominal(ref)
			if t, _ := f.m.Terminal(ref); t.Role == model.RoleRail { // a crossing hides the net's volts, not the supply's own
				v = t.Volts
			}
			if v.Known && v.Value != 0 {
				c.volts = v
			}
		}
		for _, other := range f.links[l.Device] {
			across := other.From == l.From && other.To == l.To || other.From == l.To && other.To == l.From
			if across && other.Kind == model.LinkResistance {
				c.bleed = other.Value
			}
		}
		list = append(list, c)
	}
	return list
}

// nominal returns the volts that are meant on a terminal: of the rail in its net
// without what joins nets by a fault, 0 for a return; not known where the map has
// rails of different volts together all the same.
func (f *facts) nominal(ref model.TerminalRef) model.Optional {
	at, there := f.machine().TerminalIndex(ref)
	if !there {
		return model.Optional{}
	}
	return f.netVolts(f.bench.Net(at))
}

func (f *facts) netVolts(net *graphs.Net) model.Optional {
	if net.Kind == graphs.NetReturn {
		return model.Known(0)
	}
	var volts model.Optional
	for _, t := range net.Terminals {
		terminal := &f.machine().Terminals[t]
		if terminal.Role != model.RoleRail {
			continue
		}
		if volts.Known && volts != terminal.Volts || !terminal.Volts.Known {
			return model.Optional{}
		}
		volts = terminal.Volts
	}
	return volts
}

// colourCount is how many wires of a net have a colour.
type colourCount struct {
	colour model.Colour
	count  int
}

// coloursOf lists the colours of wires, the most frequent first.
func coloursOf(wires []model.Wire) []colourCount {
	count := map[model.Colour]int{}
	for _, w := range wires {
		count[w.Colour]++
	}
	var list []colourCount
	for c, n := range count {
		list = append(list, colourCount{c, n})
	}
	slices.SortFunc(list, func(a, b colourCount) int {
		return cmp.Or(b.count-a.count, cmp.Compare(a.colour, b.colour))
	})
	return list
}

// wiresOf returns the wires of a net, as rows.
func (f *facts) wiresOf(net *graphs.Net) []model.Wire {
	list := make([]model.Wire, len(net.Wires))
	for i, id := range net.Wires {
		list[i] = f.machine().Wires[id]
	}
	return list
}

// bond is a place where a supply's return meets earth.
type bond struct {
	supplies []string // whose returns they are
	wire     string   // the conductor; empty: by more than one way
	from, to model.TerminalRef
}

// bonds finds, for each net that holds both returns of supplies and earth, the
// conductor that joins the two sides: the first wire, on the only way from the
// return to earth, that is green-yellow or ends at an earth terminal; else the
// first of that way.
func (f *facts) bonds() (list []bond, floating []string) {
	m := f.machine()
	earths := map[int]int{} // by net: an earth terminal, that of an inlet before others
	for t := range m.Terminals {
		if m.Terminals[t].Role == model.RoleEarth {
			d, _ := m.Device(m.Terminals[t].Device)
			if _, there := earths[f.nets.Of[t]]; !there || d.Kind == model.KindMainsInlet {
				earths[f.nets.Of[t]] = t
			}
		}
	}
	var blocks *graphs.Blocks
	known := map[string]int{}
	for _, g := range f.bench.Grounds {
		if len(g.Returns) == 0 {
			continue
		}
		ret := g.Returns[0]
		earth, there := earths[f.nets.Of[ret]]
		if !there {
			floating = append(floating, g.Device)
			continue
		}
		if blocks == nil {
			blocks = f.bench.AsDrawn.Blocks(graphs.Element.Joins)
		}
		b := bond{supplies: []string{g.Device}}
		for _, id := range blocks.BridgesBetween(ret, earth) {
			e := f.bench.AsDrawn.Elements[id]
			if e.Kind != graphs.Wire {
				continue
			}
			marked := m.Wires[e.Row].Colour == model.GreenYellow || (m.Terminals[e.A].Role == model.RoleEarth) != (m.Terminals[e.B].Role == model.RoleEarth)
			if marked || b.wire == "" {
				b.wire, b.from, b.to = m.Wires[e.Row].Name, f.ref(e.A), f.ref(e.B)
			}
			if marked {
				break
			}
		}
		if at, there := known[b.wire]; there {
			list[at].supplies = append(list[at].supplies, g.Device)
			continue
		}
		known[b.wire] = len(list)
		list = append(list, b)
	}
	slices.Sort(floating)
	return list, slices.Compact(floating)
}
