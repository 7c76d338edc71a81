package graphs

import (
	"fmt"
	"math"
	"reflect"
	"testing"
	"time"

	"bellout/model"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/multi"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/testgraph"
	"gonum.org/v1/gonum/graph/topo"
	"pgregory.net/rapid"
)

const (
	usesEmpty     = true
	reversesEdges = true
)

// bare returns a circuit of so many terminals on one device and these
// elements.
func bare(terminals int, elements []Element) *Circuit {
	rows := []model.Row{device("X", model.KindTerminalBlock)}
	for i := range terminals {
		rows = append(rows, terminal(fmt.Sprintf("X:%d", i), model.RolePass))
	}
	m := model.NewMachine()
	edit := model.Edit{}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		panic(err)
	}
	c := &Circuit{Machine: m, Elements: elements, labels: &labels{}}
	c.index()
	return c
}

// fromTestCase puts one of gonum's test graphs on a circuit: its nodes are
// numbered anew, a self edge is left out, as no wire runs from a terminal to
// itself. keep says whether parallel edges stay.
func fromTestCase(nodes []graph.Node, edges []testgraph.WeightedLine, keep bool) (c *Circuit, ok bool) {
	number := map[int64]int{}
	for _, node := range nodes {
		number[node.ID()] = len(number)
	}
	var elements []Element
	seen := map[[2]int]bool{}
	for _, edge := range edges { // some cases name a node by its edges only
		for _, end := range []int64{edge.From().ID(), edge.To().ID()} {
			if _, known := number[end]; !known {
				number[end] = len(number)
			}
		}
	}
	for _, edge := range edges {
		a, b := number[edge.From().ID()], number[edge.To().ID()]
		pair := [2]int{min(a, b), max(a, b)}
		if a == b || (!keep && seen[pair]) {
			continue
		}
		seen[pair] = true
		elements = append(elements, Element{Kind: Wire, Present: true, A: a, B: b, Row: len(elements), Ohms: edge.Weight()})
	}
	if len(elements) == 0 && len(edges) > 0 {
		return nil, false
	}
	return bare(len(number), elements), true
}

// sameNumbers says whether numbering anew changes nothing.
func sameNumbers(nodes []graph.Node) bool {
	for i, node := range nodes {
		if node.ID() != int64(i) {
			return false
		}
	}
	return true
}

func simpleBuilder(nodes []graph.Node, edges []testgraph.WeightedLine, _, _ float64) (graph.Graph, []graph.Node, []testgraph.Edge, float64, float64, bool) {
	c, ok := fromTestCase(nodes, edges, false)
	if !ok {
		return nil, nil, nil, 0, 0, false
	}
	g := c.Metal()
	var want []testgraph.Edge
	for _, e := range c.Elements {
		want = append(want, simple.WeightedEdge{F: g.node(int64(e.A)), T: g.node(int64(e.B)), W: e.Ohms})
	}
	return g, graph.NodesOf(g.Nodes()), want, 0, math.Inf(1), true
}

func multiBuilder(nodes []graph.Node, edges []testgraph.WeightedLine, _, _ float64) (graph.Graph, []graph.Node, []testgraph.Edge, float64, float64, bool) {
	c, ok := fromTestCase(nodes, edges, true)
	if !ok {
		return nil, nil, nil, 0, 0, false
	}
	g := c.Multigraph(Element.Joins)
	var want []testgraph.Edge
	for id, e := range c.Elements {
		// Edges gives each pair from its lesser end.
		want = append(want, multi.WeightedLine{F: g.node(int64(min(e.A, e.B))), T: g.node(int64(max(e.A, e.B))), W: e.Ohms, UID: int64(id)})
	}
	return g, graph.NodesOf(g.Nodes()), want, 0, math.Inf(1), true
}

func unchanged(b testgraph.Builder) testgraph.Builder {
	return func(nodes []graph.Node, edges []testgraph.WeightedLine, self, absent float64) (graph.Graph, []graph.Node, []testgraph.Edge, float64, float64, bool) {
		if !sameNumbers(nodes) {
			return nil, nil, nil, 0, 0, false
		}
		return b(nodes, edges, self, absent)
	}
}

