package store

import "bellout/model"

// loadDevices returns the devices and, for the terminals, their references by
// id.
func loadDevices(c *conn) (list []model.Device, refs map[int64]string, err error) {
	refs = map[int64]string{}
	err = c.each("SELECT id, device, kind, title, zone, health, failed_at, load_a, limit_a, note FROM devices ORDER BY id", 10, func(row *cells) error {
		device := model.Device{
			Ref: row.name(1), Kind: model.DeviceKind(row.note(2)), Title: row.note(3), Zone: row.note(4),
			Health: word(row, 5, model.Healths), FailedAt: row.moment(6),
			LoadAmps: row.optional(7), LimitAmps: row.optional(8), Note: row.note(9),
		}
		list = append(list, device)
		refs[row.integer(0)] = device.Ref
		return nil
	})
	return list, refs, err
}

func (w *writer) insertDevice(d model.Device) error {
	return w.c.execOne(`INSERT INTO devices (device, kind, title, zone, health, failed_at, load_a, limit_a, note)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`, deviceValues(d)...)
}

func (w *writer) updateDevice(d model.Device) error {
	return w.c.execOne(`UPDATE devices SET kind = ?2, title = ?3, zone = ?4, health = ?5, failed_at = ?6, load_a = ?7, limit_a = ?8, note = ?9
		WHERE device = ?1`, deviceValues(d)...)
}

func deviceValues(d model.Device) []any {
	return []any{
		d.Ref, string(d.Kind), d.Title, d.Zone, string(d.Health), model.FormatTime(d.FailedAt),
		sqlNumber(d.LoadAmps), sqlNumber(d.LimitAmps), d.Note,
	}
}

func (w *writer) deleteDevice(d model.Device) error {
	return w.c.execOne("DELETE FROM devices WHERE device = ?", d.Ref)
}
