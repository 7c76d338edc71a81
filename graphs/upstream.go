package graphs

import (
	"cmp"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// PathKind says what an upstream path brings to a device.
type PathKind string

// The kinds of upstream path, in the order in which they are listed.
const (
	PathFeed   PathKind = "feed"
	PathReturn PathKind = "return"
	PathEarth  PathKind = "earth"
	PathMains  PathKind = "mains"
	PathSignal PathKind = "signal"
)

// PathKinds lists every kind of path.
var PathKinds = []PathKind{PathFeed, PathReturn, PathEarth, PathMains, PathSignal}

// Path is one way upstream from a device, as the builder would walk it.
type Path struct {
	Kind     PathKind
	Terminal []int // every terminal in order, the device's own first
	// Elements are the wires and links in order. Where a path passes the output
	// stage of a driver for which the map has no link, two terminals follow each
	// other with no element between.
	Elements []int
	Source   string // the reference of the device it comes from

	depth int // 0: the device's own path; 1: one of a source of it; ...
}

// PathLimit is the most paths that commands list.
const PathLimit = 1000

// OmittedLimit is where the count of paths left out ends: that many or more.
const OmittedLimit = kit.CountLimit

// Tracing is what leads upstream from a device.
type Tracing struct {
	Paths   []Path
	Omitted int // how many more there are; 0: complete
	// AtLeast says that Omitted is a lower bound: counting them took too long,
	// or there are OmittedLimit and more.
	AtLeast bool
}

// Upstream returns upstream paths of a device, at most limit of them, and how
// many more there are (0: complete): see Trace.
func (c *Circuit) Upstream(device string, limit int) (paths []Path, omitted int) {
	tracing := c.Trace(device, limit)
	return tracing.Paths, tracing.Omitted
}

// Trace returns the simple paths upstream of a device, at most limit of them:
//
//   - feed: from each feed to the rail of a supply;
//   - return: from each return to that of a supply which feeds the same section,
//     through those of others where they lie on the way; to that of any supply
//     where none feeds it (a return in the section of a rail is a supply's own:
//     it has no path of this kind unless the section has a feed too, as in a
//     converter without separation);
//   - earth: from each earth terminal to that of the mains inlet;
//   - mains: from each line and neutral terminal to those of the mains inlet;
//   - signal: from each signal and drive terminal to the signal and drive
//     terminals of other devices.
//
// A path follows wires, solid links, fuses blown or not and contacts in any
// position, and ends at the first terminal of the kind that it looks for; it
// does not run through a load, a diode or electronics. Where a load hangs on a
// driver's output, a feed path goes on at the driver's own feeds and a return
// path at its returns, those of the same section.
//
// For every source that the feeds and returns lead to, its mains paths are
// listed as well, and for one that has feeds of its own, such as a converter,
// its feed and return paths, and so on up to the mains or a battery. These
// begin at the source's own terminals and come after those of the device.
//
// Paths are sorted by kind, the device's own first, then the shortest first,
// then as people read references. Two paths differ if one element differs. Past
// the limit the kinds share it, and the paths listed are the shortest that were
// met. Cost: linear in the nets walked, plus the listing, plus the counting,
// both bounded.
func (c *Circuit) Trace(device string, limit int) Tracing {
	limit = max(limit, 0)
	t := &trace{circuit: c, limit: limit, exact: true, found: map[PathKind][]Path{}}
	t.device(device, 0)
	seen := map[string]bool{device: true}
	level := t.takeSources(seen)
	for depth := 1; len(level) > 0; depth++ {
		for _, source := range level {
			t.source(source, depth)
		}
		level = t.takeSources(seen)
	}
	return t.result()
}

// trace gathers the paths of one device and its sources.
type trace struct {
	circuit *Circuit
	limit   int
	found   map[PathKind][]Path
	total   uint64
	exact   bool
	sources map[string]bool // met and not yet looked at
}

// own returns a device's terminals, sorted.
func (t *trace) own(device string) []int {
	var out []int
	for _, mark := range t.circuit.Machine.Marks(device) {
		if index, found := t.circuit.Machine.TerminalIndex(model.TerminalRef{Device: device, Mark: mark}); found {
			out = append(out, index)
		}
	}
	return out
}

func (t *trace) device(device string, depth int) {
	t.source(device, depth)
	for _, start := range t.own(device) {
		switch t.circuit.Machine.Terminals[start].Role {
		case model.RoleEarth:
			t.walk(PathEarth, device, start, depth, nil)
		case model.RoleSignal, model.RoleDrive:
			t.walk(PathSignal, device, start, depth, nil)
		}
	}
}

// source follows what a source lives on: feed, return and mains.
func (t *trace) source(device string, depth int) {
	terminals := t.own(device)
	feeders := map[string][]string{} // by section with a feed: the supplies that feed it
	for _, start := range terminals {
		if terminal := t.circuit.Machine.Terminals[start]; terminal.Role == model.RoleFeed {
			feeders[terminal.Section] = append(feeders[terminal.Section], t.walk(PathFeed, device, start, depth, nil)...)
		}
	}
	for _, start := range terminals {
		terminal := t.circuit.Machine.Terminals[start]
		switch terminal.Role {
		case model.RoleReturn:
			if suppliers, fed := feeders[terminal.Section]; fed || !t.gives(start, NetReturn) {
				t.walk(PathReturn, device, start, depth, suppliers)
			}
		case model.RoleLine, model.RoleNeutral:
			t.walk(PathMains, device, start, depth, nil)
		}
	}
}

// gives says whether a terminal by itself makes a net of that kind.
func (t *trace) gives(terminal int, kind NetKind) bool {
	return netKinds[t.circuit.terminalLabels().telling[terminal]>>tellingKind] == kind
}

// walk lists the paths of one kind from one terminal of a device and returns the
// sources that they lead to. A return path leads to one of the suppliers, where
// there are any and it can.
func (t *trace) walk(kind PathKind, device string, start, depth int, suppliers []string) (sources []string) {
	m := t.circuit.Machine
	other := func(terminal int) bool { return m.Terminals[terminal].Device != device }
	role := m.Terminals[start].Role
	var target func(int) bool
	var hop func(int) []int
	switch kind {
	case PathFeed:
		target = func(terminal int) bool { return m.Terminals[terminal].Role == model.RoleRail && other(terminal) }
		hop = func(drive int) []int { return t.sameSection(drive, model.RoleFeed) }
	case PathReturn:
		target = func(terminal int) bool {
			return t.gives(terminal, NetReturn) && other(terminal) &&
				(len(suppliers) == 0 || slices.Contains(suppliers, m.Terminals[terminal].Device))
		}
		hop = func(drive int) []int { return t.sameSection(drive, model.RoleReturn) }
	case PathEarth, PathMains:
		target = func(terminal int) bool {
			if m.Terminals[terminal].Role != role || !other(terminal) {
				return false
			}
			row, _ := m.Device(m.Terminals[terminal].Device)
			return row.Kind == model.KindMainsInlet
		}
		if row, _ := m.Device(device); row.Kind == model.KindMainsInlet {
			return nil // nothing of the machine lies before it
		}
	case PathSignal:
		target = func(terminal int) bool {
			r := m.Terminals[terminal].Role
			return (r == model.RoleSignal || r == model.RoleDrive) && other(terminal)
		}
	}
	w := t.circuit.newWalker(max(t.limit, 1), target, hop)
	found := w.from(start, nil)
	if len(found.list) == 0 && len(suppliers) > 0 {
		return t.walk(kind, device, start, depth, nil) // it returns to another supply: show where
	}
	t.total = kit.AddCounts(t.total, found.total)
	t.exact = t.exact && found.exact && w.steps >= 0
	for _, way := range found.list {
		path := Path{Kind: kind, Terminal: []int{start}, Elements: []int{}, depth: depth}
		for _, s := range way {
			path.Terminal = append(path.Terminal, s.to)
			if s.element >= 0 {
				path.Elements = append(path.Elements, s.element)
			}
		}
		path.Source = m.Terminals[path.Terminal[len(path.Terminal)-1]].Device
		t.found[kind] = append(t.found[kind], path)
	}
	if kind == PathFeed || kind == PathReturn {
		for terminal := range w.reached {
			if t.sources == nil {
				t.sources = map[string]bool{}
			}
			t.sources[m.Terminals[terminal].Device] = true
			sources = append(sources, m.Terminals[terminal].Device)
		}
	}
	return sources
}

// sameSection returns the terminals of a role in a terminal's device and
// section.
func (t *trace) sameSection(terminal int, role model.Role) []int {
	row := t.circuit.Machine.Terminals[terminal]
	return slices.DeleteFunc(t.own(row.Device), func(other int) bool {
		candidate := t.circuit.Machine.Terminals[other]
		return candidate.Role != role || candidate.Section != row.Section
	})
}

// takeSources returns the sources met since the last call, those of an earlier
// one left out.
func (t *trace) takeSources(seen map[string]bool) []string {
	var fresh []string
	for source := range t.sources {
		if !seen[source] {
			seen[source] = true
			fresh = append(fresh, source)
		}
	}
	t.sources = nil
	slices.SortFunc(fresh, model.Compare)
	return fresh
}

func (t *trace) result() Tracing {
	out := Tracing{Paths: []Path{}, AtLeast: !t.exact}
	left, open := t.limit, len(PathKinds)
	share := map[PathKind]int{}
	byCount := slices.Clone(PathKinds) // the kinds with few paths first: what they leave goes to the others
	slices.SortStableFunc(byCount, func(a, b PathKind) int { return cmp.Compare(len(t.found[a]), len(t.found[b])) })
	for _, kind := range byCount {
		share[kind] = min(len(t.found[kind]), (left+open-1)/open)
		left -= share[kind]
		open--
	}
	for _, kind := range PathKinds {
		slices.SortFunc(t.found[kind], t.circuit.comparePaths)
		out.Paths = append(out.Paths, t.found[kind][:share[kind]]...)
	}
	out.Omitted = int(t.total - uint64(len(out.Paths)))
	if t.total == kit.CountLimit {
		out.Omitted, out.AtLeast = OmittedLimit, true
	}
	return out
}

func (c *Circuit) comparePaths(a, b Path) int {
	if order := cmp.Compare(a.depth, b.depth); order != 0 {
		return order
	}
	if order := cmp.Compare(len(a.Terminal), len(b.Terminal)); order != 0 {
		return order
	}
	rank := c.terminalLabels().rank
	if order := slices.CompareFunc(a.Terminal, b.Terminal, func(s, t int) int { return cmp.Compare(rank[s], rank[t]) }); order != 0 {
		return order
	}
	return slices.CompareFunc(a.Elements, b.Elements, c.compareElements)
}
