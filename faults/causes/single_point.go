package causes

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// SinglePoints are the pieces that dominate every failed device: whose loss
// alone takes the feed, or the return, of all of them. Wires stand by their
// names, links as DEVICE:FROM-TO.
type SinglePoints struct {
	Feed   []string
	Return []string
}

// singlePoints intersects the bridges on the ways of all failed devices. A
// device with several feeds loses what any of them loses. Bridges are the
// dominators of passive wiring: every way to the source runs over them.
func (s *scene) singlePoints() SinglePoints {
	var points SinglePoints
	for at, witness := range s.failed {
		feed := s.namesOf(s.feedBridges(witness))
		back := s.namesOf(s.routes[witness].bridges)
		if at == 0 {
			points = SinglePoints{Feed: feed, Return: back}
			continue
		}
		points.Feed = both(points.Feed, feed)
		points.Return = both(points.Return, back)
	}
	return points
}

func (s *scene) feedBridges(witness int) []int {
	var ids []int
	for _, at := range s.loads[witness] {
		load := s.bench.Parts.Loads[at]
		for _, supply := range s.bench.Feeding(at) {
			ids = append(ids, s.metal.BridgesBetween(load.Feed, s.bench.Parts.Supplies[supply].Rail)...)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

func (s *scene) namesOf(elements []int) []string {
	var names []string
	for _, id := range elements {
		e := s.bench.Apart.Elements[id]
		if e.Kind == graphs.Wire {
			names = append(names, s.bench.Machine.Wires[e.Row].Name)
		} else if e.Row >= 0 {
			names = append(names, s.bench.Machine.Links[e.Row].Place())
		}
	}
	slices.SortFunc(names, model.Compare)
	return slices.Compact(names)
}

func both(one, other []string) []string {
	return slices.DeleteFunc(one, func(name string) bool { return !slices.Contains(other, name) })
}
