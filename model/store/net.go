package store

import (
	"slices"

	"bellout/model"
)

// netChange is what an edit does, in the end, to the row of one ID: nil before
// means that there was none, nil after that there is none any more.
type netChange struct{ before, after model.Row }

func (n netChange) table() model.Table {
	if n.after != nil {
		return n.after.Table()
	}
	return n.before.Table()
}

// netChanges folds the changes of an edit. An edit may rename W1 to W2 and W2 to
// W1, or touch a row twice; the file need only see where that leads. The order
// is that of first appearance.
func netChanges(changes []model.Change) []netChange {
	list := make([]netChange, 0, len(changes))
	if !slices.ContainsFunc(changes, func(c model.Change) bool { return c.Before != nil }) {
		for _, change := range changes { // an import into a new file: nothing to fold
			list = append(list, netChange{after: change.After})
		}
		return list
	}
	type key struct {
		table model.Table
		id    string
	}
	place := make(map[key]int, len(changes))
	for _, change := range changes {
		if change.Before != nil {
			id := key{change.Table(), change.Before.ID()}
			if at, met := place[id]; met {
				list[at].after = nil
			} else {
				place[id] = len(list)
				list = append(list, netChange{before: change.Before})
			}
		}
		if change.After != nil {
			id := key{change.Table(), change.After.ID()}
			if at, met := place[id]; met {
				list[at].after = change.After
			} else {
				place[id] = len(list)
				list = append(list, netChange{after: change.After})
			}
		}
	}
	return slices.DeleteFunc(list, func(n netChange) bool { return n.before == nil && n.after == nil })
}
