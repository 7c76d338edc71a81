package graphs

import "slices"

// Blocks are the biconnected blocks of some elements of a circuit: within a
// block every two terminals are joined by two ways that share neither terminal
// nor element between. An element that is the only way is a block by itself, a
// bridge. Two parallel wires are no bridges.
type Blocks struct{ tree *blockTree }

// Blocks returns the blocks of the elements that pass the filter, such as
// Element.Joins. Cost: linear in terminals and elements.
func (c *Circuit) Blocks(filter func(Element) bool) *Blocks {
	g := &web{ends: make([][2]int32, len(c.Elements)), first: c.first, incident: c.incident, absent: make([]bool, len(c.Elements))}
	for id := range c.Elements {
		e := &c.Elements[id]
		g.ends[id] = [2]int32{int32(e.A), int32(e.B)}
		g.absent[id] = !filter(*e)
	}
	return &Blocks{tree: g.blocks()}
}

// Count returns how many blocks there are, bridges included.
func (b *Blocks) Count() int { return len(b.tree.head) }

// BlockOf returns the number of the element's block; -1 if it did not pass the
// filter.
func (b *Blocks) BlockOf(element int) int { return int(b.tree.of[element]) }

// Elements returns the elements of a block, rising.
func (b *Blocks) Elements(block int) []int {
	var out []int
	for _, id := range b.tree.inBlock(int32(block)) {
		out = append(out, int(id))
	}
	slices.Sort(out)
	return out
}

// SameBlock says whether a loop runs through both elements.
func (b *Blocks) SameBlock(e, f int) bool {
	return b.tree.of[e] >= 0 && b.tree.of[e] == b.tree.of[f] && (e == f || !b.Bridge(e))
}

// Bridge says whether the element is the only way between its ends.
func (b *Blocks) Bridge(element int) bool { return b.tree.bridge(int32(element)) }

// Parts says whether every path from s to t runs through the element. Cost: none to
// speak of, however long the paths are.
func (b *Blocks) Parts(element, s, t int) bool {
	return b.Bridge(element) && b.tree.beyond(int32(element), int32(s)) != b.tree.beyond(int32(element), int32(t))
}

// Articulation says whether taking the terminal away parts what is joined.
func (b *Blocks) Articulation(terminal int) bool { return b.tree.cut[terminal] }

// Joined says whether the elements join two terminals.
func (b *Blocks) Joined(s, t int) bool { return b.tree.root[s] == b.tree.root[t] }

// Root returns a number that is the same for all terminals which the elements join.
func (b *Blocks) Root(t int) int { return int(b.tree.root[t]) }

// Between returns the elements that lie on a simple path from s to t, rising;
// none if nothing joins the two. Cost: their number.
func (b *Blocks) Between(s, t int) []int {
	out := []int{}
	stages, _ := b.tree.chain(int32(s), int32(t))
	for _, stage := range stages {
		for _, id := range b.tree.inBlock(stage.block) {
			out = append(out, int(id))
		}
	}
	slices.Sort(out)
	return out
}

// BridgesBetween returns the elements that every path from s to t runs
// through, in order from s. Cost: the number of blocks between.
func (b *Blocks) BridgesBetween(s, t int) []int {
	out := []int{}
	stages, _ := b.tree.chain(int32(s), int32(t))
	for _, stage := range stages {
		if edges := b.tree.inBlock(stage.block); len(edges) == 1 {
			out = append(out, int(edges[0]))
		}
	}
	return out
}

// ArticulationsBetween returns the terminals, without s and t, that every path
// from s to t runs through, in order from s.
func (b *Blocks) ArticulationsBetween(s, t int) []int {
	out := []int{}
	stages, _ := b.tree.chain(int32(s), int32(t))
	for i, stage := range stages {
		if i > 0 {
			out = append(out, int(stage.in))
		}
	}
	return out
}
