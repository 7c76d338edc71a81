package causes

import (
	"fmt"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// candidates returns everything in the machine that could have killed several
// devices: each supply, return piece, driven coil, mains inlet, zone, crossing
// of rails, floating 0 V. A candidate that reaches no failed device is left
// out.
func (s *scene) candidates() []Candidate {
	var all []Candidate
	all = append(all, s.overvoltages()...)
	all = append(all, s.crossings()...)
	all = append(all, s.lostReturns()...)
	all = append(all, s.transients()...)
	all = append(all, s.ripples()...)
	all = append(all, s.surges()...)
	all = append(all, s.leakages()...)
	all = append(all, s.backFeeds()...)
	all = append(all, s.heats()...)
	all = append(all, s.overloads()...)
	all = append(all, s.misplugs()...)
	return slices.DeleteFunc(all, func(c Candidate) bool { return !s.reachesFailed(c) })
}

func (s *scene) reachesFailed(c Candidate) bool {
	return slices.ContainsFunc(c.Exposed, func(e Exposure) bool {
		return e.Share > 0 && s.witnesses[e.Witness].Health == model.HealthFailed
	})
}

// prior opens a candidate's lines.
func (s *scene) prior(evidence string, mechanism Mechanism, text string) []Line {
	return []Line{{Points: s.weights.Points(evidence, mechanism), Text: text}}
}

// supplyDevices returns the devices that have a rail, with the places of their
// supplies.
func (s *scene) supplyDevices() (order []string, supplies map[string][]int) {
	supplies = map[string][]int{}
	for at, supply := range s.bench.Parts.Supplies {
		if len(supplies[supply.Device]) == 0 {
			order = append(order, supply.Device)
		}
		supplies[supply.Device] = append(supplies[supply.Device], at)
	}
	slices.SortFunc(order, model.Compare)
	return order, supplies
}

// below returns how much of an overvoltage of some supplies arrives at each
// witness: all of it where they feed it, a part behind a converter.
func (s *scene) below(supplies []int) map[int]float64 {
	share := map[int]float64{}
	part := 1.0
	seen := map[string]bool{}
	for len(supplies) > 0 {
		var next []int
		for at, feeding := range s.feeding {
			if !intersects(feeding, supplies) {
				continue
			}
			share[at] = max(share[at], part)
			device := s.witnesses[at].Device
			if seen[device] {
				continue
			}
			seen[device] = true
			for place, supply := range s.bench.Parts.Supplies {
				if supply.Device == device {
					next = append(next, place)
				}
			}
		}
		supplies, part = next, part*s.weights.Bound("converter-share")
	}
	return share
}

func intersects(one, other []int) bool {
	return slices.ContainsFunc(one, func(x int) bool { return slices.Contains(other, x) })
}

// exposed turns shares by witness into exposures, in the order of witnesses.
func (s *scene) exposed(share map[int]float64, by string, ports ...Port) []Exposure {
	var list []Exposure
	for at := range s.witnesses {
		if share[at] > 0 {
			list = append(list, Exposure{Witness: at, Share: share[at], Fragility: s.fragility(at, ports...), By: by})
		}
	}
	return list
}

func (s *scene) overvoltages() []Candidate {
	var list []Candidate
	order, supplies := s.supplyDevices()
	for _, device := range order {
		list = append(list, Candidate{
			Place: Place{Device: device}, Mechanism: Overvoltage, Text: "hangs on " + device,
			Exposed: s.exposed(s.below(supplies[device]), "feed", PortPower),
			Lines:   s.prior("prior", Overvoltage, "a supply seldom fails high"),
		})
	}
	return list
}

// lostReturns are the pieces of return whose loss takes the 0 V of one device
// or more. Pieces with the same devices beyond them cannot be told apart from
// here: the one nearest the supply stands for them, the others are named in its
// prior line.
func (s *scene) lostReturns() []Candidate {
	beyond := map[int][]int{}
	for at, r := range s.routes {
		for _, id := range r.bridges {
			beyond[id] = append(beyond[id], at)
		}
	}
	groups := map[string][]int{}
	for id, witnesses := range beyond {
		groups[fmt.Sprint(witnesses)] = append(groups[fmt.Sprint(witnesses)], id)
	}
	keys := make([]string, 0, len(groups))
	for key := range groups {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	var list []Candidate
	for _, key := range keys {
		pieces := s.sortPieces(groups[key])
		devices := beyond[pieces[0]]
		if !slices.ContainsFunc(devices, func(at int) bool { return s.witnesses[at].Health == model.HealthFailed }) {
			continue
		}
		list = append(list, s.lostReturn(pieces, devices))
		if len(devices) > 1 {
			list = append(list, s.groundShift(pieces, devices))
		}
	}
	return list
}

// sortPieces puts wires before links, each by name.
func (s *scene) sortPieces(ids []int) []int {
	sorted := slices.Clone(ids)
	slices.SortFunc(sorted, func(x, y int) int {
		a, b := s.bench.AsIntended.Elements[x], s.bench.AsIntended.Elements[y]
		if isWire := a.Kind == graphs.Wire; isWire != (b.Kind == graphs.Wire) {
			if isWire {
				return -1
			}
			return 1
		}
		return model.Compare(s.pieceName(x), s.pieceName(y))
	})
	return sorted
}

func (s *scene) pieceName(id int) string {
	e := s.bench.AsIntended.Elements[id]
	if e.Kind == graphs.Wire {
		return s.bench.Machine.Wires[e.Row].Name
	}
	return s.bench.AsIntended.Ref(e.A).String()
}

func (s *scene) piecePlace(id int) Place {
	if s.bench.AsIntended.Elements[id].Kind == graphs.Wire {
		return Place{Wire: s.pieceName(id)}
	}
	return Place{Terminal: s.pieceName(id)}
}

func (s *scene) namePieces(pieces []int) string {
	names := make([]string, 0, len(pieces))
	for _, id := range pieces {
		names = append(names, s.pieceName(id))
	}
	if len(names) > 6 {
		names = append(names[:6], fmt.Sprintf("%d more", len(pieces)-6))
	}
	return strings.Join(names, ", ")
}

func (s *scene) lostReturn(pieces, devices []int) Candidate {
	share := map[int]float64{}
	for _, at := range devices {
		share[at] = 0.3
		if s.hasOtherWayOut(at, devices) {
			share[at] = 1
		}
		for _, far := range s.signals[at] {
			if !slices.Contains(devices, far) {
				share[far] = max(share[far], 0.3)
			}
		}
	}
	c := Candidate{
		Place: s.piecePlace(pieces[0]), Mechanism: LostReturn, Text: "returns over " + s.pieceName(pieces[0]),
		Exposed: s.exposed(share, "return"), pieces: pieces, beyond: devices,
		Lines: s.prior("prior", LostReturn, "return joints work loose: "+s.namePieces(pieces)),
	}
	for at := range c.Exposed {
		if exposure := &c.Exposed[at]; !slices.Contains(devices, exposure.Witness) {
			exposure.By, exposure.Text = "signal", "has a signal to what returns over "+s.pieceName(pieces[0])
		}
	}
	if evidence, text := s.readReturn(pieces); evidence != "" {
		c.Lines = append(c.Lines, Line{s.weights.Points(evidence, LostReturn), text})
		c.Decided = c.Lines[len(c.Lines)-1].Points > 0
	}
	return c
}

// hasOtherWayOut says whether current finds another way out of a device when
// its return opens: a signal to a device that keeps its own return, or a
// heavier load beyond the same piece on a rail of more volts.
func (s *scene) hasOtherWayOut(at int, devices []int) bool {
	for _, far := range s.signals[at] {
		if !slices.Contains(devices, far) {
			return true
		}
	}
	b := s.bench
	for _, own := range s.loads[at] {
		for _, other := range devices {
			for _, load := range s.loads[other] {
				heavier := b.Parts.Loads[load].Amps.Or(0) > b.Parts.Loads[own].Amps.Or(0)
				if other != at && heavier && b.Parts.Loads[load].Volts.Or(0) > b.Parts.Loads[own].Volts.Or(0) {
					return true
				}
			}
		}
	}
	return false
}

// groundShift: heavy currents in a shared return move the 0 V of everything
// beyond it against the rest; it reaches devices by the signals that cross it.
func (s *scene) groundShift(pieces, devices []int) Candidate {
	share := map[int]float64{}
	for at := range s.witnesses {
		inside := slices.Contains(devices, at)
		crossing := 0
		for _, far := range s.signals[at] {
			if slices.Contains(devices, far) != inside {
				crossing++
			}
		}
		if crossing > 0 {
			share[at] = float64(crossing) / float64(len(s.signals[at]))
		}
	}
	c := Candidate{
		Place: s.piecePlace(pieces[0]), Mechanism: GroundShift,
		Text:    "has signals across " + s.pieceName(pieces[0]),
		Exposed: s.exposed(share, "signal", PortSignal), pieces: pieces, beyond: devices,
		Lines: s.prior("prior", GroundShift, "a return shared by several devices: "+s.namePieces(pieces)),
	}
	if evidence, text := s.readReturn(pieces); evidence == "return-bad" {
		s.addLine(&c, evidence, text)
		c.Decided = true
	}
	return c
}
