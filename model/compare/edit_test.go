package compare

import "bellout/model"

// Edit returns the edit that makes after of before, or one of no changes. Rows
// are matched by ID, readings by number. A store refuses to delete readings
// whose terminals stay, and numbers new ones itself. Cost: linear in both.
func Edit(before, after *model.Machine) model.Edit {
	edit := model.Edit{What: "made like another machine"}
	var coming []model.Change
	for _, row := range before.Rows() {
		now := after.Row(row.Table(), row.ID())
		switch {
		case now == nil:
			edit.Changes = append(edit.Changes, model.Change{Before: row})
		case model.SameRow(row, now):
		case replaces(row, now):
			edit.Changes = append(edit.Changes, model.Change{Before: row})
			coming = append(coming, model.Change{After: now})
		default:
			coming = append(coming, model.Change{Before: row, After: now})
		}
	}
	edit.Changes = append(edit.Changes, coming...)
	for _, row := range after.Rows() {
		if before.Row(row.Table(), row.ID()) == nil {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
	}
	return edit
}

// replaces says whether a row cannot be changed into the other, but only make
// room for it: readings and pictures are never changed.
func replaces(row, now model.Row) bool {
	switch row := row.(type) {
	case model.Reading:
		return !row.SamePair(now.(model.Reading))
	case model.Photo:
		return !row.SamePicture(now.(model.Photo))
	}
	return false
}
