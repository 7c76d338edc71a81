package tables

import "bellout/model"

// BondColumns are the columns of bonds.csv.
var BondColumns = []Column[model.Bond]{
	terminalColumn("from", func(b *model.Bond) *model.TerminalRef { return &b.From }),
	terminalColumn("to", func(b *model.Bond) *model.TerminalRef { return &b.To }),
	textColumn("reason", func(b *model.Bond) *string { return &b.Reason }),
}
