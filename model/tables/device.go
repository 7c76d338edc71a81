package tables

import (
	"time"

	"bellout/model"
)

// DeviceColumns are the columns of devices.csv.
var DeviceColumns = []Column[model.Device]{
	nameColumn("device", func(d *model.Device) *string { return &d.Ref }),
	wordColumn("kind", model.KindOther, func(d *model.Device) *model.DeviceKind { return &d.Kind }),
	textColumn("title", func(d *model.Device) *string { return &d.Title }),
	textColumn("zone", func(d *model.Device) *string { return &d.Zone }),
	wordColumn("health", model.HealthUnknown, func(d *model.Device) *model.Health { return &d.Health }),
	timeColumn("failed_at", func(d *model.Device) *time.Time { return &d.FailedAt }),
	numberColumn("load_a", func(d *model.Device) *model.Optional { return &d.LoadAmps }),
	numberColumn("limit_a", func(d *model.Device) *model.Optional { return &d.LimitAmps }),
	textColumn("note", func(d *model.Device) *string { return &d.Note }),
}

func sameDevice(a, b model.Device) bool {
	sameMoment := a.FailedAt.Equal(b.FailedAt)
	a.FailedAt = b.FailedAt
	return sameMoment && a == b
}
