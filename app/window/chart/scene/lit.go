package scene

import (
	"slices"
	"strings"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs"
	"bellout/graphs/layout"
	"bellout/model"
)

// PathKind says why something stands out: by being joined to what is selected,
// or by being on an upstream path of that kind.
type PathKind int

// The kinds. Each path has a pattern of its own and a letter, besides its colour.
const (
	Joined PathKind = iota
	Feed
	Return
	Earth
	Mains
	Signal
	PathKinds
)

// PathNames are the kinds as package graphs names them.
var PathNames = [PathKinds]string{"", string(graphs.PathFeed), string(graphs.PathReturn), string(graphs.PathEarth), string(graphs.PathMains), string(graphs.PathSignal)}

// letters stand on the paths.
var letters = [PathKinds]string{"", "F", "R", "E", "M", "S"}

func pathKind(name string) PathKind {
	if at := slices.Index(PathNames[:], name); at > 0 {
		return PathKind(at)
	}
	return Joined
}

// kinds is a set of PathKind.
type kinds uint8

func (k kinds) has(kind PathKind) bool { return k&(1<<kind) != 0 }

// Lit is what stands out; everything else steps back. The zero value brings
// nothing out and lets nothing step back.
type Lit struct {
	on    bool
	wires []kinds // of the plan's wires
	boxes []bool
	ports []bool         // by Scene.base
	Kinds [PathKinds]int // how many wires of each kind there are
}

// On says whether anything stands out.
func (l *Lit) On() bool { return l != nil && l.on }

func (l *Lit) wire(i int) kinds {
	if !l.On() {
		return 0
	}
	return l.wires[i]
}

func (l *Lit) box(i int) bool  { return !l.On() || l.boxes[i] }
func (l *Lit) port(i int) bool { return l.On() && l.ports[i] }

// Key says which letters stand on the paths that stand out, as in "F feed, R
// return"; empty where there are none.
func (l *Lit) Key() string {
	words := ""
	for kind := Feed; l.On() && kind < PathKinds; kind++ {
		if l.Kinds[kind] == 0 {
			continue
		}
		if words != "" {
			words += ", "
		}
		words += letters[kind] + " " + PathNames[kind]
	}
	return words
}

// Light works out what stands out for a selection and what a place wants brought
// out beside it, which goes first.
func (s *Scene) Light(selection session.Selection, highlight session.Highlight) *Lit {
	l := &Lit{wires: make([]kinds, len(s.wires)), boxes: make([]bool, len(s.boxes)), ports: make([]bool, s.ports)}
	if !highlight.Empty() {
		for _, strand := range highlight.Strands {
			s.lightStrand(l, strand)
		}
		for _, device := range highlight.Devices {
			s.lightBox(l, device)
		}
		for _, w := range highlight.Gone {
			s.lightPort(l, w.From)
			s.lightPort(l, w.To)
		}
	}
	// Without strands nothing but things is brought out: what is joined stands out
	// as ever.
	alone := len(highlight.Strands) == 0
	switch selection.Kind {
	case session.Device:
		s.lightBox(l, selection.Name)
		if at, there := s.Plan.Box(selection.Name); there && alone {
			s.lightJoined(l, at)
		}
	case session.Terminal, session.Net:
		if alone {
			s.lightNet(l, selection.Name)
		} else {
			s.lightPort(l, selection.Name)
		}
	case session.Wire:
		if at, there := s.Plan.Wire(selection.Name); there && s.wires[at].here {
			if alone {
				s.lightNet(l, s.Plan.Boxes[s.Plan.Wires[at].From.Box].Ports[s.Plan.Wires[at].From.Port].Terminal.String())
			}
			s.lightWire(l, at, Joined)
		}
	case session.Finding:
		s.lightFinding(l, selection.Finding)
	}
	return l
}

