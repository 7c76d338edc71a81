package causes

import (
	"fmt"
	"slices"

	"bellout/faults"
	"bellout/model"
)

// crossings are the places where the map or the readings have one rail meet
// another: everything on the rail of fewer volts is exposed.
func (s *scene) crossings() []Candidate {
	var list []Candidate
	for _, finding := range s.findings {
		if finding.Rule != "rail-cross" {
			continue
		}
		lower, higher := s.rails(finding)
		if lower < 0 {
			continue
		}
		device := s.bench.Parts.Supplies[lower].Device
		meeting := [2]int{s.bench.Parts.Supplies[higher].Rail, s.bench.Parts.Supplies[lower].Rail}
		list = append(list, Candidate{
			Place: findingPlace(finding), Mechanism: Overvoltage,
			Text:    fmt.Sprintf("hangs on %s, into which a higher rail crosses", device),
			Exposed: s.exposed(s.below([]int{lower}), "feed", PortPower), meeting: meeting,
			Lines: append(s.prior("prior-crossing", Overvoltage, "rails seldom cross"),
				Line{s.weights.Points("crossing-read", Overvoltage), "check finds that they do: rail-cross"}),
			Decided: true,
		})
	}
	return list
}

// rails returns the supplies of fewest and of most volts among the rails that a
// finding names; -1 where it names none.
func (s *scene) rails(finding faults.Finding) (lower, higher int) {
	b := s.bench
	lower, higher = -1, -1
	for _, name := range finding.Nets {
		net, found := b.AsIntended.Nets().Find(name)
		if !found {
			continue
		}
		for _, supply := range b.SuppliesAt(net) {
			if lower < 0 || b.Parts.Supplies[supply].Volts.Or(0) < b.Parts.Supplies[lower].Volts.Or(0) {
				lower = supply
			}
			if higher < 0 || b.Parts.Supplies[supply].Volts.Or(0) > b.Parts.Supplies[higher].Volts.Or(0) {
				higher = supply
			}
		}
	}
	return lower, higher
}

func findingPlace(finding faults.Finding) Place {
	switch {
	case len(finding.Wires) > 0:
		return Place{Wire: finding.Wires[0]}
	case len(finding.Devices) > 0:
		return Place{Device: finding.Devices[0]}
	case len(finding.Terminals) > 0:
		return Place{Terminal: finding.Terminals[0]}
	}
	return Place{}
}

// ripples: what a supply's output carries besides DC comes back over its return,
// and everything whose own return shares a piece of that way feels it.
func (s *scene) ripples() []Candidate {
	var list []Candidate
	order, supplies := s.supplyDevices()
	for _, device := range order {
		own := s.routeOfSupply(supplies[device])
		share := map[int]float64{}
		for at := range s.witnesses {
			if s.witnesses[at].Device != device && s.routes[at].shares(own) {
				share[at] = 1
			}
		}
		prior, why := "prior-light", "a supply of light loads and no more volts than the failed devices have"
		if s.feedsInductive(supplies[device]) || s.aboveFailed(supplies[device]) {
			prior, why = "prior-heavy", "it feeds coils or motors, or has more volts than the failed devices"
		}
		list = append(list, Candidate{
			Place: Place{Device: device}, Mechanism: Ripple, Text: "shares its return with " + device,
			Exposed: s.exposed(share, "return"),
			Lines:   s.prior(prior, Ripple, why),
		})
	}
	return list
}

// routeOfSupply returns the pieces over which everything that some supplies
// feed returns to them.
func (s *scene) routeOfSupply(supplies []int) route {
	var loads []int
	for at := range s.bench.Parts.Loads {
		if intersects(s.bench.Feeding(at), supplies) {
			loads = append(loads, at)
		}
	}
	var r route
	for _, at := range loads {
		for _, from := range s.bench.Parts.Loads[at].Returns {
			for _, supply := range supplies {
				for _, to := range s.bench.Parts.Supplies[supply].Returns {
					s.walk(&r, from, to)
				}
			}
		}
	}
	r.tidy()
	return r
}

func (s *scene) feedsInductive(supplies []int) bool {
	for at, load := range s.bench.Parts.Loads {
		device, _ := s.bench.Machine.Device(load.Device)
		if inductive(device.Kind) && intersects(s.bench.Feeding(at), supplies) {
			return true
		}
	}
	return false
}

func inductive(kind model.DeviceKind) bool {
	return kind == model.KindSolenoid || kind == model.KindMotor || kind == model.KindRelay
}

func (s *scene) aboveFailed(supplies []int) bool {
	highest := 0.0
	for _, at := range s.failed {
		for _, load := range s.loads[at] {
			highest = max(highest, s.bench.Parts.Loads[load].Volts.Or(0))
		}
	}
	return slices.ContainsFunc(supplies, func(supply int) bool {
		return highest > 0 && s.bench.Parts.Supplies[supply].Volts.Or(0) > highest
	})
}

// overloads: a supply that check finds loaded over its use limit sags.
func (s *scene) overloads() []Candidate {
	var list []Candidate
	for _, finding := range s.findings {
		if finding.Rule != "overload" || len(finding.Devices) == 0 {
			continue
		}
		device := finding.Devices[0]
		_, supplies := s.supplyDevices()
		share := map[int]float64{}
		for at, feeding := range s.feeding {
			if intersects(feeding, supplies[device]) {
				share[at] = 1
			}
		}
		list = append(list, Candidate{
			Place: Place{Device: device}, Mechanism: Undervoltage, Text: "hangs on " + device,
			Exposed: s.exposed(share, "feed", PortPower),
			Lines:   s.prior("prior", Undervoltage, "check finds it loaded over its limit: resets more than deaths"),
		})
	}
	return list
}

