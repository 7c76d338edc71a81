package causes

import (
	"slices"
	"strings"

	"bellout/model"
)

// misplugs are the plugs over which both the feed and the return of a failed device
// come: wired, or once put on, the wrong way round, they give it its volts reversed.
// A plug that is noted as keyed is none, nor is one that carries earth or the mains.
func (s *scene) misplugs() []Candidate {
	var list []Candidate
	for _, device := range s.bench.Machine.Devices {
		keyed := strings.Contains(strings.ToLower(device.Title+" "+device.Note), "keyed")
		if device.Kind != model.KindConnector || keyed || s.bench.LeftInPlace().Device(device.Ref) {
			continue
		}
		share := map[int]float64{}
		var beyond []int
		for at := range s.witnesses {
			if slices.Contains(s.routes[at].devices, device.Ref) && s.feedRunsOver(at, device.Ref) {
				share[at] = 1
				beyond = append(beyond, at)
			}
		}
		if len(beyond) == 0 {
			continue
		}
		// The failed ones first: they are asked about.
		slices.SortStableFunc(beyond, func(x, y int) int { return s.deadFirst(x) - s.deadFirst(y) })
		prior, why := "prior-untouched", "nobody is noted to have worked at this plug"
		if s.workedAt(device.Ref, beyond) {
			prior, why = "prior-touched", "this plug, or what hangs on it, was worked at"
		}
		c := Candidate{
			Place: Place{Device: device.Ref}, Mechanism: ReversePolarity, Text: "has plus and minus over plug " + device.Ref,
			Exposed: s.exposed(share, "feed", PortPower), beyond: beyond,
			Lines: s.prior(prior, ReversePolarity, why),
		}
		for _, finding := range s.findings {
			if (finding.Rule == "swapped" || finding.Rule == "reverse-polarity") && s.namesPlug(finding.Terminals, device.Ref, beyond) {
				s.addLine(&c, "polarity-reversed", "check finds "+finding.Rule+" there")
				c.Decided = true
				break
			}
		}
		list = append(list, c)
	}
	slices.SortFunc(list, func(x, y Candidate) int { return model.Compare(x.Place.Device, y.Place.Device) })
	return list
}

func (s *scene) deadFirst(witness int) int {
	if s.witnesses[witness].Health == model.HealthFailed {
		return 0
	}
	return 1
}

// feedRunsOver says whether a feed of a witness comes over a device.
func (s *scene) feedRunsOver(witness int, device string) bool {
	for _, load := range s.loads[witness] {
		feed := s.bench.Parts.Loads[load].Feed
		for _, supply := range s.bench.Feeding(load) {
			rail := s.bench.Parts.Supplies[supply].Rail
			if !s.metal.Joined(feed, rail) {
				continue
			}
			for _, id := range s.metal.Between(feed, rail) {
				e := s.bench.AsIntended.Elements[id]
				if s.bench.Machine.Terminals[e.A].Device == device && s.bench.Machine.Terminals[e.B].Device == device {
					return true
				}
			}
		}
	}
	return false
}

// workedAt says whether the file tells of work at a plug before the last death: an
// edit that moved something there, or another part in, there or behind it.
func (s *scene) workedAt(plug string, beyond []int) bool {
	m := s.bench.Machine
	for _, touch := range m.Touches {
		if touch.A.Device == plug || touch.B.Device == plug {
			return true
		}
	}
	devices := []string{plug}
	for _, at := range beyond {
		devices = append(devices, s.witnesses[at].Device)
	}
	return slices.ContainsFunc(m.Events, func(e model.Event) bool {
		return e.Word == model.EventReplaced && slices.Contains(devices, e.Device) &&
			slices.ContainsFunc(s.deaths, func(death model.Event) bool { return death.At.IsZero() || !death.At.Before(e.At) })
	})
}

// namesPlug says whether a finding is about a plug, or about what hangs on it.
func (s *scene) namesPlug(terminals []string, plug string, beyond []int) bool {
	return slices.ContainsFunc(terminals, func(terminal string) bool {
		device, _, _ := strings.Cut(terminal, ":")
		return device == plug || slices.ContainsFunc(beyond, func(at int) bool { return s.witnesses[at].Device == device })
	})
}
