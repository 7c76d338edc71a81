package layout

import (
	"context"
	"slices"

	"bellout/graphs/kit"
	"bellout/model"
)

// sheet is a machine while it is placed: its rows in reading order, so that
// nothing depends on the order of the machine's slices. Devices, terminals and
// wires go by their place in these.
type sheet struct {
	ctx      context.Context
	measure  Measure
	progress Progress

	devices   []model.Device
	first     []int // first[d] .. first[d+1]: the terminals of device d
	terminals []model.Terminal
	deviceOf  []int // of a terminal
	wires     []wire
	links     []link
	net       []int // of a terminal; counted in reading order
	bar       []int // of a terminal: the set that solid links alone join
	degree    []int // wires at a terminal
}

// wire is a conductor that is there.
type wire struct {
	row      *model.Wire
	from, to int // terminals
}

// link is a conduction path inside a device that a builder follows: metal,
// fuses blown or not, contacts in any position.
type link struct {
	from, to int
	kind     model.LinkKind
}

func newSheet(ctx context.Context, m *model.Machine, options Options) *sheet {
	s := &sheet{ctx: ctx, measure: options.Measure, progress: options.Progress}
	if s.measure == nil {
		s.measure = assumedWidth
	}
	if s.progress == nil {
		s.progress = func(float64, string) {}
	}
	s.devices = slices.Clone(m.Devices)
	slices.SortFunc(s.devices, func(a, b model.Device) int { return model.Compare(a.Ref, b.Ref) })
	number := make(map[string]int, len(s.devices))
	for d := range s.devices {
		number[s.devices[d].Ref] = d
	}

	order := make([]int, len(m.Terminals))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		at, bt := &m.Terminals[a], &m.Terminals[b]
		if at.Device != bt.Device {
			return number[at.Device] - number[bt.Device]
		}
		return model.Compare(at.Mark, bt.Mark)
	})
	place := make([]int, len(order))
	s.first = make([]int, len(s.devices)+1)
	s.terminals = make([]model.Terminal, len(order))
	s.deviceOf = make([]int, len(order))
	for at, row := range order {
		place[row] = at
		s.terminals[at] = m.Terminals[row]
		s.deviceOf[at] = number[m.Terminals[row].Device]
		s.first[s.deviceOf[at]+1]++
	}
	for d := range s.devices {
		s.first[d+1] += s.first[d]
	}
	find := func(ref model.TerminalRef) int {
		row, _ := m.TerminalIndex(ref) // a machine's references lead somewhere
		return place[row]
	}

	s.degree = make([]int, len(s.terminals))
	for row := range m.Wires {
		if w := &m.Wires[row]; w.Runs() {
			from, to := find(w.From), find(w.To)
			s.wires = append(s.wires, wire{row: w, from: from, to: to})
			s.degree[from]++
			s.degree[to]++
		}
	}
	slices.SortFunc(s.wires, func(a, b wire) int { return model.Compare(a.row.Name, b.row.Name) })
	nets, bars := kit.NewSets[int](len(s.terminals)), kit.NewSets[int](len(s.terminals))
	for _, w := range s.wires {
		nets.Union(w.from, w.to)
	}
	for row := range m.Links {
		l := &m.Links[row]
		if !l.Kind.Metal() {
			continue
		}
		from, to := find(l.FromRef()), find(l.ToRef())
		s.links = append(s.links, link{from: from, to: to, kind: l.Kind})
		if l.Joins() {
			nets.Union(from, to)
		}
		if l.Kind == model.LinkSolid {
			bars.Union(from, to)
		}
	}
	slices.SortFunc(s.links, func(a, b link) int {
		if a.from != b.from {
			return a.from - b.from
		}
		return a.to - b.to
	})
	s.net, s.bar = nets.Numbers(), bars.Numbers()
	return s
}

// assumedWidth stands in for type that is not known.
func assumedWidth(text string, size float64, _ bool) float64 {
	count := 0
	for range text {
		count++
	}
	return 0.58 * size * float64(count)
}
