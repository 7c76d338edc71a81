package model

import (
	"fmt"
	"slices"
	"strings"
)

// ConditionKind says in what way the machine differs from itself at rest.
type ConditionKind string

// The kinds of condition.
const (
	Unplugged     ConditionKind = "unplugged" // Device: its links are open
	Lifted        ConditionKind = "lifted"    // Wire hangs free
	ContactOpen   ConditionKind = "open"      // Device, From, To: that link is open
	ContactClosed ConditionKind = "closed"    // Device, From, To: that link conducts
	Clipped       ConditionKind = "clipped"   // Terminals are joined by clip leads
	Driven        ConditionKind = "driven"    // Device, From: that output is commanded on; of the running machine only
)

// ConditionKinds lists every kind of condition.
var ConditionKinds = []ConditionKind{Unplugged, Lifted, ContactOpen, ContactClosed, Clipped, Driven}

// Condition is one way in which the machine, while a reading was taken,
// differed from the machine at rest. Which fields hold something depends on
// Kind.
type Condition struct {
	Kind      ConditionKind
	Device    string // Unplugged, ContactOpen, ContactClosed, Driven
	Wire      string // Lifted
	From, To  string // ContactOpen, ContactClosed: marks of Device; Driven: From
	Terminals string // Clipped: the references, joined by one space
}

// ClippedRefs returns the terminals that are joined by clip leads; nil for
// another kind of condition.
func (c Condition) ClippedRefs() []TerminalRef {
	var refs []TerminalRef
	for _, text := range strings.Fields(c.Terminals) {
		if ref, err := ParseTerminalRef(text); err == nil {
			refs = append(refs, ref)
		}
	}
	return refs
}

// String prints the condition as Machine.ParseConditions reads it.
func (c Condition) String() string {
	switch c.Kind {
	case Unplugged:
		return string(c.Kind) + " " + c.Device
	case Lifted:
		return string(c.Kind) + " " + c.Wire
	case Clipped:
		return string(c.Kind) + " " + c.Terminals
	case Driven:
		return string(c.Kind) + " " + c.Device + ":" + c.From
	default:
		return string(c.Kind) + " " + c.Device + ":" + c.From + "-" + c.To
	}
}

// Conditions are all that held during one reading, sorted and each once, so
// that equal situations print alike.
type Conditions []Condition

// NewConditions sorts the list and drops what stands in it twice.
func NewConditions(list ...Condition) Conditions {
	sorted := slices.Clone(list)
	slices.SortFunc(sorted, func(a, b Condition) int { return Compare(a.String(), b.String()) })
	return slices.Compact(sorted)
}

// String prints the conditions joined by "; "; empty for the machine at rest.
func (c Conditions) String() string {
	parts := make([]string, len(c))
	for i, condition := range c {
		parts[i] = condition.String()
	}
	return strings.Join(parts, "; ")
}

// ParseConditions reads a list such as "unplugged J4; open S1:1-2". It needs
// the machine to know what it names: A:x-y is split at the "-" for which the
// device A has both marks. Conditions about one link come back with the marks
// in the link's own order, clipped terminals sorted. An error names the words
// that could not be read and the mend. A protective conductor is never lifted or
// opened: such a condition is an error.
func (m *Machine) ParseConditions(text string) (Conditions, error) {
	var list []Condition
	for _, part := range strings.Split(text, ";") {
		fields := strings.Fields(part)
		if len(fields) == 0 {
			continue
		}
		condition, err := m.parseCondition(ConditionKind(fields[0]), fields[1:])
		if err != nil {
			return nil, fmt.Errorf("condition %q: %w", strings.TrimSpace(part), err)
		}
		list = append(list, condition)
	}
	if err := exclusive(list); err != nil {
		return nil, err
	}
	return NewConditions(list...), nil
}

// exclusive refuses a link that is named both open and closed, and a closed link
// of a device that is unplugged.
func exclusive(list []Condition) error {
	for _, one := range list {
		if one.Kind != ContactClosed {
			continue
		}
		for _, other := range list {
			unplugged := other.Kind == Unplugged && other.Device == one.Device
			open := other.Kind == ContactOpen && other.Device == one.Device && other.From == one.From && other.To == one.To
			if unplugged || open {
				return fmt.Errorf("%q and %q exclude each other; leave one of them out", one, other)
			}
		}
	}
	return nil
}

func (m *Machine) parseCondition(kind ConditionKind, objects []string) (Condition, error) {
	if !slices.Contains(ConditionKinds, kind) {
		return Condition{}, fmt.Errorf("unknown word %q; write one of %s", kind, strings.Join(words(ConditionKinds), ", "))
	}
	if kind == Clipped {
		return m.parseClipped(objects)
	}
	if len(objects) != 1 {
		return Condition{}, fmt.Errorf("%s names one thing, here are %d; separate conditions by ;", kind, len(objects))
	}
	object := objects[0]
	switch kind {
	case Unplugged:
		if _, found := m.Device(object); !found {
			return Condition{}, fmt.Errorf("no device %q; %s", object, m.nearestDevices(object))
		}
		return Condition{Kind: kind, Device: object}, nil
	case Lifted:
		wire, found := m.Wire(object)
		if !found {
			return Condition{}, fmt.Errorf("no wire %q; name a wire of the map", object)
		}
		if m.ProtectiveWire(wire) {
			return Condition{}, ErrProtective(object)
		}
		return Condition{Kind: kind, Wire: object}, nil
	case Driven:
		ref, err := m.FindTerminal(object)
		if err != nil {
			return Condition{}, err
		}
		if terminal, _ := m.Terminal(ref); terminal.Role != RoleDrive {
			return Condition{}, fmt.Errorf("%s is no output: only a terminal with the role drive can be driven", ref)
		}
		return Condition{Kind: kind, Device: ref.Device, From: ref.Mark}, nil
	default:
		link, err := m.FindLink(object)
		if err != nil {
			return Condition{}, err
		}
		if kind == ContactClosed && !link.Kind.Metal() {
			return Condition{}, fmt.Errorf("%s is a %s link; only a contact, a fuse or a jumper can be closed", link.Place(), link.Kind)
		}
		if kind == ContactOpen && m.ProtectiveLink(link) {
			return Condition{}, ErrProtective(link.Place())
		}
		return Condition{Kind: kind, Device: link.Device, From: link.From, To: link.To}, nil
	}
}

func (m *Machine) parseClipped(objects []string) (Condition, error) {
	refs := make([]string, 0, len(objects))
	for _, object := range objects {
		ref, err := m.FindTerminal(object)
		if err != nil {
			return Condition{}, err
		}
		refs = append(refs, ref.String())
	}
	slices.SortFunc(refs, Compare)
	refs = slices.Compact(refs)
	if len(refs) < 2 {
		return Condition{}, fmt.Errorf("a clip lead joins two terminals or more; write clipped T1:1 T1:2")
	}
	return Condition{Kind: Clipped, Terminals: strings.Join(refs, " ")}, nil
}
