package judge

import "bellout/graphs"

// bonds are the joins that the builder permits and the map may hold no
// conductor for.
type bonds struct{ pairs [][2]int }

func findBonds(c *graphs.Circuit) *bonds {
	found := &bonds{}
	nets := c.Nets()
	for _, bond := range c.Machine.Bonds {
		a, foundA := c.Machine.TerminalIndex(bond.From)
		b, foundB := c.Machine.TerminalIndex(bond.To)
		if foundA && foundB && nets.Of[a] != nets.Of[b] {
			found.pairs = append(found.pairs, [2]int{a, b})
		}
	}
	return found
}

// changes makes a conductor of every bond that has none.
func (b *bonds) changes(*graphs.Circuit) []graphs.ElementChange {
	var changes []graphs.ElementChange
	for _, pair := range b.pairs {
		changes = append(changes, graphs.ElementChange{Element: -1, A: pair[0], B: pair[1]})
	}
	return changes
}
