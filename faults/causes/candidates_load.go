package causes

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// coil is an inductive load on a driver's output.
type coil struct {
	device     string
	load       int // place in Parts.Loads; -1 where it has no feed of its own
	drive, far int // terminal of the output, and of the coil's other end
	driver     string
	suppressed bool
}

// transients are the kicks of driven coils: the output that drives one takes
// the most, then what shares its return, its rail or its board.
func (s *scene) transients() []Candidate {
	var list []Candidate
	for _, k := range s.coils() {
		share := map[int]float64{}
		raise := func(at int, to float64) { share[at] = max(share[at], to) }
		own := s.routeOf(s.loadsOf(k.driver))
		var rail []int
		if k.load >= 0 {
			rail = s.bench.Feeding(k.load)
		}
		for at := range s.witnesses {
			device := s.witnesses[at].Device
			switch {
			case device == k.driver:
				raise(at, 1)
			case device == k.device:
			default:
				if common(own.wires, s.routes[at].wires) {
					raise(at, 0.4)
				}
				if intersects(rail, s.feeding[at]) {
					raise(at, 0.2)
				}
			}
		}
		prior, why := "prior-unsuppressed", "a driven coil with no diode across it"
		if k.suppressed {
			prior, why = "prior-suppressed", "a driven coil; the map has a diode across it"
		}
		c := Candidate{
			Place: Place{Device: k.device}, Mechanism: Transient, Text: "feels the kick of " + k.device,
			Lines: s.prior(prior, Transient, why),
		}
		for at := range s.witnesses {
			if share[at] > 0 {
				ports := []Port(nil)
				by := "return"
				if s.witnesses[at].Device == k.driver {
					ports, by = []Port{PortDrive}, "signal"
				}
				c.Exposed = append(c.Exposed, Exposure{Witness: at, Share: share[at], Fragility: s.fragility(at, ports...), By: by})
			}
		}
		list = append(list, c)
	}
	return list
}

func (s *scene) loadsOf(device string) []int {
	var loads []int
	for at, load := range s.bench.Parts.Loads {
		if load.Device == device {
			loads = append(loads, at)
		}
	}
	return loads
}

// coils returns the driven coils of the machine, by name.
func (s *scene) coils() []coil {
	b := s.bench
	nets := b.AsIntended.Nets()
	drives := map[int]int{} // drive terminal by net
	for _, driver := range b.Parts.Drivers {
		drives[nets.Of[driver.Drive]] = driver.Drive
	}
	unsuppressed := map[string]bool{}
	for _, finding := range s.findings {
		if finding.Rule == "no-flyback" {
			for _, device := range finding.Devices {
				unsuppressed[device] = true
			}
		}
	}
	var list []coil
	for _, e := range b.AsIntended.Elements {
		if e.Kind != graphs.Resistance || !e.Present {
			continue
		}
		device, _ := b.Machine.Device(b.Machine.Terminals[e.A].Device)
		if !inductive(device.Kind) {
			continue
		}
		far := e.B
		drive, driven := drives[nets.Of[e.A]]
		if !driven {
			far = e.A
			drive, driven = drives[nets.Of[e.B]]
		}
		if !driven {
			continue
		}
		load := -1
		if own := s.loadsOf(device.Ref); len(own) > 0 {
			load = own[0]
		}
		list = append(list, coil{
			device: device.Ref, load: load, drive: drive, far: far, driver: b.Machine.Terminals[drive].Device,
			suppressed: !unsuppressed[device.Ref],
		})
	}
	slices.SortFunc(list, func(x, y coil) int { return model.Compare(x.device, y.device) })
	return slices.CompactFunc(list, func(x, y coil) bool { return x.device == y.device })
}

// heats are the zones with two witnesses or more; how hot they are is not
// known, so they are only suspected.
func (s *scene) heats() []Candidate {
	zones := map[string][]int{}
	for at := range s.witnesses {
		device, _ := s.bench.Machine.Device(s.witnesses[at].Device)
		if device.Zone != "" {
			zones[device.Zone] = append(zones[device.Zone], at)
		}
	}
	names := make([]string, 0, len(zones))
	for zone := range zones {
		names = append(names, zone)
	}
	slices.SortFunc(names, model.Compare)
	var list []Candidate
	for _, zone := range names {
		share := map[int]float64{}
		for _, at := range zones[zone] {
			share[at] = 0.5
		}
		list = append(list, Candidate{
			Place: Place{Device: s.hottest(zones[zone])}, Mechanism: Heat, Text: "sits in " + zone,
			Exposed: s.exposed(share, "zone", PortHeat),
			Lines:   s.prior("prior", Heat, "nobody has measured how warm "+zone+" gets"),
		})
	}
	return list
}

// hottest names the device that stands for a zone: its supply or amplifier,
// where it has one, for they make the heat; else its first failed device.
func (s *scene) hottest(zone []int) string {
	for _, kinds := range [][]model.DeviceKind{{model.KindSupply, model.KindConverter}, {model.KindAmplifier}} {
		for _, at := range zone {
			device, _ := s.bench.Machine.Device(s.witnesses[at].Device)
			if slices.Contains(kinds, device.Kind) {
				return device.Ref
			}
		}
	}
	for _, at := range zone {
		if s.witnesses[at].Health == model.HealthFailed {
			return s.witnesses[at].Device
		}
	}
	return s.witnesses[zone[0]].Device
}
