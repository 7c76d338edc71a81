package tables

import (
	"time"

	"bellout/model"
)

// Reading is one row of readings.csv. What held during the reading is kept as
// it is written until the machine it speaks of is known: A:x-y is split where
// A has both marks.
type Reading struct {
	model.Reading
	When  string // conditions as written
	shown model.Shown
}

// ReadingColumns are the columns of readings.csv.
var ReadingColumns = []Column[Reading]{
	timeColumn("at", func(r *Reading) *time.Time { return &r.At }),
	terminalColumn("red", func(r *Reading) *model.TerminalRef { return &r.Red }),
	terminalColumn("black", func(r *Reading) *model.TerminalRef { return &r.Black }),
	textColumn("mode", func(r *Reading) *model.Mode { return &r.Mode }),
	keyColumn("value",
		func(r *Reading, cell Cell) (err error) {
			r.shown, err = model.ParseShown(cell.Text)
			r.Value = r.shown.Value
			return err
		},
		func(r Reading) string { return r.Value.String() }),
	textColumn("drift", func(r *Reading) *model.Drift { return &r.Drift }),
	textColumn("conditions", func(r *Reading) *string { return &r.When }),
	textColumn("note", func(r *Reading) *string { return &r.Note }),
	textColumn("meter", func(r *Reading) *string { return &r.Meter }),
	textColumn("struck", func(r *Reading) *string { return &r.Struck }),
}

// settleMode fills in the mode of a reading that names none, and holds the unit of the
// value against one that is named.
func settleMode(r *Reading) error {
	mode, err := r.shown.Under(r.Mode)
	if err != nil {
		return model.FieldError{Field: "value", Problem: err.Error()}
	}
	r.Mode = mode
	return nil
}

// asTables returns a machine's readings as rows of readings.csv.
func asTables(m *model.Machine) []Reading {
	list := make([]Reading, len(m.Readings))
	for i, reading := range m.Readings {
		list[i] = Reading{Reading: reading, When: reading.Conditions.String()}
	}
	return list
}
