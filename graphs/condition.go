package graphs

import (
	"slices"

	"bellout/model"
)

// Under returns the same machine under further conditions; the receiver is left
// as it is. Conditions that the map has no object for change nothing. Cost: one
// copy of the elements, and with clip leads that of their index.
func (c *Circuit) Under(conditions model.Conditions) *Circuit {
	if len(conditions) == 0 {
		return c
	}
	other := c.copy()
	other.Conditions = conditions
	if len(c.Conditions) > 0 {
		other.Conditions = model.NewConditions(slices.Concat(c.Conditions, conditions)...)
	}
	other.apply(conditions)
	return other
}

// apply opens and closes elements as the conditions say.
func (c *Circuit) apply(conditions model.Conditions) {
	m := c.Machine
	count := len(c.Elements)
	set := func(id int, present bool) { c.Elements[id].Present = present }
	for _, condition := range conditions {
		switch condition.Kind {
		case model.Lifted:
			if row, found := m.WireIndex(condition.Wire); found {
				set(row, false)
			}
		case model.Unplugged:
			for _, row := range c.linksOf(condition.Device) {
				set(c.LinkElement(int(row)), false)
			}
		case model.ContactOpen, model.ContactClosed:
			if row, found := c.linkMeant(condition); found {
				set(c.LinkElement(row), condition.Kind == model.ContactClosed)
			}
		case model.Clipped:
			c.clip(condition.ClippedRefs())
		}
	}
	if len(c.Elements) > count {
		c.index()
	}
}

// linkMeant returns the link that an open or closed condition is about. Where
// several lie between the two marks it is the contact, else the first of
// model.LinkKinds: nobody opens the diode across a switch.
func (c *Circuit) linkMeant(condition model.Condition) (row int, found bool) {
	best := len(model.LinkKinds)
	for _, candidate := range c.linksOf(condition.Device) {
		link := &c.Machine.Links[candidate]
		straight := link.From == condition.From && link.To == condition.To
		if !straight && (link.From != condition.To || link.To != condition.From) {
			continue
		}
		order := slices.Index(model.LinkKinds, link.Kind)
		if link.Kind == model.LinkContact {
			order = -1
		}
		if order < best {
			best, row, found = order, int(candidate), true
		}
	}
	return row, found
}

// clip joins the first terminal to each of the others.
func (c *Circuit) clip(refs []model.TerminalRef) {
	for i := 1; i < len(refs); i++ {
		a, foundA := c.Machine.TerminalIndex(refs[0])
		b, foundB := c.Machine.TerminalIndex(refs[i])
		if !foundA || !foundB || a == b {
			continue
		}
		c.Elements = append(c.Elements, Element{Kind: Clip, A: a, B: b, Row: -1, Present: true})
	}
}
