package graphs

// Closed returns the same machine with some elements closed besides; the
// receiver is left as it is. Cost: one copy of the elements, and for the nets
// the size of those touched.
func (c *Circuit) Closed(elements ...int) *Circuit {
	other := c.copy()
	for _, id := range elements {
		if !other.Elements[id].Present {
			other.Elements[id].Present = true
			other.changed = append(other.changed, id)
		}
	}
	return other
}
