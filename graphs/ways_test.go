package graphs

import (
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs/kit"
)

// cornerPaths are the simple paths from corner to opposite corner of a grid of
// n by n terminals.
var cornerPaths = []struct {
	side   int
	paths  uint64
	source string
}{
	{2, 2, "OEIS A007764, cited from memory; counted one by one here too"},
	{3, 12, "OEIS A007764, cited from memory; counted one by one here too"},
	{4, 184, "OEIS A007764, cited from memory; counted one by one here too"},
	{5, 8512, "OEIS A007764, cited from memory"},
	{8, 789360053252, "OEIS A007764, cited from memory"},
}

func webOf(c *Circuit) *kit.Graph {
	var ends [][2]int32
	for _, e := range c.Elements {
		ends = append(ends, [2]int32{int32(e.A), int32(e.B)})
	}
	return kit.NewGraph(len(c.Machine.Terminals), ends)
}

func TestPathsAcrossAGrid(t *testing.T) {
	const limit = 200
	for _, test := range cornerPaths {
		g := webOf(grid(test.side))
		found := g.Ways(g.Blocks(), 0, int32(test.side*test.side-1), limit)
		if fit := test.paths <= limit; found.Exact != fit || found.Total > test.paths || fit && found.Total != test.paths {
			t.Errorf("grid of %d: %d paths, exact %v; want %d (%s)", test.side, found.Total, found.Exact, test.paths, test.source)
		}
		if want := min(limit, int(test.paths)); len(found.List) != want {
			t.Errorf("grid of %d: %d paths listed, want %d", test.side, len(found.List), want)
		}
		if shortest := len(found.List[0]); shortest != 2*(test.side-1) {
			t.Errorf("grid of %d: the first path has %d elements, the shortest has %d", test.side, shortest, 2*(test.side-1))
		}
		if test.side <= 4 {
			c := grid(test.side)
			if got := len(allPaths(c, Element.Joins, 0, test.side*test.side-1)); got != int(test.paths) {
				t.Errorf("grid of %d: %d paths counted one by one, want %d", test.side, got, test.paths)
			}
		}
	}
}

func TestPathsThroughDiamondsInSeries(t *testing.T) {
	for _, k := range []int{1, 2, 10, 40, 60} {
		g := webOf(diamonds(k))
		found := g.Ways(g.Blocks(), 0, int32(3*k), 100)
		want, exact := uint64(1)<<min(k, 62), true
		if want >= kit.CountLimit {
			want, exact = kit.CountLimit, false
		}
		if found.Total != want || found.Exact != exact {
			t.Errorf("%d diamonds: %d paths, exact %v; want %d, %v", k, found.Total, found.Exact, want, exact)
		}
	}
}

// More ways through one block than fit the limit: a bound that is true and says so.
func TestMoreWaysThanFitGiveABound(t *testing.T) {
	g := webOf(grid(40))
	found := g.Ways(g.Blocks(), 0, 40*40-1, 50)
	if found.Exact || found.Total < 39*39+1 || len(found.List) != 50 {
		t.Errorf("total %d, exact %v, %d listed", found.Total, found.Exact, len(found.List))
	}
}

// Listed and counted ways are those that a plain search meets.
func TestWaysEqualAllPaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.IntRange(2, 7).Draw(t, "terminals")
		var pairs [][2]int
		for range rapid.IntRange(0, 12).Draw(t, "elements") {
			a, b := rapid.IntRange(0, count-1).Draw(t, "a"), rapid.IntRange(0, count-1).Draw(t, "b")
			if a != b {
				pairs = append(pairs, [2]int{a, b})
			}
		}
		c := bare(count, elementsOf(pairs...))
		paths := allPaths(c, Element.Joins, 0, count-1)
		limit := rapid.IntRange(1, 40).Draw(t, "limit")
		g := webOf(c)
		found := g.Ways(g.Blocks(), 0, int32(count-1), limit)
		exact := int(found.Total) == len(paths)
		if found.Exact && !exact || len(paths) <= limit && !found.Exact || int(found.Total) > len(paths) || len(found.List) != min(limit, len(paths)) {
			t.Fatalf("%d listed of %d, exact %v; there are %d, limit %d", len(found.List), found.Total, found.Exact, len(paths), limit)
		}
		known := map[string]bool{}
		for _, path := range paths {
			known[printPath(path)] = true
		}
		for i, way := range found.List {
			var path []int
			for _, e := range way {
				path = append(path, int(e))
			}
			if !known[printPath(path)] {
				t.Fatalf("%v is no simple path, or listed twice", path)
			}
			delete(known, printPath(path))
			if i > 0 && len(way) < len(found.List[i-1]) {
				t.Fatalf("not the shortest first: %v", found.List)
			}
		}
	})
}

func printPath(path []int) string {
	out := ""
	for _, id := range path {
		out += "," + string(rune('a'+id))
	}
	return out
}
