package scene

import (
	"math"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs/layout"
	"bellout/model"
)

// Hit is what lies under a point.
type Hit struct {
	Kind session.Kind // Terminal, Wire, Device; Nothing on the bare sheet
	Name string       // as a selection has it
	Box  int          // of the plan: the terminal's or the device's box; -1 for a wire
	Port int          // of the box; -1
	Wire int          // of the plan; -1
}

// Selection is the hit as something to look at.
func (h Hit) Selection() session.Selection { return session.Selection{Kind: h.Kind, Name: h.Name} }

// How near a point must come, in units of the screen.
const (
	nearTerminal = 9.0
	nearWire     = 5.0
)

var nothing = Hit{Box: -1, Port: -1, Wire: -1}

// At returns what lies under a point of the chart, seen at a scale: a terminal
// before a wire, a wire before a label, a label before a device; of two alike the
// nearer. Cost: the squares of the grid round the point.
func (s *Scene) At(p drawing.Point, scale float64) Hit {
	reach := nearTerminal / scale
	best, bestRank, bestFar := nothing, 9, math.Inf(1)
	offer := func(rank int, far float64, hit func() Hit) {
		if rank < bestRank || rank == bestRank && far < bestFar {
			best, bestRank, bestFar = hit(), rank, far
		}
	}
	// From afar, terminals of one box lie closer together than a pointer is exact:
	// then the device is what is meant.
	pick := layout.Row*scale >= 4
	s.grid.near(square(p, reach), func(it item) {
		at := int(it.at)
		switch it.kind {
		case itemPort:
			b := &s.boxes[at]
			q := &b.ports[it.part]
			if !pick || !b.here || !q.here {
				return
			}
			far := math.Hypot(q.at.X-p.X, q.at.Y-p.Y)
			if b.Ports[it.part].Through {
				far = min(far, math.Hypot(q.far.X-p.X, q.far.Y-p.Y))
			}
			if far <= min(reach, layout.Row*0.75) || far <= 4 {
				offer(0, far, func() Hit { return s.hitPort(at, int(it.part)) })
			}
		case itemRun:
			w := &s.wires[at]
			if !w.here {
				return
			}
			if far := away(w.points[it.part], w.points[it.part+1], p); far <= nearWire/scale {
				offer(1, far, func() Hit { return s.hitWire(at) })
			}
		case itemLabel:
			label := &s.Plan.Labels[at]
			if !within(boxOf(label.Rect), p) {
				return
			}
			if hit := s.hitLabel(label); hit.Kind != session.Nothing {
				offer(2, 0, func() Hit { return hit })
			}
		case itemBox:
			if b := &s.boxes[at]; b.here && within(b.outline, p) {
				offer(3, 0, func() Hit { return s.hitBox(at) })
			}
		}
	})
	// A wire that passes close by a box from outside is not what is meant inside it.
	if best.Kind == session.Wire && !pick {
		for i := range s.boxes {
			if s.boxes[i].here && within(s.boxes[i].outline, p) {
				return s.hitBox(i)
			}
		}
	}
	return best
}

// Under returns the box that a hand takes at a point of the chart: that of what
// was hit, else the one that lies there; -1 beside all of them.
func (s *Scene) Under(p drawing.Point, hit Hit) int {
	found := hit.Box
	s.grid.near(square(p, 0), func(it item) {
		if found < 0 && it.kind == itemBox && s.boxes[it.at].here && within(s.boxes[it.at].outline, p) {
			found = int(it.at)
		}
	})
	return found
}

func (s *Scene) hitPort(box, port int) Hit {
	return Hit{Kind: session.Terminal, Name: s.Plan.Boxes[box].Ports[port].Terminal.String(), Box: box, Port: port, Wire: -1}
}

func (s *Scene) hitWire(wire int) Hit {
	return Hit{Kind: session.Wire, Name: s.Plan.Wires[wire].Wire, Box: -1, Port: -1, Wire: wire}
}

func (s *Scene) hitBox(box int) Hit {
	return Hit{Kind: session.Device, Name: s.Plan.Boxes[box].Device, Box: box, Port: -1, Wire: -1}
}

func (s *Scene) hitLabel(label *layout.Label) Hit {
	switch label.Kind {
	case layout.Mark:
		if s.boxes[label.Box].ports[label.Port].here {
			return s.hitPort(label.Box, label.Port)
		}
	case layout.WireName:
		if s.wires[label.Wire].here {
			return s.hitWire(label.Wire)
		}
	case layout.Reference, layout.Title:
		if s.boxes[label.Box].here {
			return s.hitBox(label.Box)
		}
	}
	return nothing
}

// away is how far a point lies from a run.
func away(from, to, p drawing.Point) float64 {
	box := span(from, to)
	dx := max(box.Min.X-p.X, p.X-box.Max.X, 0)
	dy := max(box.Min.Y-p.Y, p.Y-box.Max.Y, 0)
	return math.Hypot(dx, dy)
}

// Place returns the box of the chart that a selection covers; false where it is
// not on the chart.
func (s *Scene) Place(selection session.Selection) (drawing.Box, bool) {
	switch selection.Kind {
	case session.Device:
		if at, there := s.Plan.Box(selection.Name); there {
			return s.boxes[at].outline, true
		}
	case session.Terminal:
		if at, there := s.Port(selection.Name); there {
			return square(at, 60), true
		}
	case session.Wire:
		if at, there := s.Plan.Wire(selection.Name); there && s.wires[at].here {
			return s.extents[at], true
		}
	case session.Net, session.Finding:
		return s.LitBounds(s.Light(selection, session.Highlight{}))
	}
	return drawing.Box{}, false
}

// Port returns where a terminal, named DEVICE:TERMINAL, lies.
func (s *Scene) Port(terminal string) (drawing.Point, bool) {
	end, there := s.end(terminal)
	if !there {
		return drawing.Point{}, false
	}
	return s.boxes[end.Box].ports[end.Port].at, true
}

// Runs returns the way of a wire; nil where it is not drawn.
func (s *Scene) Runs(wire int) []drawing.Point {
	if wire < 0 || wire >= len(s.wires) || !s.wires[wire].here {
		return nil
	}
	return s.wires[wire].points
}

// BoxOf returns the outline of a device's box.
func (s *Scene) BoxOf(box int) drawing.Box { return s.boxes[box].outline }

// Terminal returns the terminal that a hit or a selection names.
func Terminal(name string) (model.TerminalRef, bool) {
	ref, err := model.ParseTerminalRef(name)
	return ref, err == nil
}
