package merge

import (
	"cmp"
	"slices"
	"strings"

	"bellout/model"
)

// readings is what becomes of the readings of both sides.
type readings struct {
	coming []model.Reading // of theirs, that mine lacks; as theirs has them
	// known holds the numbers, in theirs, of those of coming that were there
	// before both began: mine sent them away with a terminal of theirs.
	known map[int64]bool
	fresh []model.Reading // of both sides, that came since; what they touch is needed
	// struck is what changes of mine: struck out by theirs, or standing again.
	struck []model.Change
}

// kept holds readings by what tells them apart, in the order of their numbers.
type kept map[model.ReadingKey][]model.Reading

func keptOf(m *model.Machine) kept {
	k := kept{}
	for _, r := range inOrder(m) {
		k[r.Key()] = append(k[r.Key()], r)
	}
	return k
}

// take takes out one reading that is the same touch, one struck out alike
// before others.
func (k kept) take(like model.Reading) (r model.Reading, found bool) {
	list := k[like.Key()]
	if len(list) == 0 {
		return r, false
	}
	at := max(0, slices.IndexFunc(list, func(r model.Reading) bool { return r.Struck == like.Struck }))
	r = list[at]
	k[like.Key()] = slices.Delete(slices.Clone(list), at, at+1)
	return r, true
}

// inOrder returns the readings of a machine by number, without those that an
// undo struck out: they count as never taken.
func inOrder(m *model.Machine) []model.Reading {
	list := slices.DeleteFunc(slices.Clone(m.Readings), func(r model.Reading) bool { return r.Struck == model.Undone })
	slices.SortFunc(list, func(a, b model.Reading) int { return cmp.Compare(a.Number, b.Number) })
	return list
}

// readingsOf matches the readings of the three machines by what was noted at
// the bench: numbers differ between two files.
func readingsOf(base, mine, theirs *model.Machine) readings {
	out := readings{known: map[int64]bool{}}
	before, beforeMine, here := keptOf(base), keptOf(base), keptOf(mine)
	for _, r := range inOrder(mine) {
		if _, old := beforeMine.take(r); !old {
			out.fresh = append(out.fresh, r)
		}
	}
	for _, r := range inOrder(theirs) {
		was, old := before.take(r)
		ours, there := here.take(r)
		switch {
		case there:
			if struck := strike(was.Struck, old, ours.Struck, r.Struck); struck != ours.Struck {
				after := ours
				after.Struck = struck
				out.struck = append(out.struck, model.Change{Before: ours, After: after})
			}
		default:
			out.coming = append(out.coming, r)
			out.known[r.Number] = old
			if !old {
				out.fresh = append(out.fresh, r)
			}
		}
	}
	return out
}

// strike merges the reasons by which one reading is struck out; what both say
// is kept.
func strike(base string, hadBase bool, mine, theirs string) string {
	switch {
	case mine == theirs || hadBase && theirs == base:
		return mine
	case hadBase && mine == base:
		return theirs
	case mine == "":
		return theirs
	case theirs == "":
		return mine
	}
	reasons := []string{mine, theirs}
	slices.Sort(reasons)
	both := strings.Join(reasons, "; ")
	if len(both) > model.MaxTextLength {
		return reasons[0]
	}
	return both
}

// renamed returns a reading whose conditions name wires as the receiving file
// does.
func renamed(r model.Reading, names map[string]string) model.Reading {
	if len(names) == 0 || len(r.Conditions) == 0 {
		return r
	}
	list := slices.Clone(r.Conditions)
	for at, condition := range list {
		if name, other := names[condition.Wire]; other && condition.Kind == model.Lifted {
			list[at].Wire = name
		}
	}
	r.Conditions = model.NewConditions(list...)
	return r
}
