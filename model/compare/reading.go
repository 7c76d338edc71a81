package compare

import (
	"cmp"
	"slices"

	"bellout/model"
)

// Readings is what became of the readings. They are matched by what was noted
// at the bench, not by number, so that two files can be compared. One that an
// undo struck out counts as never taken. Numbers are those of after; of Gone,
// those of before.
type Readings struct {
	Added []model.Reading
	// Gone readings left the map with a terminal of theirs.
	Gone   []model.Reading
	Struck []model.Reading // they stood before; with the reason
	// Stood readings were struck out before and stand again.
	Stood []model.Reading
	// Stale readings were taken before, stand, and hold no longer: their path was
	// edited since.
	Stale []model.Reading
}

// Empty says whether nothing differs. Stale readings count: what they are stale
// by does too.
func (r Readings) Empty() bool {
	return len(r.Added)+len(r.Gone)+len(r.Struck)+len(r.Stood)+len(r.Stale) == 0
}

func readingsOf(before, after *model.Machine, stale []int64) Readings {
	out := Readings{Added: []model.Reading{}, Gone: []model.Reading{}, Struck: []model.Reading{}, Stood: []model.Reading{}, Stale: []model.Reading{}}
	taken := map[model.ReadingKey][]model.Reading{}
	for _, r := range byNumber(before) {
		taken[r.Key()] = append(taken[r.Key()], r)
	}
	for _, r := range byNumber(after) {
		was := taken[r.Key()]
		if len(was) == 0 {
			out.Added = append(out.Added, r)
			continue
		}
		// Of several that say the same, the one that is struck out alike.
		at := max(0, slices.IndexFunc(was, func(w model.Reading) bool { return w.Struck == r.Struck }))
		old := was[at]
		taken[r.Key()] = slices.Delete(slices.Clone(was), at, at+1)
		switch {
		case old.Stands() && !r.Stands(), old.Struck != r.Struck && !r.Stands():
			out.Struck = append(out.Struck, r)
		case !old.Stands() && r.Stands():
			out.Stood = append(out.Stood, r)
		case r.Stands() && slices.Contains(stale, r.Number):
			out.Stale = append(out.Stale, r)
		}
	}
	for _, left := range taken {
		out.Gone = append(out.Gone, left...)
	}
	slices.SortFunc(out.Gone, func(a, b model.Reading) int { return cmp.Compare(a.Number, b.Number) })
	return out
}

// byNumber returns the readings of a machine without those that were undone,
// rising by number.
func byNumber(m *model.Machine) []model.Reading {
	list := slices.DeleteFunc(slices.Clone(m.Readings), func(r model.Reading) bool { return r.Struck == model.Undone })
	slices.SortFunc(list, func(a, b model.Reading) int { return cmp.Compare(a.Number, b.Number) })
	return list
}
