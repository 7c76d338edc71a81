package graphs

import (
	"cmp"
	"slices"

	"bellout/graphs/kit"
)

// Loop is a way round: from Terminals[i] the element Elements[i] leads to
// Terminals[i+1], and the last back to the first. It begins at its first
// terminal in reading order. Two parallel wires are a loop of two.
type Loop struct {
	Terminals []int
	Elements  []int
}

// Loops returns independent loops of the elements that pass the filter, as many
// as there are (elements - terminals + pieces), the shortest first, and
// least together in blocks of ordinary size: see kit.Graph.Cycles.
func (c *Circuit) Loops(filter func(Element) bool) []Loop {
	loops := []Loop{}
	blocks := c.Blocks(filter)
	for block := range blocks.Count() {
		if elements := blocks.Edges(block); len(elements) > 1 {
			loops = append(loops, c.loopsOfBlock(elements)...)
		}
	}
	rank := c.terminalLabels().rank
	slices.SortFunc(loops, func(a, b Loop) int {
		if order := cmp.Compare(len(a.Elements), len(b.Elements)); order != 0 {
			return order
		}
		if order := slices.CompareFunc(a.Terminals, b.Terminals, func(s, t int) int { return cmp.Compare(rank[s], rank[t]) }); order != 0 {
			return order
		}
		return slices.CompareFunc(a.Elements, b.Elements, c.compareElements)
	})
	return loops
}

// compareElements orders elements by their ends as people read them, wires
// before links before clips, wires by name.
func (c *Circuit) compareElements(a, b int) int {
	rank := c.terminalLabels().rank
	e, f := &c.Elements[a], &c.Elements[b]
	if order := cmp.Compare(min(rank[e.A], rank[e.B]), min(rank[f.A], rank[f.B])); order != 0 {
		return order
	}
	if order := cmp.Compare(max(rank[e.A], rank[e.B]), max(rank[f.A], rank[f.B])); order != 0 {
		return order
	}
	if order := cmp.Compare(e.Kind, f.Kind); order != 0 {
		return order
	}
	if e.Kind == Wire && a != b && len(c.Machine.Wires) > 0 {
		return c.compareWires(a, b)
	}
	return cmp.Compare(a, b)
}

// loopsOfBlock numbers the block's terminals and elements in reading order, so
// that the loops do not depend on the order of the machine's rows.
func (c *Circuit) loopsOfBlock(elements []int) []Loop {
	slices.SortFunc(elements, c.compareElements)
	rank := c.terminalLabels().rank
	var terminals []int
	for _, id := range elements {
		terminals = append(terminals, c.Elements[id].A, c.Elements[id].B)
	}
	slices.SortFunc(terminals, func(s, t int) int { return cmp.Compare(rank[s], rank[t]) })
	terminals = slices.Compact(terminals)
	number := make(map[int]int32, len(terminals))
	for i, t := range terminals {
		number[t] = int32(i)
	}
	ends := make([][2]int32, len(elements))
	for i, id := range elements {
		ends[i] = [2]int32{number[c.Elements[id].A], number[c.Elements[id].B]}
	}
	g := kit.NewGraph(len(terminals), ends)
	var loops []Loop
	for _, cycle := range g.Cycles() {
		loop := Loop{}
		v := cycle[0].From
		for _, step := range cycle {
			loop.Terminals = append(loop.Terminals, terminals[v])
			loop.Elements = append(loop.Elements, elements[step.Edge])
			v = g.Far(step.Edge, v)
		}
		loops = append(loops, loop)
	}
	return loops
}