// Gonum's own suite runs over the simple graph.
func TestGraphKeepsGonumsPromises(t *testing.T) {
	t.Run("EdgeExistence", func(t *testing.T) { testgraph.EdgeExistence(t, simpleBuilder, reversesEdges) })
	t.Run("NodeExistence", func(t *testing.T) { testgraph.NodeExistence(t, unchanged(simpleBuilder)) })
	t.Run("ReturnAdjacentNodes", func(t *testing.T) { testgraph.ReturnAdjacentNodes(t, simpleBuilder, usesEmpty, reversesEdges) })
	t.Run("ReturnAllEdges", func(t *testing.T) { testgraph.ReturnAllEdges(t, simpleBuilder, usesEmpty) })
	t.Run("ReturnAllNodes", func(t *testing.T) { testgraph.ReturnAllNodes(t, simpleBuilder, usesEmpty) })
	t.Run("ReturnAllWeightedEdges", func(t *testing.T) { testgraph.ReturnAllWeightedEdges(t, simpleBuilder, usesEmpty) })
	t.Run("ReturnEdgeSlice", func(t *testing.T) { testgraph.ReturnEdgeSlice(t, simpleBuilder, usesEmpty) })
	t.Run("ReturnWeightedEdgeSlice", func(t *testing.T) { testgraph.ReturnWeightedEdgeSlice(t, simpleBuilder, usesEmpty) })
	t.Run("ReturnNodeSlice", func(t *testing.T) { testgraph.ReturnNodeSlice(t, simpleBuilder, usesEmpty) })
	t.Run("Weight", func(t *testing.T) { testgraph.Weight(t, simpleBuilder) })
}

// Gonum's own suite runs over the multigraph.
func TestMultigraphKeepsGonumsPromises(t *testing.T) {
	t.Run("EdgeExistence", func(t *testing.T) { testgraph.EdgeExistence(t, multiBuilder, reversesEdges) })
	t.Run("LineExistence", func(t *testing.T) { testgraph.LineExistence(t, multiBuilder, usesEmpty, reversesEdges) })
	t.Run("NodeExistence", func(t *testing.T) { testgraph.NodeExistence(t, unchanged(multiBuilder)) })
	t.Run("ReturnAdjacentNodes", func(t *testing.T) { testgraph.ReturnAdjacentNodes(t, multiBuilder, usesEmpty, reversesEdges) })
	t.Run("ReturnAllLines", func(t *testing.T) { testgraph.ReturnAllLines(t, multiBuilder, usesEmpty) })
	t.Run("ReturnAllNodes", func(t *testing.T) { testgraph.ReturnAllNodes(t, multiBuilder, usesEmpty) })
	t.Run("ReturnNodeSlice", func(t *testing.T) { testgraph.ReturnNodeSlice(t, multiBuilder, usesEmpty) })
}

// Gonum's components on our graph are our nets, and its shortest paths are
// those of a general graph that somebody else filled.
func TestGonumRunsOnACircuit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(8, 25).Draw(t, "machine")
		c := NewCircuit(m, drawConditions(t, m))
		for id := range c.Elements {
			c.Elements[id].Ohms = float64(rapid.IntRange(0, 5).Draw(t, "ohms"))
		}
		var got [][]int64
		for _, component := range topo.ConnectedComponents(c.Metal()) {
			got = append(got, ids(component))
		}
		if want := sortedGroups(netGroups(c.Nets())); !reflect.DeepEqual(sortedGroups(got), want) {
			t.Fatalf("gonum on our graph finds %v, nets are %v", got, want)
		}

		plain := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for i := range m.Terminals {
			plain.AddNode(simple.Node(i))
		}
		lines := 0
		for _, e := range c.Elements {
			if !e.Joins() {
				continue
			}
			lines++
			if w, ok := plain.Weight(int64(e.A), int64(e.B)); !ok || e.Ohms < w {
				plain.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(e.A), T: simple.Node(e.B), W: e.Ohms})
			}
		}
		start := simple.Node(rapid.IntRange(0, len(m.Terminals)-1).Draw(t, "start"))
		ours, theirs := path.DijkstraFrom(start, c.Metal()), path.DijkstraFrom(start, plain)
		for i := range m.Terminals {
			if a, b := ours.WeightTo(int64(i)), theirs.WeightTo(int64(i)); a != b {
				t.Fatalf("from %s to %s: %v ohm on our graph, %v on a general one", c.Ref(int(start)), c.Ref(i), a, b)
			}
		}
		counted := 0
		edges := c.Multigraph(Element.Joins).Edges()
		for edges.Next() {
			counted += edges.Edge().(multi.Edge).Len()
		}
		if counted != lines {
			t.Fatalf("the multigraph has %d lines, %d elements join", counted, lines)
		}
	})
}

func BenchmarkComponentsOnOurGraph100k(b *testing.B) {
	c := NewCircuit(largeMachine(), nil)
	var mine, base time.Duration
	for b.Loop() {
		t0 := time.Now()
		got := topo.ConnectedComponents(c.Metal())
		t1 := time.Now()
		want := gonumNets(c)
		mine += t1.Sub(t0)
		base += time.Since(t1)
		if len(got) != len(want) {
			b.Fatalf("%d components, baseline %d", len(got), len(want))
		}
	}
	b.ReportMetric(float64(base)/float64(mine), "x-gonum")
}
