package graphs

import (
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/graph/flow"
	"gonum.org/v1/gonum/graph/simple"
	"pgregory.net/rapid"
)

// elementsOf makes solid elements of pairs of terminals.
func elementsOf(pairs ...[2]int) []Element {
	var elements []Element
	for i, pair := range pairs {
		elements = append(elements, Element{Kind: Solid, Present: true, A: pair[0], B: pair[1], Row: i})
	}
	return elements
}

// grid is a square grid of side times side terminals, numbered row by row.
func grid(side int) *Circuit {
	var pairs [][2]int
	for row := range side {
		for column := range side {
			at := row*side + column
			if column+1 < side {
				pairs = append(pairs, [2]int{at, at + 1})
			}
			if row+1 < side {
				pairs = append(pairs, [2]int{at, at + side})
			}
		}
	}
	return bare(side*side, elementsOf(pairs...))
}

// diamonds are k diamonds in series from terminal 0 to terminal 3k.
func diamonds(k int) *Circuit {
	var pairs [][2]int
	for i := range k {
		at := 3 * i
		pairs = append(pairs, [2]int{at, at + 1}, [2]int{at, at + 2}, [2]int{at + 1, at + 3}, [2]int{at + 2, at + 3})
	}
	return bare(3*k+1, elementsOf(pairs...))
}

func TestBlocksOfKnownShapes(t *testing.T) {
	for _, test := range []struct {
		name          string
		circuit       *Circuit
		blocks        int
		bridges       int
		articulations int
		loops         int
	}{
		{"a tree: every element is a bridge", bare(5, elementsOf([2]int{0, 1}, [2]int{1, 2}, [2]int{1, 3}, [2]int{3, 4})), 4, 4, 2, 0},
		{"a ring: none", bare(4, elementsOf([2]int{0, 1}, [2]int{1, 2}, [2]int{2, 3}, [2]int{3, 0})), 1, 0, 0, 1},
		{"a theta: no bridge, no articulation", bare(5, elementsOf([2]int{0, 1}, [2]int{0, 2}, [2]int{0, 3}, [2]int{1, 4}, [2]int{2, 4}, [2]int{3, 4})), 1, 0, 0, 2},
		{"two parallel wires: neither is a bridge", bare(2, elementsOf([2]int{0, 1}, [2]int{0, 1})), 1, 0, 0, 1},
		{"two rings at one terminal", bare(5, elementsOf([2]int{0, 1}, [2]int{1, 2}, [2]int{2, 0}, [2]int{0, 3}, [2]int{3, 4}, [2]int{4, 0})), 2, 0, 1, 2},
		{"ten diamonds in series: nine articulations between them", diamonds(10), 10, 0, 9, 10},
		{"a grid of 7 by 7: loops are (7-1)^2", grid(7), 1, 0, 0, 36},
		{"nothing", bare(3, nil), 0, 0, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := test.circuit.Blocks(Element.Joins)
			bridges, articulations := 0, 0
			for id := range test.circuit.Elements {
				if b.Bridge(id) {
					bridges++
				}
			}
			for terminal := range test.circuit.Machine.Terminals {
				if b.Articulation(terminal) {
					articulations++
				}
			}
			if b.Count() != test.blocks || bridges != test.bridges || articulations != test.articulations {
				t.Errorf("got %d blocks, %d bridges, %d articulations; want %d, %d, %d",
					b.Count(), bridges, articulations, test.blocks, test.bridges, test.articulations)
			}
			if loops := test.circuit.Loops(Element.Joins); len(loops) != test.loops {
				t.Errorf("got %d loops, want %d", len(loops), test.loops)
			}
		})
	}
}

// allPaths lists every simple path from s to t by elements, the plain way.
func allPaths(c *Circuit, filter func(Element) bool, s, t int) [][]int {
	var found [][]int
	visited := map[int]bool{s: true}
	var elements []int
	var walk func(v int)
	walk = func(v int) {
		if v == t {
			found = append(found, slices.Clone(elements))
			return
		}
		for id, e := range c.Elements {
			if (e.A != v && e.B != v) || !filter(e) {
				continue
			}
			if far := e.A + e.B - v; !visited[far] {
				visited[far] = true
				elements = append(elements, id)
				walk(far)
				elements = elements[:len(elements)-1]
				visited[far] = false
			}
		}
	}
	walk(s)
	return found
}

