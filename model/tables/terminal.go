package tables

import "bellout/model"

// TerminalColumns are the columns of terminals.csv.
var TerminalColumns = []Column[model.Terminal]{
	nameColumn("device", func(t *model.Terminal) *string { return &t.Device }),
	nameColumn("terminal", func(t *model.Terminal) *string { return &t.Mark }),
	textColumn("role", func(t *model.Terminal) *model.Role { return &t.Role }),
	numberColumn("volts", func(t *model.Terminal) *model.Optional { return &t.Volts }),
	numberColumn("min_v", func(t *model.Terminal) *model.Optional { return &t.MinVolts }),
	numberColumn("max_v", func(t *model.Terminal) *model.Optional { return &t.MaxVolts }),
	textColumn("section", func(t *model.Terminal) *string { return &t.Section }),
}
