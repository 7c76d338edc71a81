package graphs

import (
	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/iterator"
	"gonum.org/v1/gonum/graph/multi"
)

// Multigraph shows some elements of a circuit as a multigraph to gonum's
// algorithms: two parallel wires are two lines. The ID of a line is the number
// of its element, its weight the ohms.
type Multigraph struct{ view }

var (
	_ graph.UndirectedMultigraph         = (*Multigraph)(nil)
	_ graph.WeightedUndirectedMultigraph = (*Multigraph)(nil)
	_ graph.Undirected                   = (*Multigraph)(nil)
)

// Multigraph returns the elements that pass the filter as a multigraph.
func (c *Circuit) Multigraph(filter func(Element) bool) *Multigraph {
	return &Multigraph{c.view(filter)}
}

// Lines returns the elements between two terminals, as seen from the first.
func (g *Multigraph) Lines(uid, vid int64) graph.Lines { return g.LinesBetween(uid, vid) }

// LinesBetween returns the elements between two terminals.
func (g *Multigraph) LinesBetween(xid, yid int64) graph.Lines {
	var lines []graph.Line
	for id := range g.between(xid, yid) {
		lines = append(lines, g.line(id, xid, yid))
	}
	if len(lines) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedLines(lines)
}

// WeightedLines returns the elements between two terminals, as seen from the
// first.
func (g *Multigraph) WeightedLines(uid, vid int64) graph.WeightedLines {
	return g.WeightedLinesBetween(uid, vid)
}

// WeightedLinesBetween returns the elements between two terminals.
func (g *Multigraph) WeightedLinesBetween(xid, yid int64) graph.WeightedLines {
	var lines []graph.WeightedLine
	for id := range g.between(xid, yid) {
		lines = append(lines, g.line(id, xid, yid))
	}
	if len(lines) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedWeightedLines(lines)
}

func (g *Multigraph) line(id int, from, to int64) multi.WeightedLine {
	return multi.WeightedLine{F: g.node(from), T: g.node(to), W: g.circuit.Elements[id].Ohms, UID: int64(id)}
}

// Edge returns all elements between two terminals as one edge; nil if there is
// none.
func (g *Multigraph) Edge(uid, vid int64) graph.Edge { return g.EdgeBetween(uid, vid) }

// EdgeBetween returns all elements between two terminals as one edge; nil if
// there is none.
func (g *Multigraph) EdgeBetween(xid, yid int64) graph.Edge {
	if !g.HasEdgeBetween(xid, yid) {
		return nil
	}
	return multi.Edge{F: g.node(xid), T: g.node(yid), Lines: g.LinesBetween(xid, yid)}
}

// Edges returns every pair of joined terminals once, with all elements between
// them.
func (g *Multigraph) Edges() graph.Edges {
	var edges []graph.Edge
	g.pairs(func(x, y int64) { edges = append(edges, g.EdgeBetween(x, y)) })
	if len(edges) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedEdges(edges)
}
