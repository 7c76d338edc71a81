package faults

import "math"

// tree is a depth-first spanning tree of what hangs on one terminal. Nodes are
// places in order of discovery, so a node's subtree is the run [node, end).
// It tells which elements are bridges: what lies beyond one hangs by it alone.
type tree struct {
	at    []int // terminal by node
	up    []int // node above; -1 for the root
	via   []int // element that leads up; noElement for the root
	low   []int // the earliest node that the subtree reaches by one element besides via
	end   []int
	place map[int]int // node by terminal
}

// step is one way on from a terminal: an element, and the terminal beyond it.
// Ways that are no element of the circuit carry negative numbers of their own.
type step struct{ element, far int }

// noElement is no element's number, nor that of a way of a rule's own.
const noElement = math.MaxInt

// growTree walks everything that ways leads to. ways appends the steps from a
// terminal to the list it is given; the same element comes back from its far
// end with the same number. Cost: linear in the steps.
func growTree(root int, ways func(terminal int, list []step) []step) *tree {
	tr := &tree{place: map[int]int{}}
	type frame struct {
		node  int
		steps []step
	}
	enter := func(terminal, up, via int) frame {
		node := len(tr.at)
		tr.at = append(tr.at, terminal)
		tr.up = append(tr.up, up)
		tr.via = append(tr.via, via)
		tr.low = append(tr.low, node)
		tr.end = append(tr.end, 0)
		tr.place[terminal] = node
		return frame{node, ways(terminal, nil)}
	}
	for stack := []frame{enter(root, -1, noElement)}; len(stack) > 0; {
		top := &stack[len(stack)-1]
		if len(top.steps) == 0 {
			node := top.node
			tr.end[node] = len(tr.at)
			stack = stack[:len(stack)-1]
			if up := tr.up[node]; up >= 0 {
				tr.low[up] = min(tr.low[up], tr.low[node])
			}
			continue
		}
		next := top.steps[0]
		top.steps = top.steps[1:]
		if next.element == tr.via[top.node] {
			continue
		}
		if known, seen := tr.place[next.far]; seen {
			tr.low[top.node] = min(tr.low[top.node], known)
			continue
		}
		stack = append(stack, enter(next.far, top.node, next.element))
	}
	return tr
}

// bridge says whether a node's subtree hangs on the rest by its upward element
// alone.
func (tr *tree) bridge(node int) bool { return node > 0 && tr.low[node] == node }

// sumUp adds the values of every node into the nodes above it, so that each
// becomes the sum of its subtree.
func sumUp(tr *tree, values []int) {
	for node := len(values) - 1; node > 0; node-- {
		values[tr.up[node]] += values[node]
	}
}
