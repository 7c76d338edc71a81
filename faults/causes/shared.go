package causes

import (
	"cmp"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Shared is something that several failed devices have on their ways, by which kind
// of way, and which healthy devices have it too.
type Shared struct {
	Element string   `json:"element"` // a wire, a link, a supply or inlet, a cable or a zone
	Kind    string   `json:"kind"`    // feed, return, earth, mains, signal, cable or zone
	Failed  []string `json:"failed"`
	Healthy []string `json:"healthy"`
}

// sharedKinds are in the order of how much such a thing tells.
var sharedKinds = []string{"feed", "return", "signal", "cable", "mains", "earth", "zone"}

// shared lists what two failed devices or more have in common: what no healthy device
// has comes first, then what most failed ones have. A device of unknown health
// counts for neither. Cost: a look at the ways of each device.
func (s *scene) shared() []Shared {
	type key struct{ kind, element string }
	at := map[key]int{}
	var list []Shared
	for place, witness := range s.witnesses {
		if witness.Health != model.HealthFailed && witness.Health != model.HealthOK {
			continue
		}
		ways := s.waysOf(place)
		for kind, elements := range ways {
			for element := range elements {
				i, known := at[key{kind, element}]
				if !known {
					i = len(list)
					at[key{kind, element}] = i
					list = append(list, Shared{element, kind, []string{}, []string{}})
				}
				if witness.Health == model.HealthFailed {
					list[i].Failed = append(list[i].Failed, witness.Device)
				} else {
					list[i].Healthy = append(list[i].Healthy, witness.Device)
				}
			}
		}
	}
	list = slices.DeleteFunc(list, func(one Shared) bool { return len(one.Failed) < 2 })
	slices.SortFunc(list, func(x, y Shared) int {
		return cmp.Or(
			cmp.Compare(min(1, len(x.Healthy)), min(1, len(y.Healthy))), cmp.Compare(len(y.Failed), len(x.Failed)), cmp.Compare(len(x.Healthy), len(y.Healthy)),
			cmp.Compare(slices.Index(sharedKinds, x.Kind), slices.Index(sharedKinds, y.Kind)),
			slices.Compare(x.Failed, y.Failed), slices.Compare(x.Healthy, y.Healthy), model.Compare(x.Element, y.Element))
	})
	return append([]Shared{}, list...)
}

// ways are the names of what lies on a device's ways, by kind.
type ways map[string]map[string]bool

func (w ways) add(kind, element string) {
	if element == "" {
		return
	}
	if w[kind] == nil {
		w[kind] = map[string]bool{}
	}
	w[kind][element] = true
}

func (s *scene) waysOf(witness int) ways {
	w := ways{}
	m := s.bench.Machine
	device, _ := m.Device(s.witnesses[witness].Device)
	w.add("zone", device.Zone)
	s.upstream(w, device.Ref, s.loads[witness], map[string]bool{})
	nets := s.bench.AsIntended.Nets()
	for t, terminal := range m.Terminals {
		if terminal.Device != device.Ref {
			continue
		}
		switch terminal.Role {
		case model.RoleSignal:
			for _, name := range s.namesOf(nets.Net(t).Wires) {
				w.add("signal", name)
			}
		case model.RoleEarth:
			s.toInlets(w, "earth", t)
		}
	}
	for _, kind := range []string{"feed", "return", "signal", "earth"} {
		for name := range w[kind] {
			if wire, is := m.Wire(name); is {
				w.add("cable", wire.Cable)
			}
		}
	}
	return w
}

// upstream adds what some loads of a device are fed and return over, from supply to
// supply up to the mains.
func (s *scene) upstream(w ways, device string, loads []int, seen map[string]bool) {
	seen[device] = true
	b := s.bench
	for _, at := range loads {
		load := b.Parts.Loads[at]
		for _, supply := range b.Feeding(at) {
			source := b.Parts.Supplies[supply]
			s.between(w, "feed", s.metal, load.Feed, source.Rail)
			w.add("feed", source.Device)
			for _, from := range load.Returns {
				for _, to := range source.Returns {
					for _, way := range s.stretches(from, to) {
						s.between(w, "return", s.metal, way[0], way[1])
					}
				}
			}
			if seen[source.Device] {
				continue
			}
			s.upstream(w, source.Device, s.loadsOf(source.Device), seen)
			for t, terminal := range b.Machine.Terminals {
				if terminal.Device == source.Device && (terminal.Role == model.RoleLine || terminal.Role == model.RoleNeutral) {
					s.toInlets(w, "mains", t)
				}
			}
		}
	}
}

// toInlets adds the ways from a terminal to those of the same role at mains inlets,
// through contacts in any position.
func (s *scene) toInlets(w ways, kind string, from int) {
	m := s.bench.Machine
	for t, terminal := range m.Terminals {
		if device, _ := m.Device(terminal.Device); device.Kind.Known() == model.KindMainsInlet && terminal.Role == m.Terminals[from].Role && s.mains().Joined(from, t) {
			s.between(w, kind, s.mains(), from, t)
			w.add(kind, device.Ref)
		}
	}
}

func (s *scene) between(w ways, kind string, blocks *graphs.Blocks, from, to int) {
	for _, name := range s.namesOf(blocks.Between(from, to)) {
		w.add(kind, name)
	}
}

// namesOf names wires and links.
func (s *scene) namesOf(elements []int) []string {
	var names []string
	for _, id := range elements {
		e := s.bench.AsIntended.Elements[id]
		if id < len(s.bench.Machine.Wires) { // what is only joined, too
			names = append(names, s.bench.Machine.Wires[id].Name)
		} else if e.Row >= 0 {
			names = append(names, s.bench.Machine.Links[e.Row].Place())
		}
	}
	return names
}

// GroupedShared puts together what the same devices share by the same kind of way:
// its elements stand in one entry, with commas between them.
func GroupedShared(list []Shared) []Shared {
	var groups []Shared
	for _, one := range list {
		i := slices.IndexFunc(groups, func(g Shared) bool {
			return g.Kind == one.Kind && slices.Equal(g.Failed, one.Failed) && slices.Equal(g.Healthy, one.Healthy)
		})
		if i < 0 {
			groups = append(groups, one)
			continue
		}
		groups[i].Element = strings.Join([]string{groups[i].Element, one.Element}, ", ")
	}
	return groups
}
