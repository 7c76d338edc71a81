package graphs

import "bellout/model"

// Protective says, by element, which wires and links are protective conductors:
// nothing opens those, in no plan and no advice. They are
//
//   - what model.Machine calls protective by itself: green-yellow, or with an end
//     at an earth terminal;
//   - what lies between two earth terminals, whatever it is called: wires over
//     blocks and plugs, fuses and contacts that somebody put there;
//   - the branches of an earth bar that is all blocks and plugs, where no 0 V
//     joins it: past a bond of 0 V to earth, what only 0 V hangs on is none.
//
// A stray join to a rail or to the mains makes an earth no less protective.
// Elements that are open count as well. Cost: linear.
func (c *Circuit) Protective() []bool {
	m := c.Machine
	found := make([]bool, len(c.Elements))
	for id, e := range c.Elements {
		switch {
		case e.Kind == Wire:
			found[id] = m.ProtectiveWire(m.Wires[e.Row])
		case e.Row >= 0 && e.Kind.Metal():
			found[id] = m.ProtectiveLink(m.Links[e.Row])
		}
	}
	plain := func(t int) bool { // it says of itself neither earth nor anything else
		role := m.Terminals[t].Role
		return role == model.RolePass || role == model.RoleUnknown
	}
	drawn := func(e Element) bool {
		return e.Kind.Metal() && (e.Kind != Wire || !m.Wires[e.Row].Removed) && (e.Kind != Joined || e.Present)
	}
	onEarth := func(t int) bool { return m.Terminals[t].Protective() }
	blocks := c.Blocks(func(e Element) bool {
		return drawn(e) && (plain(e.A) || onEarth(e.A)) && (plain(e.B) || onEarth(e.B))
	})
	first := map[int]int{} // by the block tree's root: an earth terminal; what lies between it and another is protective
	for t := range m.Terminals {
		if !onEarth(t) {
			continue
		}
		root := blocks.Root(t)
		known, met := first[root]
		if !met {
			first[root] = t
			continue
		}
		for _, id := range blocks.Between(known, t) {
			found[id] = true
		}
	}
	seen := make([]bool, len(m.Terminals))
	for start := range m.Terminals {
		if seen[start] || !plain(start) || onEarth(start) {
			continue
		}
		seen[start] = true
		var around []int // elements at a piece of plain terminals
		earth, zero := false, false
		for queue := []int{start}; len(queue) > 0; {
			t := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, id := range c.Incident(t) {
				if !drawn(c.Elements[id]) {
					continue
				}
				around = append(around, int(id))
				switch far := c.Far(int(id), t); {
				case onEarth(far):
					earth = true
				case !plain(far):
					zero = zero || m.Terminals[far].Role == model.RoleReturn
				case !seen[far]:
					seen[far] = true
					queue = append(queue, far)
				}
			}
		}
		if earth && !zero {
			for _, id := range around {
				found[id] = true
			}
		}
	}
	return found
}

// NoneOpensProtective returns an error where a condition lifts or opens a protective
// conductor, also one that only the rest of the map shows to be one. A device that
// was unplugged with its earth is taken as it is: a plug that is out is what keeps
// people alive. Cost: linear, where anything is lifted or opened.
func NoneOpensProtective(m *model.Machine, conditions model.Conditions) error {
	var protective []bool
	var c *Circuit
	for _, condition := range conditions {
		if condition.Kind != model.Lifted && condition.Kind != model.ContactOpen {
			continue
		}
		if protective == nil {
			c = NewCircuit(m, nil)
			protective = c.Protective()
		}
		if condition.Kind == model.Lifted {
			if row, found := m.WireIndex(condition.Wire); found && protective[row] {
				return model.ErrProtective(condition.Wire)
			}
		} else if row, found := c.linkMeant(condition); found && protective[c.LinkElement(row)] {
			return model.ErrProtective(m.Links[row].Place())
		}
	}
	return nil
}

// LeftInPlace tells what nothing opens for a test: protective conductors and all of
// the mains side, whatever is joined to what.
type LeftInPlace struct {
	c          *Circuit
	protective []bool // by element
	mains      []bool // by terminal: metal joins it to line or neutral
	devices    map[string]bool
}

// LeftInPlace looks through the circuit, as the map draws it. Cost: linear.
func (c *Circuit) LeftInPlace() *LeftInPlace {
	l := &LeftInPlace{c: c, protective: c.Protective(), mains: make([]bool, len(c.Machine.Terminals)), devices: map[string]bool{}}
	nets := c.Nets()
	pole := make([]bool, len(nets.List))
	for t, terminal := range c.Machine.Terminals {
		if terminal.Role == model.RoleLine || terminal.Role == model.RoleNeutral {
			pole[nets.Of[t]] = true
		}
	}
	for t, terminal := range c.Machine.Terminals {
		if l.mains[t] = pole[nets.Of[t]]; l.mains[t] {
			l.devices[terminal.Device] = true
		}
	}
	for id, e := range c.Elements {
		if l.protective[id] && (e.Kind != Wire || e.Present) {
			l.devices[c.Machine.Terminals[e.A].Device], l.devices[c.Machine.Terminals[e.B].Device] = true, true
		}
	}
	return l
}

// Protective says whether an element is a protective conductor.
func (l *LeftInPlace) Protective(element int) bool { return l.protective[element] }

// Mains says whether metal joins a terminal to line or neutral, by a mistake or not.
func (l *LeftInPlace) Mains(terminal int) bool { return l.mains[terminal] }

// Element says whether an element stays as it is.
func (l *LeftInPlace) Element(element int) bool {
	e := l.c.Elements[element]
	return l.protective[element] || l.mains[e.A] || l.mains[e.B]
}

// Device says whether a device stays plugged in: a protective conductor ends at it
// or runs through it, or it hangs on the mains.
func (l *LeftInPlace) Device(ref string) bool { return l.devices[ref] }

// Opened says whether a condition opens what is to be left in place.
func (l *LeftInPlace) Opened(condition model.Condition) bool {
	switch condition.Kind {
	case model.Unplugged:
		return l.Device(condition.Device)
	case model.Lifted:
		row, found := l.c.Machine.WireIndex(condition.Wire)
		return found && l.Element(row)
	case model.ContactOpen:
		row, found := l.c.linkMeant(condition)
		return found && l.Element(l.c.LinkElement(row))
	default:
		return false
	}
}
