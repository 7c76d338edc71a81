package model

import "slices"

// WithoutNeedless returns an edit that also takes out the joined rows which wires
// that it brings make needless: somebody has seen now how the two ends are joined.
// Rows that the edit itself brings stay.
func (m *Machine) WithoutNeedless(edit Edit) Edit {
	sees := func(row Row) bool {
		wire, ok := row.(Wire)
		return ok && wire.Basis == BasisSeen && !wire.Removed
	}
	seen := false
	changed := map[string]bool{}
	for _, c := range edit.Changes {
		seen = seen || sees(c.After)
		for _, row := range []Row{c.Before, c.After} {
			if wire, ok := row.(Wire); ok {
				changed[wire.Name] = true
			}
		}
	}
	if !seen {
		return edit
	}
	root := map[TerminalRef]TerminalRef{}
	find := func(at TerminalRef) TerminalRef {
		for {
			up, below := root[at]
			if !below || up == at {
				return at
			}
			if further, deep := root[up]; deep {
				root[at] = further
			}
			at = up
		}
	}
	join := func(a, b TerminalRef) { root[find(a)] = find(b) }
	take := func(row Row) {
		switch row := row.(type) {
		case Wire:
			if row.Runs() && row.Basis != BasisPlanned {
				join(row.From, row.To)
			}
		case Link:
			if row.Kind == LinkSolid || row.Kind == LinkFuse && row.State != StateOpen || row.Kind == LinkContact && row.State == StateClosed {
				join(row.FromRef(), row.ToRef())
			}
		}
	}
	var joined []Wire
	for _, wire := range m.Wires {
		switch {
		case changed[wire.Name]:
		case wire.Basis == BasisJoined && !wire.Removed:
			joined = append(joined, wire)
		default:
			take(wire)
		}
	}
	if len(joined) == 0 {
		return edit
	}
	for _, link := range m.Links {
		take(link)
	}
	for _, c := range edit.Changes {
		take(c.After)
	}
	slices.SortFunc(joined, func(a, b Wire) int { return Compare(a.Name, b.Name) })
	changes := edit.Changes[:len(edit.Changes):len(edit.Changes)]
	for _, wire := range joined {
		if find(wire.From) == find(wire.To) {
			changes = append(changes, Change{Before: wire})
		} else {
			join(wire.From, wire.To)
		}
	}
	edit.Changes = changes
	return edit
}
