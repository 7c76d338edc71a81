package graphs

// Unmoved says what an element that came to a circuit cannot have changed. What a
// meter shows between two terminals hangs on the elements that lie on some simple
// path between them and on no other; so a question about terminals between which
// no such path runs through the new element has the answer that it had before.
type Unmoved struct {
	// side is by terminal: equal where terminals are joined without the block of
	// the new element, -1 where nothing joins them to it at all.
	side []int32
}

// UnmovedBy returns what an element leaves as it was. Every element counts as if
// it conducted, so that it holds in every condition and for every fault. Cost:
// linear in terminals and elements.
func (c *Circuit) UnmovedBy(element int) *Unmoved {
	blocks := c.Blocks(func(e Element) bool { return e.A != e.B })
	own := blocks.BlockOf(element)
	joined := newSets(len(c.Machine.Terminals))
	for id := range c.Elements {
		if blocks.BlockOf(id) != own {
			joined.union(int32(c.Elements[id].A), int32(c.Elements[id].B))
		}
	}
	u := &Unmoved{side: make([]int32, len(joined))}
	near := c.Elements[element].A
	for t := range u.side {
		u.side[t] = -1
		if own >= 0 && blocks.Joined(t, near) {
			u.side[t] = joined.find(int32(t))
		}
	}
	return u
}

// Between says whether the new element lies on no simple path between any two of
// some terminals: the two tips of a meter, the ends of what a condition or a fault
// changes. What these changes add may lead from any of the terminals to any other.
func (u *Unmoved) Between(terminals ...int) bool {
	side := int32(-1)
	for _, t := range terminals {
		switch at := u.side[t]; {
		case at < 0 || at == side:
		case side < 0:
			side = at
		default:
			return false
		}
	}
	return true
}
