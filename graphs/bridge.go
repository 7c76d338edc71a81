package graphs

// FeedBridge says whether two terminals are the two sides on which a bridge of
// four diodes takes in: such a rail may be AC, whatever the map calls it.
func (c *Circuit) FeedBridge(red, black int) bool {
	out := func(t int) (cathodes, anodes map[int]bool) {
		cathodes, anodes = map[int]bool{}, map[int]bool{}
		nets := c.Nets()
		for _, at := range nets.Net(t).Terminals {
			for _, id := range c.Incident(at) {
				if e := c.Elements[id]; e.Kind == Diode && e.A == at {
					cathodes[nets.Of[e.B]] = true
				} else if e.Kind == Diode {
					anodes[nets.Of[e.A]] = true
				}
			}
		}
		return cathodes, anodes
	}
	plusOne, minusOne := out(red)
	plusOther, minusOther := out(black)
	return meet(plusOne, plusOther) && meet(minusOne, minusOther)
}

func meet(one, other map[int]bool) bool {
	for net := range one {
		if other[net] {
			return true
		}
	}
	return false
}
