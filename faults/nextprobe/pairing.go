package nextprobe

import "slices"

// branch is one edge of a tree that needs proof.
type branch struct{ id, a, b int }

// pairLeaves returns pairs of leaves such that the paths between them cover
// every branch of a tree: ceil(L/2) pairs for L leaves, which is the least.
//
// The leaves l_1 .. l_L in depth-first order from a node that is no leaf are
// paired as (l_i, l_(i+ceil(L/2))), a left-over one with any other: the leaves
// under a branch form an interval, it or its complement is no longer than L/2,
// so a leaf in it has its partner outside (the problem: Kahng, Robins and
// Walkup 1998). Of a tree that lost the path of its first pair to proof, the
// rest takes one pair less, so that planning anew after each reading costs
// nothing.
func pairLeaves(branches []branch) [][2]int {
	leaves := leavesInOrder(branches)
	half := (len(leaves) + 1) / 2
	pairs := make([][2]int, 0, half)
	for i := 0; i+half < len(leaves); i++ {
		pairs = append(pairs, [2]int{leaves[i], leaves[i+half]})
	}
	if len(leaves)%2 == 1 {
		pairs = append(pairs, [2]int{leaves[half-1], leaves[len(leaves)-1]})
	}
	return pairs
}

// leavesInOrder returns the nodes of degree 1 of a tree in depth-first order
// from its first node that is no leaf.
func leavesInOrder(branches []branch) []int {
	next := map[int][]int{}
	var nodes []int
	for _, b := range branches {
		for _, end := range [2][2]int{{b.a, b.b}, {b.b, b.a}} {
			if next[end[0]] == nil {
				nodes = append(nodes, end[0])
			}
			next[end[0]] = append(next[end[0]], end[1])
		}
	}
	if len(nodes) == 0 {
		return nil
	}
	slices.Sort(nodes)
	root := nodes[0]
	for _, node := range nodes {
		slices.Sort(next[node])
		if len(next[root]) < 2 && len(next[node]) > 1 {
			root = node
		}
	}
	var leaves []int
	type step struct{ node, from int }
	for stack := []step{{root, -1}}; len(stack) > 0; {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if len(next[at.node]) == 1 {
			leaves = append(leaves, at.node)
		}
		for i := len(next[at.node]) - 1; i >= 0; i-- {
			if far := next[at.node][i]; far != at.from {
				stack = append(stack, step{far, at.node})
			}
		}
	}
	return leaves
}