func (s *Scene) lightStrand(l *Lit, strand session.Strand) {
	kind := pathKind(strand.Kind)
	for _, name := range strand.Wires {
		if at, there := s.Plan.Wire(name); there {
			s.lightWire(l, at, kind)
		}
	}
	for _, name := range strand.Terminals {
		s.lightPort(l, name)
	}
}

// lightWire lights a wire and what it ends at.
func (s *Scene) lightWire(l *Lit, at int, kind PathKind) {
	if !s.wires[at].here {
		return
	}
	l.on = true
	if !l.wires[at].has(kind) {
		l.Kinds[kind]++
	}
	l.wires[at] |= 1 << kind
	route := &s.Plan.Wires[at]
	for _, end := range []layout.End{route.From, route.To} {
		l.boxes[end.Box], l.ports[s.base[end.Box]+end.Port] = true, true
	}
}

func (s *Scene) lightBox(l *Lit, device string) {
	if at, there := s.Plan.Box(device); there {
		l.on, l.boxes[at] = true, true
	}
}

func (s *Scene) lightPort(l *Lit, terminal string) {
	if end, there := s.end(terminal); there {
		l.on, l.boxes[end.Box], l.ports[s.base[end.Box]+end.Port] = true, true, true
	}
}

// end finds a terminal by its name.
func (s *Scene) end(terminal string) (layout.End, bool) {
	device, mark, _ := strings.Cut(terminal, ":")
	end, there := s.ends[model.TerminalRef{Device: device, Mark: mark}]
	return end, there
}

// lightJoined lights the wires at a device, and beyond them those of the nets
// that are its own affair: a whole 0 V of the machine would bring out everything.
func (s *Scene) lightJoined(l *Lit, at int) {
	b := &s.boxes[at]
	for i := range b.ports {
		if b.ports[i].net < 0 {
			continue
		}
		common := s.nets.List[b.ports[i].net].Kind.Separate() || s.nets.List[b.ports[i].net].Kind.Mains()
		for _, wire := range s.net[b.ports[i].net] {
			route := &s.Plan.Wires[wire]
			if !common || route.From.Box == at || route.To.Box == at {
				s.lightWire(l, wire, Joined)
			}
		}
	}
}

// lightNet lights the net of a terminal.
func (s *Scene) lightNet(l *Lit, terminal string) {
	s.lightPort(l, terminal)
	end, there := s.end(terminal)
	if !there {
		return
	}
	net := s.boxes[end.Box].ports[end.Port].net
	if net < 0 {
		return
	}
	for _, wire := range s.net[net] {
		s.lightWire(l, wire, Joined)
	}
	for _, row := range s.nets.List[net].Terminals {
		s.lightPort(l, s.view.Machine.Terminals[row].Ref().String())
	}
}

func (s *Scene) lightFinding(l *Lit, at int) {
	if at < 0 || at >= len(s.view.Report.Findings) {
		return
	}
	finding := &s.view.Report.Findings[at]
	for _, name := range finding.Wires {
		if at, there := s.Plan.Wire(name); there {
			s.lightWire(l, at, Joined)
		}
	}
	for _, name := range finding.Terminals {
		s.lightPort(l, name)
	}
	for _, name := range finding.Devices {
		s.lightBox(l, name)
	}
}

// LitBounds holds what stands out; false where nothing does.
func (s *Scene) LitBounds(l *Lit) (drawing.Box, bool) {
	if !l.On() {
		return drawing.Box{}, false
	}
	var all drawing.Box
	any := false
	add := func(b drawing.Box) {
		if !any {
			all, any = b, true
			return
		}
		all.Min.X, all.Min.Y = min(all.Min.X, b.Min.X), min(all.Min.Y, b.Min.Y)
		all.Max.X, all.Max.Y = max(all.Max.X, b.Max.X), max(all.Max.Y, b.Max.Y)
	}
	for i, lit := range l.boxes {
		if lit {
			add(s.boxes[i].outline)
		}
	}
	for i, lit := range l.wires {
		if lit != 0 {
			add(s.extents[i])
		}
	}
	return all, any
}
