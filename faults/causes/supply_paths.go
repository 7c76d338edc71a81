package causes

import (
	"fmt"
	"slices"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// scene is the machine as the ranking looks at it: who testifies, what feeds
// each of them, and by which pieces each returns.
type scene struct {
	bench     *faults.Analysis
	weights   *Weights
	witnesses []Witness // one for each device; failed where any part died in its place
	lives     []Witness // one for each part that stood in a device's place: who testifies
	stale     map[int64]bool
	at        map[string]int // witness by device
	ports     [][]Port       // by witness: the ports that it has
	loads     [][]int        // by witness: places in Parts.Loads
	feeding   [][]int        // by witness: supplies, by place in Parts.Supplies
	metal     *graphs.Blocks // of everything that joins, culprits taken out
	mainsWays *graphs.Blocks // see mains; nil until needed
	routes    []route        // by witness
	signals   [][]int        // by witness: witnesses it shares a signal net with
	failed    []int          // witnesses
	deaths    []model.Event  // all of them
	findings  []faults.Finding
	proven    map[string]bool     // wires that readings prove
	wiresAt   map[string][]string // by device: the wires that land on it
}

// route is the way by which a device returns to its supplies.
type route struct {
	wires   []string
	devices []string // blocks, plugs and splices on the way
	bridges []int    // elements whose loss takes the return away
}

// newScene reads the machine. A device without a feed is a witness only if it
// failed: nothing that is looked for here could have reached it, so its health
// says nothing.
func newScene(b *faults.Analysis, known Known, w *Weights) *scene {
	s := &scene{bench: b, weights: w, at: map[string]int{}, findings: known.Findings, proven: known.ProvenWires, stale: known.Stale}
	s.metal = b.AsIntended.Blocks(func(e graphs.Element) bool { return e.Joins() })
	loads := map[string][]int{}
	for place, load := range b.Parts.Loads {
		loads[load.Device] = append(loads[load.Device], place)
	}
	devices := slices.Clone(b.Machine.Devices)
	slices.SortFunc(devices, func(x, y model.Device) int { return model.Compare(x.Ref, y.Ref) })
	for _, device := range devices {
		deaths := b.Machine.Deaths(device.Ref)
		if len(loads[device.Ref]) == 0 && len(deaths) == 0 {
			continue
		}
		at := len(s.witnesses)
		s.at[device.Ref] = at
		witness := Witness{Device: device.Ref, Health: device.Health, Background: w.Background(device.Kind), Sure: 1}
		if len(deaths) > 0 {
			witness.Health = model.HealthFailed
			s.failed = append(s.failed, at)
			s.deaths = append(s.deaths, deaths...)
		}
		s.witnesses = append(s.witnesses, witness)
		s.loads = append(s.loads, loads[device.Ref])
		s.ports = append(s.ports, nil)
		var feeding []int
		for _, load := range loads[device.Ref] {
			feeding = append(feeding, b.Feeding(load)...)
		}
		slices.Sort(feeding)
		s.feeding = append(s.feeding, slices.Compact(feeding))
	}
	s.findPorts()
	s.findSignals()
	s.wiresAt = map[string][]string{}
	for _, wire := range b.Machine.Wires {
		if !wire.Removed {
			s.wiresAt[wire.From.Device] = append(s.wiresAt[wire.From.Device], wire.Name)
			s.wiresAt[wire.To.Device] = append(s.wiresAt[wire.To.Device], wire.Name)
		}
	}
	for at := range s.witnesses {
		s.routes = append(s.routes, s.routeOf(s.loads[at]))
	}
	s.findLives()
	return s
}

// findLives lists the parts that testify: each that died, and the one that is in
// now.
func (s *scene) findLives() {
	for at, witness := range s.witnesses {
		device, _ := s.bench.Machine.Device(witness.Device)
		since, replaced := s.bench.Machine.InSince(device.Ref)
		witness.place = at
		for _, death := range s.bench.Machine.Deaths(device.Ref) {
			died := witness
			if replaced && !death.At.IsZero() {
				died.Words = fmt.Sprintf("%s failed on %s", device.Ref, death.At.Format(time.DateOnly))
			}
			s.lives = append(s.lives, died)
		}
		if witness.Health = device.Health; device.Health == model.HealthFailed {
			continue
		}
		if device.Health == model.HealthOK {
			witness.Sure = s.weights.Sureness(device.Note)
		}
		if replaced {
			witness.Sure *= s.shareSince(since)
			witness.Words = fmt.Sprintf("%s is well since %s", device.Ref, since.Format(time.DateOnly))
		}
		s.lives = append(s.lives, witness)
	}
}

// shareSince returns the share of all deaths that came after a moment: what a part
// that was put in then has lived through. One of no known date it has not.
func (s *scene) shareSince(moment time.Time) float64 {
	through := 0
	for _, death := range s.deaths {
		if death.At.After(moment) {
			through++
		}
	}
	if len(s.deaths) == 0 {
		return 1
	}
	return float64(through) / float64(len(s.deaths))
}

// told returns a candidate with its exposures by part instead of by device.
func (s *scene) told(c Candidate) Candidate {
	byDevice := c.Exposed
	c.Exposed = nil
	for life, witness := range s.lives {
		for _, exposure := range byDevice {
			if exposure.Witness == witness.place {
				exposure.Witness = life
				c.Exposed = append(c.Exposed, exposure)
			}
		}
	}
	return c
}

func (s *scene) findPorts() {
	for _, terminal := range s.bench.Machine.Terminals {
		at, known := s.at[terminal.Device]
		if !known {
			continue
		}
		var port Port
		switch terminal.Role {
		case model.RoleFeed:
			port = PortPower
		case model.RoleSignal:
			port = PortSignal
		case model.RoleDrive:
			port = PortDrive
		default:
			continue
		}
		if !slices.Contains(s.ports[at], port) {
			s.ports[at] = append(s.ports[at], port)
		}
	}
}

// fragility returns the fragility of a witness's weakest port among those named;
// with none named, among all it has.
func (s *scene) fragility(at int, ports ...Port) float64 {
	device, _ := s.bench.Machine.Device(s.witnesses[at].Device)
	if len(ports) == 0 {
		ports = s.ports[at]
	}
	weakest := 0.0
	for _, port := range ports {
		weakest = max(weakest, s.weights.Fragility(device.Kind, port))
	}
	if weakest == 0 {
		weakest = s.weights.Fragility(device.Kind, PortPower)
	}
	return weakest
}

// findSignals notes which witnesses exchange a signal.
func (s *scene) findSignals() {
	s.signals = make([][]int, len(s.witnesses))
	nets := s.bench.AsIntended.Nets()
	for _, net := range nets.List {
		if net.Kind != graphs.NetSignal && net.Kind != graphs.NetDrive {
			continue
		}
		var here []int
		for _, t := range net.Terminals {
			terminal := s.bench.Machine.Terminals[t]
			if at, known := s.at[terminal.Device]; known && terminal.Role == model.RoleSignal && !slices.Contains(here, at) {
				here = append(here, at)
			}
		}
		for _, one := range here {
			for _, other := range here {
				if one != other {
					s.signals[one] = append(s.signals[one], other)
				}
			}
		}
	}
	for at := range s.signals {
		slices.Sort(s.signals[at])
		s.signals[at] = slices.Compact(s.signals[at])
	}
}

// routeOf returns the pieces that the returns of some loads run over on their
// way to the supplies that feed them, through sinking drivers too.
func (s *scene) routeOf(loads []int) route {
	var r route
	b := s.bench
	for _, at := range loads {
		load := b.Parts.Loads[at]
		for _, supply := range b.Feeding(at) {
			for _, from := range load.Returns {
				for _, to := range b.Parts.Supplies[supply].Returns {
					s.walk(&r, from, to)
				}
			}
		}
	}
	r.tidy()
	return r
}

// tidy sorts the lists and leaves each entry once.
func (r *route) tidy() {
	slices.SortFunc(r.wires, model.Compare)
	slices.SortFunc(r.devices, model.Compare)
	slices.Sort(r.bridges)
	r.wires, r.devices, r.bridges = slices.Compact(r.wires), slices.Compact(r.devices), slices.Compact(r.bridges)
}

// walk adds the way from one terminal to a supply's return. Where metal does
// not lead there, a driver that sinks the net may.
func (s *scene) walk(r *route, from, to int) {
	for _, way := range s.stretches(from, to) {
		s.add(r, way[0], way[1])
	}
}

// stretches are the ways of metal from a terminal to a supply's return: one, or one
// on each side of a driver that sinks it.
func (s *scene) stretches(from, to int) (ways [][2]int) {
	if s.metal.Joined(from, to) {
		return [][2]int{{from, to}}
	}
	for _, driver := range s.bench.Parts.Drivers {
		if !s.metal.Joined(from, driver.Drive) {
			continue
		}
		for _, sink := range driver.Returns {
			if s.metal.Joined(sink, to) {
				ways = append(ways, [2]int{from, driver.Drive}, [2]int{sink, to})
			}
		}
	}
	return ways
}

func (s *scene) add(r *route, from, to int) {
	c, m := s.bench.AsIntended, s.bench.Machine
	for _, id := range s.metal.Between(from, to) {
		e := c.Elements[id]
		if e.Kind == graphs.Wire {
			r.wires = append(r.wires, m.Wires[e.Row].Name)
		}
		for _, t := range [2]int{e.A, e.B} {
			if t != from && t != to && m.Terminals[t].Role != model.RoleReturn {
				r.devices = append(r.devices, m.Terminals[t].Device)
			}
		}
	}
	r.bridges = append(r.bridges, s.metal.BridgesBetween(from, to)...)
}

// shares says whether two ways run over a common wire or through a common block
// or plug.
func (r route) shares(other route) bool {
	return common(r.wires, other.wires) || common(r.devices, other.devices)
}

// common says whether two sorted lists have an entry in common.
func common(one, other []string) bool {
	for i, j := 0, 0; i < len(one) && j < len(other); {
		switch order := model.Compare(one[i], other[j]); {
		case order == 0:
			return true
		case order < 0:
			i++
		default:
			j++
		}
	}
	return false
}

// span returns the time from the first to the last failure that has a date,
// and whether at least two have one.
func (s *scene) span() (time.Duration, bool) {
	var first, last time.Time
	dated := 0
	for _, death := range s.deaths {
		if death.At.IsZero() {
			continue
		}
		dated++
		if first.IsZero() || death.At.Before(first) {
			first = death.At
		}
		if death.At.After(last) {
			last = death.At
		}
	}
	return last.Sub(first), dated >= 2
}
