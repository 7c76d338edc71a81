package explain

import "bellout/graphs"

// Between returns the elements on the way of least resistance between two
// terminals of a circuit; none if nothing joins them. Whatever every way runs
// through is among them.
func Between(c *graphs.Circuit, a, b int) []int {
	found, _ := leastWay(c, a, b, nil)
	return found.elements
}
