package kit

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/graph/multi"
	"gonum.org/v1/gonum/graph/topo"
	"pgregory.net/rapid"
)

func drawGraph(t *rapid.T) *Graph {
	n := rapid.IntRange(1, 9).Draw(t, "vertices")
	var ends [][2]int32
	for range rapid.IntRange(0, 14).Draw(t, "edges") {
		ends = append(ends, [2]int32{int32(rapid.IntRange(0, n-1).Draw(t, "a")), int32(rapid.IntRange(0, n-1).Draw(t, "b"))})
	}
	return NewGraph(n, ends)
}

// labels are gonum's connected components without one edge (-1: with all), each
// vertex by its least fellow.
func labels(g *Graph, without int) []int {
	m := multi.NewUndirectedGraph()
	for v := range g.vertices() {
		m.AddNode(multi.Node(v))
	}
	for e, pair := range g.Ends {
		if e != without && pair[0] != pair[1] {
			m.SetLine(m.NewLine(m.Node(int64(pair[0])), m.Node(int64(pair[1]))))
		}
	}
	of := make([]int, g.vertices())
	for _, component := range topo.ConnectedComponents(m) {
		least := math.MaxInt
		for _, node := range component {
			least = min(least, int(node.ID()))
		}
		for _, node := range component {
			of[node.ID()] = least
		}
	}
	return of
}

// Sets, roots and bridges are what gonum's connected components say, with every
// edge and with one taken away.
func TestSetsAndBridgesEqualComponents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGraph(t)
		sets, blocks, whole := NewSets[int32](g.vertices()), g.Blocks(), labels(g, -1)
		for _, pair := range g.Ends {
			apart := !sets.Same(pair[0], pair[1])
			if sets.Union(pair[0], pair[1]) != apart {
				t.Fatal("Union and Same disagree")
			}
		}
		numbers := sets.Numbers()
		for v := range g.vertices() {
			if int(sets.Find(int32(v))) != whole[v] || blocks.Root(v) != whole[v] {
				t.Fatalf("vertex %d: set %d, root %d, component %d", v, sets.Find(int32(v)), blocks.Root(v), whole[v])
			}
			if earlier := slices.Index(numbers, numbers[v]); earlier != whole[v] {
				t.Fatalf("vertex %d has the number of %d", v, earlier)
			}
		}
		for e, pair := range g.Ends {
			parted := labels(g, e)
			if want := parted[pair[0]] != parted[pair[1]]; blocks.Bridge(e) != want {
				t.Fatalf("edge %d of %v: bridge %v, want %v", e, g.Ends, blocks.Bridge(e), want)
			}
		}
	})
}

// What flows over a bridge is what is put in on the one side of it.
func TestBridgeFlowIsWhatIsPutInOnOneSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGraph(t)
		blocks, whole := g.Blocks(), labels(g, -1)
		into := make([]float64, g.vertices())
		for v := range into {
			amps := float64(rapid.IntRange(-9, 9).Draw(t, "amps"))
			into[v] += amps
			into[whole[v]] -= amps // it comes out again somewhere in the same piece
		}
		flow := blocks.BridgeFlow(into)
		for e, pair := range g.Ends {
			want := 0.0
			if blocks.Bridge(e) {
				side := labels(g, e)
				for v, amps := range into {
					if side[v] == side[pair[0]] {
						want += amps
					}
				}
			}
			if flow[e] != want {
				t.Fatalf("edge %d of %v: %v, want %v", e, g.Ends, flow[e], want)
			}
		}
	})
}

func TestAddMakesASetOfItsOwn(t *testing.T) {
	sets := NewSets[int](2)
	if added := sets.Add(); added != 2 || sets.Same(0, added) || !sets.Union(1, added) || sets.Find(2) != 1 {
		t.Errorf("added %d: %v", added, sets)
	}
}
