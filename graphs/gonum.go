package graphs

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/iterator"
	"gonum.org/v1/gonum/graph/simple"
)

// Graph shows some elements of a circuit as a simple graph to gonum's
// algorithms: nodes are all terminals, their IDs the places in
// Machine.Terminals, and of parallel elements the one of least ohms makes the
// edge. It holds no copy of the circuit.
type Graph struct{ view }

var (
	_ graph.Undirected         = (*Graph)(nil)
	_ graph.WeightedUndirected = (*Graph)(nil)
)

// Graph returns the elements that pass the filter as a simple graph.
func (c *Circuit) Graph(filter func(Element) bool) *Graph { return &Graph{c.view(filter)} }

// Metal returns the graph whose connected components are the nets.
func (c *Circuit) Metal() *Graph { return c.Graph(Element.Joins) }

// Edge returns the edge between two terminals; nil if there is none.
func (g *Graph) Edge(uid, vid int64) graph.Edge { return g.EdgeBetween(uid, vid) }

// EdgeBetween returns the edge between two terminals; nil if there is none.
func (g *Graph) EdgeBetween(xid, yid int64) graph.Edge {
	if e := g.WeightedEdgeBetween(xid, yid); e != nil {
		return e
	}
	return nil // not an interface that holds a nil
}

// WeightedEdge returns the edge between two terminals; nil if there is none.
func (g *Graph) WeightedEdge(uid, vid int64) graph.WeightedEdge {
	return g.WeightedEdgeBetween(uid, vid)
}

// WeightedEdgeBetween returns the edge between two terminals, its weight the
// ohms of the least element there; nil if there is none.
func (g *Graph) WeightedEdgeBetween(xid, yid int64) graph.WeightedEdge {
	ohms, found := g.leastOhms(xid, yid)
	if !found {
		return nil
	}
	return simple.WeightedEdge{F: g.node(xid), T: g.node(yid), W: ohms}
}

// Weight returns the ohms of the least element between two terminals; 0 from a
// terminal to itself, +Inf and false where there is none.
func (g *Graph) Weight(xid, yid int64) (ohms float64, ok bool) {
	if xid == yid {
		return 0, g.has(xid)
	}
	return g.leastOhms(xid, yid)
}

// WeightedEdges returns every edge once, by its lesser and greater terminal.
func (g *Graph) WeightedEdges() graph.WeightedEdges {
	var edges []graph.WeightedEdge
	g.pairs(func(x, y int64) { edges = append(edges, g.WeightedEdge(x, y)) })
	if len(edges) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedWeightedEdges(edges)
}

// Edges returns every edge once, by its lesser and greater terminal.
func (g *Graph) Edges() graph.Edges {
	var edges []graph.Edge
	g.pairs(func(x, y int64) { edges = append(edges, g.Edge(x, y)) })
	if len(edges) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedEdges(edges)
}

func (g *Graph) leastOhms(xid, yid int64) (ohms float64, found bool) {
	ohms = math.Inf(1)
	for id := range g.between(xid, yid) {
		found = true
		ohms = min(ohms, g.circuit.Elements[id].Ohms)
	}
	return ohms, found
}

// view is what both kinds of graph share.
type view struct {
	circuit *Circuit
	filter  func(Element) bool
	nodes   []graph.Node
}

func (c *Circuit) view(filter func(Element) bool) view {
	return view{circuit: c, filter: filter, nodes: c.graphNodes()}
}

// graphNodes returns a node for each terminal, boxed once for all graphs.
func (c *Circuit) graphNodes() []graph.Node {
	c.labels.boxes.Do(func() {
		c.labels.nodes = make([]graph.Node, len(c.Machine.Terminals))
		for t := range c.labels.nodes {
			c.labels.nodes[t] = simple.Node(t)
		}
	})
	return c.labels.nodes
}

func (v view) has(id int64) bool { return id >= 0 && id < int64(len(v.nodes)) }

func (v view) node(id int64) graph.Node { return v.nodes[id] }

// Node returns the terminal with that place in Machine.Terminals, or nil.
func (v view) Node(id int64) graph.Node {
	if !v.has(id) {
		return nil
	}
	return v.nodes[id]
}

// Nodes returns all terminals.
func (v view) Nodes() graph.Nodes {
	if len(v.nodes) == 0 {
		return graph.Empty
	}
	return iterator.NewOrderedNodes(v.nodes)
}

// From returns the terminals that an element joins to this one, each once,
// rising.
func (v view) From(id int64) graph.Nodes {
	far := v.neighbours(id)
	if len(far) == 0 {
		return graph.Empty
	}
	nodes := make([]graph.Node, len(far))
	for i, t := range far {
		nodes[i] = v.nodes[t]
	}
	return iterator.NewOrderedNodes(nodes)
}

func (v view) neighbours(id int64) []int {
	if !v.has(id) {
		return nil
	}
	var far []int
	for _, element := range v.circuit.Incident(int(id)) {
		if v.filter(v.circuit.Elements[element]) {
			far = append(far, v.circuit.Far(int(element), int(id)))
		}
	}
	slices.Sort(far)
	return slices.Compact(far)
}

// HasEdgeBetween says whether an element joins two terminals.
func (v view) HasEdgeBetween(xid, yid int64) bool {
	for range v.between(xid, yid) {
		return true
	}
	return false
}

// between gives the elements between two terminals, looked for at the one that
// has fewer.
func (v view) between(xid, yid int64) func(yield func(id int) bool) {
	return func(yield func(id int) bool) {
		if !v.has(xid) || !v.has(yid) || xid == yid {
			return
		}
		if len(v.circuit.Incident(int(xid))) > len(v.circuit.Incident(int(yid))) {
			xid, yid = yid, xid
		}
		for _, id := range v.circuit.Incident(int(xid)) {
			e := v.circuit.Elements[id]
			if e.A+e.B-int(xid) == int(yid) && v.filter(e) && !yield(int(id)) {
				return
			}
		}
	}
}

// pairs calls visit for each pair of terminals that an element joins.
func (v view) pairs(visit func(x, y int64)) {
	for t := range v.nodes {
		for _, far := range v.neighbours(int64(t)) {
			if far > t {
				visit(int64(t), int64(far))
			}
		}
	}
}
