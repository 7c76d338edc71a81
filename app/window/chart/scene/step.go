package scene

import (
	"math"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs/layout"
)

// Direction is a step from the keyboard.
type Direction int

// The directions.
const (
	Left Direction = iota
	Right
	Up
	Down
)

var way = [...]drawing.Point{{X: -1}, {X: 1}, {Y: -1}, {Y: 1}}

// Step leads from what is selected to its neighbour in a direction. From a
// terminal, left and right follow the wire away from the box or cross the box to
// its other side; up and down go along the side. From a device it is the nearest
// box there, one that a wire leads to before others. From a wire it is the end
// that lies there. Where nothing lies there it stays.
func (s *Scene) Step(from session.Selection, to Direction) session.Selection {
	switch from.Kind {
	case session.Terminal:
		if end, there := s.end(from.Name); there {
			return s.stepTerminal(from, end, to)
		}
	case session.Device:
		if at, there := s.Plan.Box(from.Name); there {
			return s.stepBox(from, at, to)
		}
	case session.Wire:
		if at, there := s.Plan.Wire(from.Name); there && s.wires[at].here {
			route := &s.Plan.Wires[at]
			a, z := s.wires[at].points[0], s.wires[at].points[len(s.wires[at].points)-1]
			end := route.From
			if towards(z, to) > towards(a, to) {
				end = route.To
			}
			return s.hitPort(end.Box, end.Port).Selection()
		}
	case session.Net:
		return session.Selection{Kind: session.Terminal, Name: from.Name}
	}
	return from
}

func towards(p drawing.Point, to Direction) float64 { return p.X*way[to].X + p.Y*way[to].Y }

func (s *Scene) stepTerminal(from session.Selection, end layout.End, to Direction) session.Selection {
	b := &s.boxes[end.Box]
	p := &b.Ports[end.Port]
	side := p.Side
	outward := side == layout.Left && to == Left || side == layout.Right && to == Right || p.Through && (to == Left || to == Right)
	if outward {
		if far, found := s.farEnd(end, to); found {
			return s.hitPort(far.Box, far.Port).Selection()
		}
		return from
	}
	// Along the side, or to the other one: the nearest terminal of the box there.
	best, least := -1, math.Inf(1)
	for j := range b.ports {
		if j == end.Port || !b.ports[j].here {
			continue
		}
		dx, dy := b.ports[j].at.X-b.ports[end.Port].at.X, b.ports[j].at.Y-b.ports[end.Port].at.Y
		forward := dx*way[to].X + dy*way[to].Y
		aside := math.Abs(dx*way[to].Y) + math.Abs(dy*way[to].X)
		if forward <= 0 || (to == Up || to == Down) && b.Ports[j].Side != side {
			continue
		}
		if cost := forward + 4*aside; cost < least {
			best, least = j, cost
		}
	}
	if best < 0 {
		return from
	}
	return s.hitPort(end.Box, best).Selection()
}

// farEnd is where a wire leads from a terminal, of several the one that goes
// furthest to that side.
func (s *Scene) farEnd(from layout.End, to Direction) (layout.End, bool) {
	var best layout.End
	found, most := false, math.Inf(-1)
	for _, far := range s.fars(from) {
		if reach := towards(s.boxes[far.Box].ports[far.Port].at, to); reach > most {
			best, found, most = far, true, reach
		}
	}
	return best, found
}

// fars are the terminals at the other ends of the wires of one.
func (s *Scene) fars(from layout.End) []layout.End {
	var list []layout.End
	net := s.boxes[from.Box].ports[from.Port].net
	for _, wire := range s.net[net] {
		route := &s.Plan.Wires[wire]
		switch from {
		case route.From:
			list = append(list, route.To)
		case route.To:
			list = append(list, route.From)
		}
	}
	return list
}

func (s *Scene) stepBox(from session.Selection, at int, to Direction) session.Selection {
	joined := map[int]bool{}
	for j := range s.boxes[at].ports {
		for _, far := range s.fars(layout.End{Box: at, Port: j}) {
			joined[far.Box] = true
		}
	}
	start := middle(s.boxes[at].outline)
	best, least := -1, math.Inf(1)
	for i := range s.boxes {
		if i == at || !s.boxes[i].here {
			continue
		}
		p := middle(s.boxes[i].outline)
		dx, dy := p.X-start.X, p.Y-start.Y
		forward := dx*way[to].X + dy*way[to].Y
		aside := math.Abs(dx*way[to].Y) + math.Abs(dy*way[to].X)
		if forward <= 0 || aside > 3*forward {
			continue
		}
		cost := forward + 2*aside
		if !joined[i] {
			cost *= 4
		}
		if cost < least {
			best, least = i, cost
		}
	}
	if best < 0 {
		return from
	}
	return s.hitBox(best).Selection()
}

// Next leads to the next of its kind: the terminals of a device, the wires of a
// net, the devices by reference; forward or back, round and round.
func (s *Scene) Next(from session.Selection, forward bool) session.Selection {
	turn := func(at, count int, here func(int) bool) int {
		for range count {
			if forward {
				at = (at + 1) % count
			} else {
				at = (at - 1 + count) % count
			}
			if here(at) {
				return at
			}
		}
		return at
	}
	switch from.Kind {
	case session.Terminal:
		if end, there := s.end(from.Name); there {
			ports := s.boxes[end.Box].ports
			return s.hitPort(end.Box, turn(end.Port, len(ports), func(i int) bool { return ports[i].here })).Selection()
		}
	case session.Wire:
		if at, there := s.Plan.Wire(from.Name); there && s.wires[at].here {
			wires := s.net[s.wires[at].net]
			for i, wire := range wires {
				if wire == at {
					return s.hitWire(wires[turn(i, len(wires), func(int) bool { return true })]).Selection()
				}
			}
		}
	case session.Device:
		if at, there := s.Plan.Box(from.Name); there {
			return s.hitBox(turn(at, len(s.boxes), func(i int) bool { return s.boxes[i].here })).Selection()
		}
	}
	return from
}

// Into leads into a thing: from a device to its first terminal, from a wire or a
// net to a terminal of it.
func (s *Scene) Into(from session.Selection) session.Selection {
	switch from.Kind {
	case session.Device:
		if at, there := s.Plan.Box(from.Name); there {
			for j := range s.boxes[at].ports {
				if s.boxes[at].ports[j].here {
					return s.hitPort(at, j).Selection()
				}
			}
		}
	case session.Wire:
		if at, there := s.Plan.Wire(from.Name); there && s.wires[at].here {
			return s.hitPort(s.Plan.Wires[at].From.Box, s.Plan.Wires[at].From.Port).Selection()
		}
	case session.Net:
		return session.Selection{Kind: session.Terminal, Name: from.Name}
	}
	return from
}

// Middle is the thing nearest to a point, from which steps can begin; false on an
// empty chart.
func (s *Scene) Middle(p drawing.Point) (session.Selection, bool) {
	best, least := -1, math.Inf(1)
	for i := range s.boxes {
		at := middle(s.boxes[i].outline)
		if far := math.Hypot(at.X-p.X, at.Y-p.Y); s.boxes[i].here && far < least {
			best, least = i, far
		}
	}
	if best < 0 {
		return session.Selection{}, false
	}
	return s.hitBox(best).Selection(), true
}
