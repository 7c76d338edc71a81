package book

import (
	"context"
	"fmt"

	"bellout/model/store"
	"bellout/model/wording"
)

// makeChanges prints the history of the map, the oldest first.
func makeChanges(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Change log", 20)
	if len(f.job.Journal) == 0 {
		fl.para("No history was given with this printing.", style{})
		fl.blank(6)
		return nil
	}
	fl.para(wording.Count(len(f.job.Journal), "edit")+", the oldest first. Undone: taken back, could be made again. Dropped: taken back, something else was done since. The reason is written in by hand where the edit does not say it.", style{size: smallSize, colour: soft})
	t := &table{columns: []column{{title: "edit", right: true, bold: true}, {title: "when"}, {title: "what", most: 100}, {title: "rows", right: true}, {title: "state"}, {title: "reason", fixed: 45}}}
	for i := len(f.job.Journal) - 1; i >= 0; i-- {
		r := f.job.Journal[i]
		c := cell{text: r.What}
		if r.State != store.Done {
			c.colour = soft
		}
		t.add(say(fmt.Sprint(r.ID)), say(minute(r.At)), c, say(digits(r.Changes)), say(string(r.State)), cell{shade: true})
	}
	fl.table(t)
	return nil
}
