package graphs

import (
	"slices"

	"bellout/model"
)

// Live is the circuit of a machine at rest that follows its edits, so that one
// new wire in a large machine costs about a millisecond, not a rebuild.
type Live struct {
	circuit *Circuit
	names   []string // of the elements that are wires; the rest are links
}

// NewLive returns the circuit of a machine at rest, with its nets. Cost: linear.
func NewLive(m *model.Machine) *Live {
	l := &Live{}
	l.rebuild(m)
	return l
}

// Rebuild makes everything anew. Call it after an edit that Machine.Apply
// refused: what it takes back may stand in other places than before.
func (l *Live) Rebuild() { l.rebuild(l.circuit.Machine) }

func (l *Live) rebuild(m *model.Machine) {
	l.circuit = NewCircuit(m, nil)
	l.circuit.Nets()
	l.names = make([]string, len(m.Wires))
	for row := range m.Wires {
		l.names[row] = m.Wires[row].Name
	}
}

// Circuit returns the machine at rest as it is after the last Apply. It, its
// nets and circuits made from it (Under, Without) hold until the next Apply,
// which writes to what they share.
func (l *Live) Circuit() *Circuit { return l.circuit }

// Apply follows an edit: call it with all of the edit's changes, in order,
// after Machine.Apply took them. It returns the places in Nets().List of the
// nets that the edit concerns, rising. With rebuilt true, something else than
// wires and links changed, or the machine was edited behind its back: everything
// was made anew and any net may have changed. Numbers of elements may differ
// afterwards. Cost: the size of the nets concerned, plus moving the lists of
// elements along.
func (l *Live) Apply(changes ...model.Change) (nets []int, rebuilt bool) {
	m := l.circuit.Machine
	if !l.followable(changes) {
		l.rebuild(m)
		return nil, true
	}
	edit := newLiveEdit(l.circuit, l.names)
	for _, change := range changes {
		if !edit.follow(change) {
			l.rebuild(m)
			return nil, true
		}
	}
	c := edit.circuit
	l.circuit, l.names = c, edit.names
	for name := range edit.fresh {
		if row, found := m.WireIndex(name); found {
			edit.change.wires = append(edit.change.wires, row)
		}
	}
	c.regroup(c.nets, edit.change)
	for _, terminal := range edit.ends {
		nets = append(nets, c.nets.Of[terminal])
	}
	slices.Sort(nets)
	return slices.Compact(nets), false
}

// followable says whether a circuit can follow the changes: they are such as
// move no terminal and no link, and with them the circuit has as many rows as
// the machine, which has taken them already.
func (l *Live) followable(changes []model.Change) bool {
	m := l.circuit.Machine
	wires, links := len(l.names), len(l.circuit.Elements)-len(l.names)
	for _, change := range changes {
		came := 0
		if change.Before == nil {
			came = 1
		} else if change.After == nil {
			came = -1
		}
		switch change.Table() {
		case model.TableTerminal:
			return false
		case model.TableSetting: // the ambient temperature is in every wire's ohms
			before, _ := change.Before.(model.Setting)
			after, _ := change.After.(model.Setting)
			if before.Key == model.KeyAmbientC || after.Key == model.KeyAmbientC {
				return false
			}
		case model.TableDevice: // its kind is in the names of nets
			before, hadBefore := change.Before.(model.Device)
			after, hasAfter := change.After.(model.Device)
			if hadBefore && (!hasAfter || before.Ref != after.Ref || before.Kind != after.Kind) {
				return false
			}
		case model.TableLink: // one that goes would move the last
			if change.Before != nil && (change.After == nil || change.Before.ID() != change.After.ID()) {
				return false
			}
			links += came
		case model.TableWire:
			wires += came
		}
	}
	return wires == len(m.Wires) && links == len(m.Links) && len(l.circuit.first)-1 == len(m.Terminals)
}

// liveEdit makes the changes of one edit to a circuit, except for its nets,
// which wait until all are made. The machine is ahead of it: it has taken the
// whole edit already.
type liveEdit struct {
	circuit *Circuit
	names   []string // of the wires as they stand now
	celsius float64
	change  netChange
	was     map[int]int     // the number in the lists of nets of a wire that has another now; -1: it is in none
	fresh   map[string]bool // wires that came or changed
	ends    []int           // terminals at which anything changed
}

func newLiveEdit(c *Circuit, names []string) *liveEdit {
	// A new value, so that nothing worked out for the old one lives on.
	next := &Circuit{Machine: c.Machine, Elements: c.Elements, first: c.first, incident: c.incident, labels: c.labels, nets: c.nets}
	return &liveEdit{
		circuit: next, names: names, celsius: c.Machine.Settings().AmbientCelsius,
		change: netChange{moved: map[int]int{}}, was: map[int]int{}, fresh: map[string]bool{},
	}
}

// follow makes one change; false: the circuit does not know the row.
func (e *liveEdit) follow(change model.Change) bool {
	switch change.Table() {
	case model.TableWire:
		return e.followWire(change)
	case model.TableLink:
		return e.followLink(change)
	default:
		return true
	}
}

