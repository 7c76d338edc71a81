package graphs

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The least loops of a grid are its squares: (k-1)^2 of length 4.
func TestLoopsOfAGridAreItsSquares(t *testing.T) {
	for _, side := range []int{2, 3, 10, 30} {
		loops := grid(side).Loops(Element.Joins)
		total := 0
		for _, loop := range loops {
			total += len(loop.Elements)
		}
		if len(loops) != (side-1)*(side-1) || total != 4*(side-1)*(side-1) {
			t.Errorf("grid of %d: %d loops of total length %d, want %d of %d",
				side, len(loops), total, (side-1)*(side-1), 4*(side-1)*(side-1))
		}
	}
}

// In a block too large for every candidate the loops are still as many as
// there are, and independent.
func TestLoopsOfALargeGrid(t *testing.T) {
	side := 60
	c := grid(side)
	loops := c.Loops(Element.Joins)
	if len(loops) != (side-1)*(side-1) {
		t.Fatalf("%d loops, want %d", len(loops), (side-1)*(side-1))
	}
	total := 0
	for _, loop := range loops {
		if err := loopComplaint(c, loop); err != "" {
			t.Fatal(err)
		}
		total += len(loop.Elements)
	}
	if limit := 2 * side * (side - 1) * (side - 1); total > limit { // no two ends lie further apart in a grid
		t.Errorf("total length %d, want no more than %d", total, limit)
	}
}

// loopComplaint says what is wrong with a loop.
func loopComplaint(c *Circuit, loop Loop) string {
	if len(loop.Terminals) != len(loop.Elements) || len(loop.Elements) < 2 {
		return fmt.Sprintf("%d terminals, %d elements", len(loop.Terminals), len(loop.Elements))
	}
	seen := map[int]bool{}
	for i, id := range loop.Elements {
		from, to := loop.Terminals[i], loop.Terminals[(i+1)%len(loop.Terminals)]
		e := c.Elements[id]
		if !(e.A == from && e.B == to) && !(e.A == to && e.B == from) {
			return fmt.Sprintf("element %d does not run from %s to %s", id, c.Ref(from), c.Ref(to))
		}
		if seen[from] {
			return fmt.Sprintf("%s twice in one loop", c.Ref(from))
		}
		seen[from] = true
	}
	return ""
}

// Loops are as many as the circuit has, each a simple way round, independent,
// of the least length together, and the same in any order of the rows.
func TestLoopsAreALeastBasis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(4, 9).Draw(t, "machine")
		c := NewCircuit(m, nil)
		loops := c.Loops(Element.Joins)
		joins := 0
		for _, e := range c.Elements {
			if e.Joins() {
				joins++
			}
		}
		if want := joins - len(m.Terminals) + len(c.Nets().List); len(loops) != want {
			t.Fatalf("%d loops, want %d", len(loops), want)
		}
		var rows []map[int]bool
		total := 0
		for _, loop := range loops {
			if complaint := loopComplaint(c, loop); complaint != "" {
				t.Fatal(complaint)
			}
			rows = append(rows, setOf(loop.Elements))
			total += len(loop.Elements)
		}
		if rank := rankOf(rows); rank != len(loops) {
			t.Fatalf("%d loops, %d of them independent", len(loops), rank)
		}
		if least := leastTotal(c, len(loops)); total != least {
			t.Fatalf("lengths sum to %d, the least is %d", total, least)
		}
		other := NewCircuit(shuffled(m, rand.New(rand.NewPCG(uint64(rapid.Int64().Draw(t, "order")), 1))), nil)
		if got, want := printLoops(other), printLoops(c); !slices.Equal(got, want) {
			t.Fatalf("rows in another order give\n%v, not\n%v", got, want)
		}
	})
}

func printLoops(c *Circuit) []string {
	var out []string
	for _, loop := range c.Loops(Element.Joins) {
		out = append(out, fmt.Sprint(texts(c, loop.Terminals), elementNames(c, loop.Elements)))
	}
	return out
}

func setOf(list []int) map[int]bool {
	set := map[int]bool{}
	for _, item := range list {
		set[item] = true
	}
	return set
}

// rankOf eliminates sets, added without carry, and counts what stays.
func rankOf(rows []map[int]bool) int {
	pivots := map[int]map[int]bool{}
	for _, row := range rows {
		row = setOf(slices.Sorted(keysOf(row)))
		for len(row) > 0 {
			least := slices.Min(slices.Collect(keysOf(row)))
			pivot, found := pivots[least]
			if !found {
				pivots[least] = row
				break
			}
			for item := range pivot {
				if row[item] {
					delete(row, item)
				} else {
					row[item] = true
				}
			}
		}
	}
	return len(pivots)
}

func keysOf(set map[int]bool) func(yield func(int) bool) {
	return func(yield func(int) bool) {
		for item := range set {
			if !yield(item) {
				return
			}
		}
	}
}

// leastTotal takes every simple loop, shortest first, while independent: the
// plain way to a least basis.
func leastTotal(c *Circuit, wanted int) int {
	var loops [][]int
	for id, e := range c.Elements {
		if !e.Joins() {
			continue
		}
		for _, path := range allPaths(c, Element.Joins, e.A, e.B) {
			if !slices.Contains(path, id) {
				loops = append(loops, append(path, id))
			}
		}
	}
	slices.SortStableFunc(loops, func(a, b []int) int { return len(a) - len(b) })
	var rows []map[int]bool
	total := 0
	for _, loop := range loops {
		if len(rows) == wanted {
			break
		}
		if rankOf(append(slices.Clone(rows), setOf(loop))) > len(rows) {
			rows = append(rows, setOf(loop))
			total += len(loop)
		}
	}
	return total
}
