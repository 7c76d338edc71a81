package session

import (
	"slices"
	"strings"

	"bellout/faults"
)

// FindingKey names a finding by its rule and what it blames, so that it is known
// again when another reading changed how sure it is.
func FindingKey(f faults.Finding) string {
	parts := []string{f.Rule}
	if f.Mode != "" {
		parts = append(parts, string(f.Mode))
	}
	for _, list := range [][]string{f.Wires, f.Terminals, f.Devices} {
		if len(list) > 0 {
			parts = append(parts, list[0])
		}
	}
	return strings.Join(parts, " ")
}

// IsAside is true for a finding that the person set aside.
func (d *Session) IsAside(key string) bool { return d.aside[key] }

// Aside lists the findings that are set aside, sorted.
func (d *Session) Aside() []string {
	var list []string
	for key, aside := range d.aside {
		if aside {
			list = append(list, key)
		}
	}
	slices.Sort(list)
	return list
}

// SetAside sets a finding aside, or takes it up again.
func (d *Session) SetAside(key string, aside bool) {
	if d.aside == nil {
		d.aside = map[string]bool{}
	}
	d.aside[key] = aside
	d.tell(Selected)
}