func (e *liveEdit) followWire(change model.Change) bool {
	before, hadBefore := change.Before.(model.Wire)
	after, hasAfter := change.After.(model.Wire)
	if !hadBefore {
		e.putWire(after)
		return true
	}
	id, found := e.findWire(before)
	switch {
	case !found:
		return false
	case hasAfter && before.Name == after.Name:
		e.fresh[after.Name] = true
		e.replace(id, wireElement(e.circuit.Machine, &after, id, e.celsius))
	default: // renamed: the machine drops the old row and puts the new one last
		e.dropWire(id)
		if hasAfter {
			e.putWire(after)
		}
	}
	return true
}

func (e *liveEdit) followLink(change model.Change) bool {
	before, hadBefore := change.Before.(model.Link)
	after, _ := change.After.(model.Link)
	m := e.circuit.Machine
	if !hadBefore {
		row := len(e.circuit.Elements) - len(e.names)
		e.insert(len(e.circuit.Elements), linkElementAt(m, &after, row))
		e.circuit.labels.addLink(after.Device, row)
		return true
	}
	a, found := m.TerminalIndex(before.FromRef())
	if !found {
		return false
	}
	for _, id := range e.circuit.Incident(a) {
		element := e.circuit.Elements[id]
		if element.Kind != Wire && m.Links[element.Row].ID() == after.ID() {
			e.replace(int(id), linkElementAt(m, &after, element.Row))
			return true
		}
	}
	return false
}

// findWire returns the number of a wire, looked for at the end that has fewer.
func (e *liveEdit) findWire(wire model.Wire) (id int, found bool) {
	a, foundA := e.circuit.Machine.TerminalIndex(wire.From)
	b, foundB := e.circuit.Machine.TerminalIndex(wire.To)
	if !foundA || !foundB {
		return 0, false
	}
	if len(e.circuit.Incident(b)) < len(e.circuit.Incident(a)) {
		a = b
	}
	for _, id := range e.circuit.Incident(a) {
		if int(id) < len(e.names) && e.names[id] == wire.Name {
			return int(id), true
		}
	}
	return 0, false
}

// touch notes that an element began or ceased to conduct, or changed.
func (e *liveEdit) touch(element Element, there bool) {
	e.ends = append(e.ends, element.A, element.B)
	if !element.Joins() {
		return
	}
	if pair := [2]int{element.A, element.B}; there {
		e.change.joined = append(e.change.joined, pair)
	} else {
		e.change.opened = append(e.change.opened, pair)
	}
}

func (e *liveEdit) putWire(wire model.Wire) {
	id := len(e.names)
	e.names = append(e.names, wire.Name)
	e.was[id] = -1
	e.fresh[wire.Name] = true
	e.insert(id, wireElement(e.circuit.Machine, &wire, id, e.celsius))
}

// insert puts an element at a number; those from there on move up.
func (e *liveEdit) insert(id int, element Element) {
	c := e.circuit
	if id < len(c.Elements) {
		for i, other := range c.incident {
			if int(other) >= id {
				c.incident[i]++
			}
		}
	}
	c.Elements = slices.Insert(c.Elements, id, element)
	c.insertIncident(element.A, id)
	c.insertIncident(element.B, id)
	e.touch(element, true)
}

func (e *liveEdit) replace(id int, element Element) {
	c := e.circuit
	before := c.Elements[id]
	if before == element {
		e.touch(element, true) // a colour, say: the lists of its net stay
		return
	}
	sameEnds := before.A == element.A && before.B == element.B
	if !sameEnds {
		c.removeIncident(before.A, id)
		c.removeIncident(before.B, id)
	}
	c.Elements[id] = element
	if !sameEnds {
		c.insertIncident(element.A, id)
		c.insertIncident(element.B, id)
	}
	if !(sameEnds && before.Joins() && element.Joins()) {
		e.touch(before, false)
	}
	e.touch(element, true)
}

// dropWire takes a wire out as the machine does: the last one takes its place.
func (e *liveEdit) dropWire(id int) {
	c := e.circuit
	last := len(e.names) - 1
	gone := c.Elements[id]
	c.removeIncident(gone.A, id)
	c.removeIncident(gone.B, id)
	e.touch(gone, false)
	if known := e.known(id); known >= 0 {
		e.change.moved[known] = -1
	}
	if id != last {
		known := e.known(last)
		e.was[id] = known
		if known >= 0 {
			e.change.moved[known] = id
		}
		moved := c.Elements[last]
		c.removeIncident(moved.A, last)
		c.removeIncident(moved.B, last)
		moved.Row = id
		c.Elements[id] = moved
		c.insertIncident(moved.A, id)
		c.insertIncident(moved.B, id)
		e.names[id] = e.names[last]
		e.touch(moved, true) // the list of its net has another number now
	}
	e.names = e.names[:last]
	c.Elements = slices.Delete(c.Elements, last, last+1)
	for i, other := range c.incident {
		if int(other) > last {
			c.incident[i]--
		}
	}
}

// known returns the number by which the lists of nets know a wire.
func (e *liveEdit) known(id int) int {
	if known, found := e.was[id]; found {
		return known
	}
	return id
}
