package model

import (
	"fmt"
	"strings"
)

// Protective says whether the terminal is one of protective earth: by its role, or,
// where nobody gave it one, by its mark, which is PE (IEC 60445), or PE and a number.
func (t Terminal) Protective() bool {
	if t.Role == RoleEarth {
		return true
	}
	number, marked := strings.CutPrefix(strings.ToUpper(t.Mark), "PE")
	return marked && strings.Trim(number, "0123456789") == "" && (t.Role == RolePass || t.Role == RoleUnknown)
}

// ProtectiveWire says whether a wire is a protective conductor by what stands in
// its own row and at its ends. Those that only the rest of the map shows to be, see
// graphs.Circuit.Protective.
func (m *Machine) ProtectiveWire(w Wire) bool {
	return w.Colour == GreenYellow || m.protectiveTerminal(w.From) || m.protectiveTerminal(w.To)
}

// ProtectiveLink says whether a link is a piece of a protective conductor: both
// its ends are earth.
func (m *Machine) ProtectiveLink(l Link) bool {
	return m.protectiveTerminal(l.FromRef()) && m.protectiveTerminal(l.ToRef())
}

func (m *Machine) protectiveTerminal(ref TerminalRef) bool {
	t, found := m.Terminal(ref)
	return found && t.Protective()
}

// ErrProtective refuses a condition that opens a protective conductor.
func ErrProtective(what string) error {
	return fmt.Errorf("%s is a protective conductor, which is never lifted or opened; leave it in place and read with it there", what)
}
