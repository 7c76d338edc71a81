package scene

import (
	"image/color"
	"math"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs"
	"bellout/graphs/layout"
	"bellout/model"
)

// Scene is a plan with what is known of its devices and wires, ready to be drawn.
// One goroutine at a time. What the plan holds and the machine does not have any
// more, because a new plan is still being worked out, is left out.
type Scene struct {
	Plan  *layout.Plan
	view  session.View
	nets  *graphs.Nets
	boxes []box
	wires []wire
	ends  map[model.TerminalRef]layout.End
	base  []int // of a box: the number of its first port among all ports
	ports int
	grid  *grid
	net   map[int][]int // wires of the plan by net of nets

	// What a frame asks of every wire lies close together, or apart: with tens of
	// thousands of them reading it takes longer than asking.
	extents []drawing.Box // of each wire; empty for one that is not here
	thick   []int         // wires that are
	blamed  []int         // wires that are contradicted
	version int           // counts what Look judged anew

	tags    []tag // scratch, by net
	scratch scratch
}

// box is one device.
type box struct {
	*layout.Box
	outline drawing.Box
	body    drawing.Box
	free    drawing.Box // of body: the part between the marks
	here    bool        // the machine has it
	health  model.Health
	blamed  bool
	links   []link
	rails   []int // of the plan
	ports   []port
	width   float64 // of the reference in type of size 1
}

// port is one terminal.
type port struct {
	at, far drawing.Point
	here    bool
	blamed  bool
	net     int  // in Scene.nets; -1 if the machine does not have it
	wired   bool // a wire ends at at
	beyond  bool // a wire ends at far
}

// link is a conduction path between two ports of one box.
type link struct {
	from, to int
	kind     model.LinkKind
	state    model.LinkState
	text     string
}

// wire is one conductor.
type wire struct {
	points  []drawing.Point
	pieces  [][]drawing.Point // the same with gaps where others cross; nil without crossings
	longest [2]drawing.Point  // the ends of its longest run
	here    bool
	colours []color.NRGBA
	thick   bool // a rail, a return, earth or mains
	status  Status
	net     int
}

// Status is what readings and rules say of a wire.
type Status uint8

// The statuses.
const (
	Unproven Status = iota
	Proven
	Contradicted
	Statuses
)

// New makes a scene. Cost: linear in the plan and the machine.
func New(plan *layout.Plan, view session.View) *Scene {
	s := &Scene{Plan: plan, view: view, ends: map[model.TerminalRef]layout.End{}}
	s.nets = graphs.NewCircuit(view.Machine, nil).Nets()
	s.makeBoxes()
	s.makeWires()
	s.grid = newGrid(s)
	return s
}

// Look takes a newer view. It returns s where only readings came, and a new scene
// of the same plan where the map was edited.
func (s *Scene) Look(view session.View) *Scene {
	if view.Edition != s.view.Edition || view.Path != s.view.Path {
		return New(s.Plan, view)
	}
	s.view = view
	s.judge()
	return s
}

// View returns the view that is drawn.
func (s *Scene) View() session.View { return s.view }

// Bounds holds everything that is drawn.
func (s *Scene) Bounds() drawing.Box { return boxOf(s.Plan.Bounds) }

func (s *Scene) makeBoxes() {
	m := s.view.Machine
	s.boxes = make([]box, len(s.Plan.Boxes))
	s.base = make([]int, len(s.Plan.Boxes))
	for i := range s.Plan.Boxes {
		p := &s.Plan.Boxes[i]
		b := &s.boxes[i]
		device, here := m.Device(p.Device)
		*b = box{Box: p, outline: boxOf(p.Rect), body: boxOf(p.Body), here: here, health: device.Health}
		if b.body.Max.Y <= b.body.Min.Y {
			b.body = b.outline
		}
		b.width = drawing.Measure(p.Device, 1, drawing.Bold)
		b.ports = make([]port, len(p.Ports))
		s.base[i] = s.ports
		s.ports += len(p.Ports)
		for j := range p.Ports {
			q := &p.Ports[j]
			b.ports[j] = port{at: drawing.Point(q.At), far: drawing.Point(q.Far), net: -1}
			if row, there := m.TerminalIndex(q.Terminal); there {
				b.ports[j].here, b.ports[j].net = true, s.nets.Of[row]
			}
			s.ends[q.Terminal] = layout.End{Box: i, Port: j}
		}
		b.free = s.freeOf(b)
	}
	for i := range s.Plan.Rails {
		at := s.Plan.Rails[i].Box
		s.boxes[at].rails = append(s.boxes[at].rails, i)
	}
	for i := range m.Links {
		l := &m.Links[i]
		from, there := s.ends[l.FromRef()]
		to, too := s.ends[l.ToRef()]
		if there && too && from.Box == to.Box {
			b := &s.boxes[from.Box]
			b.links = append(b.links, link{from.Port, to.Port, l.Kind, l.State, linkText(*l)})
		}
	}
}

// freeOf is the part of a body that no mark covers: between those on the left
// and those on the right.
func (s *Scene) freeOf(b *box) drawing.Box {
	free := b.body
	for i := range b.Ports {
		p := &b.Ports[i]
		if p.Label < 0 || p.Label >= len(s.Plan.Labels) {
			continue
		}
		label := boxOf(s.Plan.Labels[p.Label].Rect)
		switch p.Side {
		case layout.Left:
			free.Min.X = max(free.Min.X, label.Max.X)
		case layout.Right:
			free.Max.X = min(free.Max.X, label.Min.X)
		}
	}
	return free
}

