package tables

import (
	"time"

	"bellout/model"
)

// EventColumns are the columns of history.csv.
var EventColumns = []Column[model.Event]{
	timeColumn("at", func(e *model.Event) *time.Time { return &e.At }),
	nameColumn("device", func(e *model.Event) *string { return &e.Device }),
	mustHave(textColumn("event", func(e *model.Event) *model.EventWord { return &e.Word })),
	textColumn("note", func(e *model.Event) *string { return &e.Note }),
}

func sameEvent(a, b model.Event) bool { return model.SameRow(a, b) }