// What lies between two terminals is what some simple path uses; bridges and
// articulations are what all of them use.
func TestBetweenEqualsAllPaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := NewCircuit(drawMachine(4, 12).Draw(t, "machine"), nil)
		filter := Element.Walks
		b := c.Blocks(filter)
		s := rapid.IntRange(0, len(c.Machine.Terminals)-1).Draw(t, "s")
		u := rapid.IntRange(0, len(c.Machine.Terminals)-1).Draw(t, "t")
		paths := allPaths(c, filter, s, u)
		if s == u {
			paths = nil
		}
		uses := map[int]int{}
		stops := map[int]int{}
		for _, path := range paths {
			v := s
			for _, id := range path {
				uses[id]++
				v = c.Far(id, v)
				if v != u {
					stops[v]++
				}
			}
		}
		want, always := []int{}, []int{}
		for id := range c.Elements {
			if uses[id] > 0 {
				want = append(want, id)
			}
			if len(paths) > 0 && uses[id] == len(paths) {
				always = append(always, id)
			}
		}
		if got := b.Between(s, u); !slices.Equal(got, want) {
			t.Fatalf("between %s and %s: %v, the paths use %v", c.Ref(s), c.Ref(u), got, want)
		}
		bridges := b.BridgesBetween(s, u)
		for id := range c.Elements {
			if (len(paths) > 0 || s == u) && b.Parts(id, s, u) != slices.Contains(always, id) {
				t.Fatalf("element %d parts %s and %s: %v, all paths use %v", id, c.Ref(s), c.Ref(u), b.Parts(id, s, u), always)
			}
		}
		if len(paths) > 0 { // in order from s
			var inOrder []int
			for _, id := range paths[0] {
				if slices.Contains(always, id) {
					inOrder = append(inOrder, id)
				}
			}
			if !slices.Equal(bridges, inOrder) {
				t.Fatalf("bridges from %s to %s: %v, on every path %v", c.Ref(s), c.Ref(u), bridges, inOrder)
			}
		} else if len(bridges) > 0 {
			t.Fatalf("bridges %v and no path", bridges)
		}
		cuts := b.ArticulationsBetween(s, u)
		count := 0
		for v, n := range stops {
			if n == len(paths) {
				count++
				if !slices.Contains(cuts, v) || !b.Articulation(v) {
					t.Fatalf("every path runs through %s, which is not among %v", c.Ref(v), texts(c, cuts))
				}
			}
		}
		if count != len(cuts) {
			t.Fatalf("%d articulations, every path runs through %d terminals", len(cuts), count)
		}
	})
}

// A bridge is what nets come apart without; an articulation lies on the way of
// two others. Dominators of the graph with every element both ways say the
// same (Georgiadis and others 2004, cited from memory).
func TestBlocksEqualDominators(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := NewCircuit(drawMachine(6, 14).Draw(t, "machine"), nil)
		b := c.Blocks(Element.Joins)
		before := len(c.Nets().List)
		for id, e := range c.Elements {
			if !e.Joins() {
				if b.BlockOf(id) != -1 {
					t.Fatalf("element %d does not join and has block %d", id, b.BlockOf(id))
				}
				continue
			}
			parts := len(c.Without(id).Nets().List) > before
			if b.Bridge(id) != parts {
				t.Fatalf("element %v: bridge %v, without it nets come apart %v", e, b.Bridge(id), parts)
			}
		}
		root := rapid.IntRange(0, len(c.Machine.Terminals)-1).Draw(t, "root")
		g := simple.NewDirectedGraph()
		g.AddNode(simple.Node(root))
		for _, e := range c.Elements {
			if e.Joins() {
				g.SetEdge(g.NewEdge(simple.Node(e.A), simple.Node(e.B)))
				g.SetEdge(g.NewEdge(simple.Node(e.B), simple.Node(e.A)))
			}
		}
		tree := flow.Dominators(simple.Node(root), g)
		for v := range c.Machine.Terminals {
			if v == root || !c.Nets().Same(v, root) {
				continue
			}
			want := tree.DominatorOf(int64(v)).ID()
			cuts := append([]int{root}, b.ArticulationsBetween(root, v)...)
			if got := cuts[len(cuts)-1]; int64(got) != want {
				t.Fatalf("from %s the last terminal before %s is %s, its dominator %s", c.Ref(root), c.Ref(v), c.Ref(got), c.Ref(int(want)))
			}
		}
	})
}

func TestSameBlockMeansALoopRunsThroughBoth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := NewCircuit(drawMachine(4, 10).Draw(t, "machine"), nil)
		b := c.Blocks(Element.Joins)
		for e, first := range c.Elements {
			if !first.Joins() {
				continue
			}
			onLoop := map[int]bool{}
			without := func(x Element) bool { return x.Joins() && x != first }
			for _, path := range allPaths(c, without, first.A, first.B) {
				onLoop[e] = true
				for _, id := range path {
					onLoop[id] = true
				}
			}
			for f := range c.Elements {
				if got := b.SameBlock(e, f); got != onLoop[f] && e != f {
					t.Fatalf("elements %d and %d: same block %v, on one loop %v", e, f, got, onLoop[f])
				}
			}
			if !onLoop[e] != b.Bridge(e) {
				t.Fatalf("element %d: bridge %v, on a loop %v", e, b.Bridge(e), onLoop[e])
			}
		}
	})
}

func BenchmarkBlocks100k(b *testing.B) {
	c := NewCircuit(largeMachine(), nil)
	var mine time.Duration
	for b.Loop() {
		t0 := time.Now()
		c.Blocks(Element.Joins)
		mine += time.Since(t0)
	}
	b.ReportMetric(float64(mine.Microseconds())/1000/float64(b.N), "ms-blocks")
}
