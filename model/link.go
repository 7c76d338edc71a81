package model

import "fmt"

// LinkKind says how a link conducts.
type LinkKind string

// The kinds of link.
const (
	LinkSolid       LinkKind = "solid"       // bus bar, jumper, mated contact, commoned returns
	LinkFuse        LinkKind = "fuse"        // value: amperes
	LinkContact     LinkKind = "contact"     // state open or closed
	LinkResistance  LinkKind = "resistance"  // value: ohms, measured cold; without one it is as unknown as electronic
	LinkDiode       LinkKind = "diode"       // from = anode
	LinkCapacitance LinkKind = "capacitance" // value: farads
	LinkElectronic  LinkKind = "electronic"  // what a meter shows is not known
)

// LinkKinds lists every kind of link.
var LinkKinds = []LinkKind{LinkSolid, LinkFuse, LinkContact, LinkResistance, LinkDiode, LinkCapacitance, LinkElectronic}

// Metal says whether a link of this kind joins its terminals while it is closed.
func (k LinkKind) Metal() bool { return k == LinkSolid || k == LinkFuse || k == LinkContact }

// LinkState is the position of a contact, or whether a fuse is blown.
type LinkState string

// The states of a link. A fuse in StateOpen is blown; a contact in
// StateUnknown is taken as open.
const (
	StateUnknown LinkState = ""
	StateOpen    LinkState = "open"
	StateClosed  LinkState = "closed"
)

// Link is a conduction path inside one device, between two of its terminals.
type Link struct {
	Device string    `json:"device"`
	From   string    `json:"from"` // a mark of Device; the anode of a diode
	To     string    `json:"to"`   // a mark of Device
	Kind   LinkKind  `json:"kind"`
	Value  Optional  `json:"value"` // amperes, ohms or farads by Kind
	State  LinkState `json:"state"`
}

// FromRef returns the terminal at the link's first end.
func (l Link) FromRef() TerminalRef { return TerminalRef{Device: l.Device, Mark: l.From} }

// ToRef returns the terminal at the link's second end.
func (l Link) ToRef() TerminalRef { return TerminalRef{Device: l.Device, Mark: l.To} }

// Joins says whether the link, in the state noted in the map, makes its two
// terminals one net: solid, an intact fuse, a closed contact.
func (l Link) Joins() bool {
	switch l.Kind {
	case LinkSolid:
		return true
	case LinkFuse:
		return l.State != StateOpen
	case LinkContact:
		return l.State == StateClosed
	default:
		return false
	}
}

// Table says which table a link belongs to.
func (l Link) Table() Table { return TableLink }

// ID tells links apart: device, marks and kind. Only a diode has a direction.
func (l Link) ID() string {
	from, to := l.From, l.To
	if l.Kind != LinkDiode && Less(to, from) {
		from, to = to, from
	}
	return l.Device + ":" + from + ":" + to + ":" + string(l.Kind)
}

// Place names the link as conditions do: DEVICE:FROM-TO.
func (l Link) Place() string { return l.Device + ":" + l.From + "-" + l.To }

// LinkName names a link by its device where that has no other, else by its place.
func (m *Machine) LinkName(l Link) string {
	for _, other := range m.Links {
		if other.Device == l.Device && other != l {
			return l.Place()
		}
	}
	return l.Device
}

// Validate returns every complaint about the link by itself.
func (l Link) Validate() []FieldError {
	var found complaints
	found.name("device", l.Device)
	found.name("from", l.From)
	found.name("to", l.To)
	if l.From == l.To {
		found.add("to", fmt.Sprintf("the link joins %s to itself", l.FromRef()), "write another mark of "+l.Device)
	}
	found.oneOf("kind", string(l.Kind), words(LinkKinds))
	found.notNegative("value", l.Value)
	if l.Kind == LinkFuse || l.Kind == LinkContact {
		found.oneOf("state", string(l.State), []string{"", string(StateOpen), string(StateClosed)})
	} else if l.State != StateUnknown {
		found.add("state", fmt.Sprintf("a %s link has no state", l.Kind), "leave it empty; only a contact or a fuse has one")
	}
	return found
}
