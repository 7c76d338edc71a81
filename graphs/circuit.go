package graphs

import (
	"slices"
	"sync"

	"bellout/graphs/kit"
	"bellout/model"
)

// ElementKind says what an element of a circuit is.
type ElementKind uint8

// The kinds of element.
const (
	Wire ElementKind = iota
	Solid
	Fuse
	Contact
	Resistance
	Diode
	Capacitance
	Electronic
	Clip   // a clip lead that a reading's conditions name
	Joined // a row that says no more than that metal joins two terminals, see model.BasisJoined
)

// Element is one edge of a circuit: a wire, a link or a clip lead.
type Element struct {
	Kind ElementKind
	// Present is false while it is open in this condition: a removed or lifted
	// wire, a blown fuse, an open contact, any link of an unplugged device.
	Present bool
	// A and B are the terminals at its ends; a diode's anode is A.
	A, B int
	// Row is its place in Machine.Wires (Kind Wire) or in Machine.Links; -1 for
	// a clip lead and for what is only joined, whose element has the number of its row.
	Row int
	// Ohms is its resistance while it conducts: a wire's copper (0 where gauge
	// or length is not known), a resistance link's value, 0 for metal. It means
	// nothing for diodes, capacitances and electronic links.
	Ohms float64
}

// MetalInside says whether an element of this kind is metal of a device: no wire, no
// clip lead, and nothing that may run anywhere.
func (k ElementKind) MetalInside() bool {
	return k == Solid || k == Fuse || k == Contact
}

// Joins says whether the element makes one net of its ends: metal, and present.
func (e Element) Joins() bool { return e.Present && e.Kind.Metal() }

// Walks says whether a builder follows the element when looking for what a
// terminal hangs on: metal that is present, fuses blown or not, contacts in any
// position.
func (e Element) Walks() bool {
	return e.Kind.Metal() && (e.Present || e.Kind == Fuse || e.Kind == Contact)
}

// Metal says whether elements of this kind join nets when they are present.
func (k ElementKind) Metal() bool {
	switch k {
	case Wire, Solid, Fuse, Contact, Clip, Joined:
		return true
	default:
		return false
	}
}

// Circuit is the machine in one condition. It does not change while somebody
// reads it; several may read at once.
type Circuit struct {
	Machine    *model.Machine
	Conditions model.Conditions
	Elements   []Element // wires in the order of Machine.Wires, then links in that of Machine.Links, then clips

	graph  *kit.Graph // every element, by its number
	labels *labels    // shared by all circuits of this machine

	netsOnce sync.Once
	nets     *Nets

	solver solver // what resistance computed once; safe for readers side by side
}

// NewCircuit returns the machine as it conducts under the conditions; none
// means at rest. Cost: linear in terminals, wires and links. For one machine in
// many conditions make the circuit at rest once, and call its Under.
func NewCircuit(m *model.Machine, conditions model.Conditions) *Circuit {
	c := &Circuit{Machine: m, labels: &labels{}}
	celsius := m.Settings().AmbientCelsius
	c.Elements = make([]Element, 0, len(m.Wires)+len(m.Links))
	for row := range m.Wires {
		c.Elements = append(c.Elements, wireElement(m, &m.Wires[row], row, celsius))
	}
	for row := range m.Links {
		c.Elements = append(c.Elements, linkElementAt(m, &m.Links[row], row))
	}
	c.index()
	c.Conditions = conditions
	c.apply(conditions)
	return c
}

// copy returns a circuit with elements of its own and the rest shared.
func (c *Circuit) copy() *Circuit {
	return &Circuit{
		Machine: c.Machine, Conditions: c.Conditions, Elements: slices.Clone(c.Elements),
		graph: c.graph, labels: c.labels,
	}
}

// wireElement returns the element of a wire, which stands in that row.
func wireElement(m *model.Machine, wire *model.Wire, row int, celsius float64) Element {
	a, _ := m.TerminalIndex(wire.From)
	b, _ := m.TerminalIndex(wire.To)
	e := Element{Kind: Wire, A: a, B: b, Row: row, Present: !wire.Removed}
	switch {
	case wire.Basis == model.BasisJoined:
		e.Kind, e.Row = Joined, -1
	case wire.LengthMetres.Known:
		e.Ohms = WireOhms(*wire, celsius)
	}
	return e
}

// linkElementAt returns the element of a link, which stands in that row.
func linkElementAt(m *model.Machine, link *model.Link, row int) Element {
	a, _ := m.TerminalIndex(link.FromRef())
	b, _ := m.TerminalIndex(link.ToRef())
	return linkElement(*link, a, b, row)
}

func linkElement(link model.Link, a, b, row int) Element {
	e := Element{A: a, B: b, Row: row, Present: true}
	switch link.Kind {
	case model.LinkSolid:
		e.Kind = Solid
	case model.LinkFuse:
		e.Kind, e.Present = Fuse, link.State != model.StateOpen
	case model.LinkContact:
		e.Kind, e.Present = Contact, link.State == model.StateClosed
	case model.LinkResistance:
		e.Kind, e.Ohms = Resistance, link.Value.Value
		if !link.Value.Known {
			e.Kind = Electronic // no ohms noted: what the meter will show is not known
		}
	case model.LinkDiode:
		e.Kind = Diode
	case model.LinkCapacitance:
		e.Kind = Capacitance
	default:
		e.Kind = Electronic
	}
	return e
}

// index lists the elements at each terminal.
func (c *Circuit) index() {
	ends := make([][2]int32, len(c.Elements))
	for id := range c.Elements {
		ends[id] = [2]int32{int32(c.Elements[id].A), int32(c.Elements[id].B)}
	}
	c.graph = kit.NewGraph(len(c.Machine.Terminals), ends)
}

// Incident returns the numbers of the elements at a terminal, absent ones
// included.
func (c *Circuit) Incident(terminal int) []int32 {
	return c.graph.At(int32(terminal))
}

// Wired says whether anything from outside its device is known to end at a terminal.
func (c *Circuit) Wired(terminal int) bool {
	return slices.ContainsFunc(c.Incident(terminal), func(id int32) bool {
		e := &c.Elements[id]
		return e.Present && e.A != e.B && (e.Kind == Wire || e.Kind == Joined)
	})
}

// Far returns the end of an element that is not the given terminal.
func (c *Circuit) Far(element int, terminal int) int {
	if e := c.Elements[element]; e.A != terminal {
		return e.A
	}
	return c.Elements[element].B
}

// Ref returns the reference of a terminal.
func (c *Circuit) Ref(terminal int) model.TerminalRef { return c.Machine.Terminals[terminal].Ref() }

// LinkElement returns the number of the element that stands for a link of the
// machine, by its place in Machine.Links.
func (c *Circuit) LinkElement(row int) int { return len(c.Machine.Wires) + row }

// Without returns the same machine with some elements open besides; the
// receiver is left as it is. Cost: one copy of the elements.
func (c *Circuit) Without(elements ...int) *Circuit {
	other := c.copy()
	for _, id := range elements {
		other.Elements[id].Present = false
	}
	return other
}

// Blocks are the biconnected blocks of some elements; vertices are terminals.
type Blocks = kit.Blocks

// Blocks returns the blocks of the elements that pass the filter, such as
// Element.Joins. Cost: linear in terminals and elements.
func (c *Circuit) Blocks(filter func(Element) bool) *Blocks {
	g := *c.graph
	g.Absent = make([]bool, len(c.Elements))
	for id, e := range c.Elements {
		g.Absent[id] = !filter(e)
	}
	return g.Blocks()
}
