package graphs

import (
	"testing"

	"pgregory.net/rapid"
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
	{6, 1262816, "OEIS A007764, cited from memory"},
	{7, 575780564, "OEIS A007764, cited from memory"},
	{8, 789360053252, "OEIS A007764, cited from memory"},
}

func webOf(c *Circuit) *web {
	var ends [][2]int32
	for _, e := range c.Elements {
		ends = append(ends, [2]int32{int32(e.A), int32(e.B)})
	}
	return newWeb(len(c.Machine.Terminals), ends)
}

func TestPathsAcrossAGrid(t *testing.T) {
	const limit = 200
	for _, test := range cornerPaths {
		g := webOf(grid(test.side))
		found := g.waysBetween(g.blocks(), 0, int32(test.side*test.side-1), limit)
		if !found.exact || found.total != test.paths {
			t.Errorf("grid of %d: %d paths, exact %v; want %d (%s)", test.side, found.total, found.exact, test.paths, test.source)
		}
		if want := min(limit, int(test.paths)); len(found.list) != want {
			t.Errorf("grid of %d: %d paths listed, want %d", test.side, len(found.list), want)
		}
		if shortest := len(found.list[0]); shortest != 2*(test.side-1) {
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
		found := g.waysBetween(g.blocks(), 0, int32(3*k), 100)
		want, exact := uint64(1)<<min(k, 62), true
		if want >= countLimit {
			want, exact = countLimit, false
		}
		if found.total != want || found.exact != exact {
			t.Errorf("%d diamonds: %d paths, exact %v; want %d, %v", k, found.total, found.exact, want, exact)
		}
	}
}

// A grid too wide to count gives a bound that is true and says so, and ends.
func TestAGridTooWideToCountGivesABound(t *testing.T) {
	g := webOf(grid(40))
	found := g.waysBetween(g.blocks(), 0, 40*40-1, 50)
	if found.exact || found.total < 39*39+1 || len(found.list) != 50 {
		t.Errorf("total %d, exact %v, %d listed", found.total, found.exact, len(found.list))
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
		found := g.waysBetween(g.blocks(), 0, int32(count-1), limit)
		if !found.exact || int(found.total) != len(paths) || len(found.list) != min(limit, len(paths)) {
			t.Fatalf("%d listed of %d, exact %v; there are %d, limit %d", len(found.list), found.total, found.exact, len(paths), limit)
		}
		known := map[string]bool{}
		for _, path := range paths {
			known[printPath(path)] = true
		}
		for i, way := range found.list {
			var path []int
			for _, e := range way {
				path = append(path, int(e))
			}
			if !known[printPath(path)] {
				t.Fatalf("%v is no simple path, or listed twice", path)
			}
			delete(known, printPath(path))
			if i > 0 && len(way) < len(found.list[i-1]) {
				t.Fatalf("not the shortest first: %v", found.list)
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
