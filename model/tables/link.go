package tables

import "bellout/model"

// LinkColumns are the columns of links.csv. from and to are marks of the
// device.
var LinkColumns = []Column[model.Link]{
	nameColumn("device", func(l *model.Link) *string { return &l.Device }),
	nameColumn("from", func(l *model.Link) *string { return &l.From }),
	nameColumn("to", func(l *model.Link) *string { return &l.To }),
	keyColumn("kind",
		func(l *model.Link, cell Cell) error { l.Kind = model.LinkKind(cell.Text); return nil },
		func(l model.Link) string { return string(l.Kind) }),
	numberColumn("value", func(l *model.Link) *model.Optional { return &l.Value }),
	textColumn("state", func(l *model.Link) *model.LinkState { return &l.State }),
}