func (s *Scene) makeWires() {
	m := s.view.Machine
	s.wires = make([]wire, len(s.Plan.Wires))
	s.extents = make([]drawing.Box, len(s.Plan.Wires))
	s.net = map[int][]int{}
	for i := range s.Plan.Wires {
		s.extents[i] = nowhere
		route := &s.Plan.Wires[i]
		w := &s.wires[i]
		row, here := m.Wire(route.Wire)
		*w = wire{points: make([]drawing.Point, len(route.Points)), here: here && !row.Removed && len(route.Points) > 1, net: -1}
		for j, p := range route.Points {
			w.points[j] = drawing.Point(p)
		}
		if !w.here {
			continue
		}
		s.extents[i] = w.measure()
		if len(route.Hops) > 0 {
			w.pieces = split(w.points, route.Hops)
		}
		s.land(route.From, w.points[0])
		s.land(route.To, w.points[len(w.points)-1])
		w.colours = drawing.Insulation(row.Colour)
		if terminal, there := m.TerminalIndex(row.From); there {
			w.net = s.nets.Of[terminal]
			kind := s.nets.List[w.net].Kind
			w.thick = kind.Separate() || kind.Mains()
			s.net[w.net] = append(s.net[w.net], i)
			if w.thick {
				s.thick = append(s.thick, i)
			}
		}
	}
	s.judge()
}

// land notes on which side of a strip a wire ends.
func (s *Scene) land(end layout.End, at drawing.Point) {
	p := &s.boxes[end.Box].ports[end.Port]
	if s.boxes[end.Box].Ports[end.Port].Through && manhattan(at, p.far) < manhattan(at, p.at) {
		p.beyond = true
		return
	}
	p.wired = true
}

// judge says how each wire and device stands to readings and rules.
func (s *Scene) judge() {
	s.version++
	s.blamed = s.blamed[:0]
	for i := range s.wires {
		name := s.Plan.Wires[i].Wire
		w := &s.wires[i]
		w.status = Unproven
		if s.view.Proven[name] {
			w.status = Proven
		}
		if _, blamed := s.view.Against[name]; blamed {
			w.status = Contradicted
			if w.here {
				s.blamed = append(s.blamed, i)
			}
		}
	}
	for i := range s.boxes {
		b := &s.boxes[i]
		device, here := s.view.Machine.Device(b.Device)
		b.here, b.health, b.blamed = here, device.Health, false
		for j := range b.Ports {
			_, blamed := s.view.Against[b.Ports[j].Terminal.String()]
			b.ports[j].blamed = blamed
			b.blamed = b.blamed || blamed
		}
	}
}

// nowhere touches nothing.
var nowhere = drawing.Box{Min: drawing.Point{X: math.Inf(1), Y: math.Inf(1)}, Max: drawing.Point{X: math.Inf(-1), Y: math.Inf(-1)}}

// measure finds the longest run, and returns what the wire reaches over.
func (w *wire) measure() (bounds drawing.Box) {
	bounds = nowhere
	most := -1.0
	for i, p := range w.points {
		bounds.Min.X, bounds.Max.X = min(bounds.Min.X, p.X), max(bounds.Max.X, p.X)
		bounds.Min.Y, bounds.Max.Y = min(bounds.Min.Y, p.Y), max(bounds.Max.Y, p.Y)
		if i == 0 {
			continue
		}
		if length := manhattan(w.points[i-1], p); length > most {
			most, w.longest = length, [2]drawing.Point{w.points[i-1], p}
		}
	}
	return bounds
}

func manhattan(a, b drawing.Point) float64 { return max(a.X-b.X, b.X-a.X) + max(a.Y-b.Y, b.Y-a.Y) }

// hopGap is how much of a wire is left out on each side of one that crosses it.
const hopGap = 2.75

// split cuts a way where others cross it. Hops come along the way.
func split(points []drawing.Point, hops []layout.Point) [][]drawing.Point {
	var pieces [][]drawing.Point
	piece := []drawing.Point{points[0]}
	next := 0
	for i := 1; i < len(points); i++ {
		from, to := points[i-1], points[i]
		length := manhattan(from, to)
		for ; next < len(hops) && length > 0 && onRun(from, to, drawing.Point(hops[next])); next++ {
			along := manhattan(from, drawing.Point(hops[next]))
			at := func(distance float64) drawing.Point {
				t := min(max(distance/length, 0), 1)
				return drawing.Point{X: from.X + (to.X-from.X)*t, Y: from.Y + (to.Y-from.Y)*t}
			}
			before, after := at(along-hopGap), at(along+hopGap)
			// The last point is on this run: its start, or the far side of another
			// crossing, which may lie beyond this one's near side.
			if along-hopGap > manhattan(from, piece[len(piece)-1]) {
				piece = append(piece, before)
			}
			if len(piece) > 1 {
				pieces = append(pieces, piece)
			}
			piece = []drawing.Point{after}
		}
		if piece[len(piece)-1] != to {
			piece = append(piece, to)
		}
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// onRun says that a point lies on an upright or level run.
func onRun(from, to, p drawing.Point) bool {
	return p.X >= min(from.X, to.X) && p.X <= max(from.X, to.X) && p.Y >= min(from.Y, to.Y) && p.Y <= max(from.Y, to.Y)
}

func boxOf(r layout.Rect) drawing.Box {
	return drawing.Box{Min: drawing.Point(r.Min), Max: drawing.Point(r.Max)}
}