// surges come in by a mains inlet and reach everything that its supplies feed.
func (s *scene) surges() []Candidate {
	var list []Candidate
	nets := s.bench.AsDrawn.Nets()
	inlets := map[string][]int{} // line nets by inlet
	var order []string
	for t, terminal := range s.bench.Machine.Terminals {
		device, _ := s.bench.Machine.Device(terminal.Device)
		if device.Kind == model.KindMainsInlet && terminal.Role == model.RoleLine {
			if len(inlets[device.Ref]) == 0 {
				order = append(order, device.Ref)
			}
			inlets[device.Ref] = append(inlets[device.Ref], nets.Of[t])
		}
	}
	slices.SortFunc(order, model.Compare)
	for _, inlet := range order {
		share := map[int]float64{}
		for at, feeding := range s.feeding {
			// With one inlet there is no other way in, whatever switches lie between.
			if len(feeding) > 0 && (len(order) == 1 || s.onInlet(feeding, inlets[inlet])) {
				share[at] = 0.3
			}
		}
		list = append(list, Candidate{
			Place: Place{Device: inlet}, Mechanism: MainsSurge, Text: "is fed from " + inlet,
			Exposed: s.exposed(share, "mains", PortPower),
			Lines:   s.prior("prior", MainsSurge, "a surge that gets through a supply is seldom"),
		})
	}
	return list
}

func (s *scene) onInlet(supplies, lineNets []int) bool {
	nets := s.bench.AsDrawn.Nets()
	for _, supply := range supplies {
		device := s.bench.Parts.Supplies[supply].Device
		for t, terminal := range s.bench.Machine.Terminals {
			if terminal.Device == device && terminal.Role == model.RoleLine && slices.Contains(lineNets, nets.Of[t]) {
				return true
			}
		}
	}
	return false
}

// leakages: a supply whose 0 V meets no earth floats up through its filter; a
// device with a signal to earthed parts carries the leakage at plug-in.
func (s *scene) leakages() []Candidate {
	var list []Candidate
	order, supplies := s.supplyDevices()
	for _, device := range order {
		if s.earthed(supplies[device]) {
			continue
		}
		share := map[int]float64{}
		for at, feeding := range s.feeding {
			if !intersects(feeding, supplies[device]) {
				continue
			}
			for _, far := range s.signals[at] {
				if s.earthed(s.feeding[far]) {
					share[at] = 1
				}
			}
		}
		list = append(list, Candidate{
			Place: Place{Device: device}, Mechanism: Leakage, Text: "bridges floating " + device + " and earthed parts",
			Exposed: s.exposed(share, "signal", PortSignal, PortPower),
			Lines:   s.prior("prior", Leakage, "its 0 V reaches no earth"),
		})
	}
	return list
}

// earthed says whether the 0 V of any of the supplies is in one net with an
// earth terminal.
func (s *scene) earthed(supplies []int) bool {
	for _, supply := range supplies {
		for _, t := range s.bench.Parts.Supplies[supply].Returns {
			if s.meetsEarth(t) {
				return true
			}
		}
	}
	return false
}

// meetsEarth says whether a terminal is in one net with an earth terminal.
func (s *scene) meetsEarth(t int) bool {
	return slices.ContainsFunc(s.bench.AsIntended.Nets().Net(t).Terminals, func(other int) bool { return s.bench.Machine.Terminals[other].Role == model.RoleEarth })
}

// backFeeds: a signal from something that stays on feeds a device whose own
// supply is off. Supplies count as switched apart when they hang on different
// inlets or not on the same contacts.
func (s *scene) backFeeds() []Candidate {
	var list []Candidate
	order, supplies := s.supplyDevices()
	for _, device := range order {
		share := map[int]float64{}
		for at, feeding := range s.feeding {
			if intersects(feeding, supplies[device]) || len(feeding) == 0 {
				continue
			}
			for _, far := range s.signals[at] {
				if intersects(s.feeding[far], supplies[device]) && s.switchedApart(feeding, supplies[device]) {
					share[at] = 1
				}
			}
		}
		list = append(list, Candidate{
			Place: Place{Device: device}, Mechanism: BackFeed, Text: "has a signal from what " + device + " feeds",
			Exposed: s.exposed(share, "signal", PortSignal),
			Lines:   s.prior("prior", BackFeed, "it is switched apart from the supply of the failed devices"),
		})
	}
	return list
}

// switchedApart says whether two groups of supplies are not on one line net:
// a switch or another inlet lies between them.
func (s *scene) switchedApart(one, other []int) bool {
	lines, others := s.lineNets(one), s.lineNets(other)
	return len(lines) > 0 && len(others) > 0 && !intersects(lines, others)
}

func (s *scene) lineNets(supplies []int) []int {
	var nets []int
	for _, supply := range supplies {
		device := s.bench.Parts.Supplies[supply].Device
		for t, terminal := range s.bench.Machine.Terminals {
			if terminal.Device == device && terminal.Role == model.RoleLine {
				nets = append(nets, s.bench.AsDrawn.Nets().Of[t])
			}
		}
	}
	return nets
}
