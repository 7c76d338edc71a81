package compare

import (
	"slices"

	"bellout/model"
)

// Wires is what became of the wires. A wire that is marked as removed is in the
// map, but not in the machine: marking it counts as removing it.
type Wires struct {
	Added   []model.Wire
	Removed []model.Wire // as they were
	// Moved wires have the same name and another end; what else differs stands
	// in their Fields too. From and to exchanged is no move.
	Moved   []Pair[model.Wire]
	Changed []Pair[model.Wire] // colour, gauge, length ...
	// Renamed wires differ in nothing but their name.
	Renamed []Pair[model.Wire]
	// Noted is what changed in the map alone: wires that are out of the machine
	// before and after.
	Noted Rows[model.Wire]
}

// Empty says whether nothing differs.
func (w Wires) Empty() bool {
	return len(w.Added)+len(w.Removed)+len(w.Moved)+len(w.Changed)+len(w.Renamed) == 0 && w.Noted.Empty()
}

func wiresOf(rows Rows[model.Wire]) Wires {
	w := Wires{
		Added: []model.Wire{}, Removed: []model.Wire{}, Moved: []Pair[model.Wire]{}, Changed: []Pair[model.Wire]{}, Renamed: []Pair[model.Wire]{},
		Noted: Rows[model.Wire]{Added: []model.Wire{}, Removed: []model.Wire{}, Changed: []Pair[model.Wire]{}},
	}
	for _, wire := range rows.Added {
		if wire.Removed {
			w.Noted.Added = append(w.Noted.Added, wire)
		} else {
			w.Added = append(w.Added, wire)
		}
	}
	for _, wire := range rows.Removed {
		if wire.Removed {
			w.Noted.Removed = append(w.Noted.Removed, wire)
		} else {
			w.Removed = append(w.Removed, wire)
		}
	}
	for _, pair := range rows.Changed {
		switch {
		case pair.Before.Removed && pair.After.Removed:
			w.Noted.Changed = append(w.Noted.Changed, pair)
		case pair.Before.Removed:
			w.Added = append(w.Added, pair.After)
		case pair.After.Removed:
			w.Removed = append(w.Removed, pair.Before)
		case endsOf(pair.Before) != endsOf(pair.After):
			w.Moved = append(w.Moved, pair)
		default:
			w.Changed = append(w.Changed, pair)
		}
	}
	w.pairRenamed()
	order := func(a, b model.Wire) int { return model.Compare(a.Name, b.Name) }
	slices.SortFunc(w.Added, order)
	slices.SortFunc(w.Removed, order)
	return w
}

// pairRenamed finds wires that went under one name and came, the same in all
// else, under another.
func (w *Wires) pairRenamed() {
	nameless := func(wire model.Wire) model.Wire {
		ends := endsOf(wire)
		wire.Name, wire.From, wire.To = "", ends[0], ends[1]
		return wire
	}
	came := map[model.Wire][]model.Wire{}
	for _, wire := range w.Added {
		came[nameless(wire)] = append(came[nameless(wire)], wire)
	}
	paired := map[string]bool{}
	w.Removed = slices.DeleteFunc(w.Removed, func(wire model.Wire) bool {
		now := came[nameless(wire)]
		if len(now) == 0 {
			return false
		}
		came[nameless(wire)] = now[1:]
		paired[now[0].Name] = true
		w.Renamed = append(w.Renamed, Pair[model.Wire]{Before: wire, After: now[0], Fields: model.FieldChanges(wire, now[0])})
		return true
	})
	w.Added = slices.DeleteFunc(w.Added, func(wire model.Wire) bool { return paired[wire.Name] })
}

// endsOf returns the ends of a wire, whichever was written first.
func endsOf(w model.Wire) [2]model.TerminalRef {
	if model.CompareRefs(w.To, w.From) < 0 {
		return [2]model.TerminalRef{w.To, w.From}
	}
	return [2]model.TerminalRef{w.From, w.To}
}
