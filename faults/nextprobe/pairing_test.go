package nextprobe

import (
	"testing"

	"pgregory.net/rapid"
)

// drawTree draws a tree of 2 to 40 nodes, each hung on an earlier one.
func drawTree(t *rapid.T) []branch {
	nodes := rapid.IntRange(2, 40).Draw(t, "nodes")
	branches := make([]branch, 0, nodes-1)
	for node := 1; node < nodes; node++ {
		branches = append(branches, branch{node, rapid.IntRange(0, node-1).Draw(t, "up"), node})
	}
	return branches
}

// pathIn returns the branches between two nodes of a tree.
func pathIn(branches []branch, from, to int) map[int]bool {
	var walk func(at, by int) (map[int]bool, bool)
	walk = func(at, by int) (map[int]bool, bool) {
		if at == to {
			return map[int]bool{}, true
		}
		for _, b := range branches {
			if b.id == by || b.a != at && b.b != at {
				continue
			}
			if path, found := walk(b.a+b.b-at, b.id); found {
				path[b.id] = true
				return path, true
			}
		}
		return nil, false
	}
	path, _ := walk(from, -1)
	return path
}

func leafCount(branches []branch) int {
	degree := map[int]int{}
	for _, b := range branches {
		degree[b.a]++
		degree[b.b]++
	}
	leaves := 0
	for _, d := range degree {
		if d == 1 {
			leaves++
		}
	}
	return leaves
}

// TestHalfTheLeavesCoverATree: ceil(L/2) paths between leaves cover a tree with L
// leaves, and no fewer can, since every leaf must be an end of one (Kahng,
// Robins and Walkup 1998).
func TestHalfTheLeavesCoverATree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		branches := drawTree(t)
		pairs := pairLeaves(branches)
		if want := (leafCount(branches) + 1) / 2; len(pairs) != want {
			t.Fatalf("%d pairs for %v, want %d", len(pairs), branches, want)
		}
		covered := map[int]bool{}
		for _, pair := range pairs {
			for id := range pathIn(branches, pair[0], pair[1]) {
				covered[id] = true
			}
		}
		if len(covered) != len(branches) {
			t.Fatalf("%d of %d branches covered by %v: %v", len(covered), len(branches), pairs, branches)
		}
	})
}

// TestPlanningAnewCostsNothing: drawing the first path to nothing and pairing the
// rest again takes as many pairs in all.
func TestPlanningAnewCostsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		branches := drawTree(t)
		want, pairs := (leafCount(branches)+1)/2, 0
		for len(branches) > 0 {
			list := pairLeaves(branches)
			pair := list[rapid.IntRange(0, len(list)-1).Draw(t, "which of the pairs")]
			branches = contract(branches, pathIn(branches, pair[0], pair[1]))
			pairs++
		}
		if pairs != want {
			t.Fatalf("%d pairs in all, want %d", pairs, want)
		}
	})
}

// contract draws branches to nothing.
func contract(branches []branch, gone map[int]bool) []branch {
	up := map[int]int{}
	find := func(node int) int {
		for up[node] != 0 {
			node = up[node] - 1
		}
		return node
	}
	for _, b := range branches {
		if x, y := find(b.a), find(b.b); gone[b.id] && x != y {
			up[x] = y + 1
		}
	}
	var rest []branch
	for _, b := range branches {
		if !gone[b.id] {
			rest = append(rest, branch{b.id, find(b.a), find(b.b)})
		}
	}
	return rest
}
