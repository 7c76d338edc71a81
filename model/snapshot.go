package model

import (
	"slices"
	"sync/atomic"
)

// Snapshot returns a machine that says what this one says now, and goes on
// saying it whatever is applied to this one later. The two share what neither
// has changed since: it costs a look at what was changed since the last
// snapshot, not at the machine. Both may be applied to; rows must not be written
// past Apply, which Clone allows. Several goroutines may take snapshots of one
// machine at once, none while it is applied to.
//
// The first edit afterwards that changes or takes out a row of a table copies
// that table's rows, one stretch of memory; one that only adds rows does not.
func (m *Machine) Snapshot() *Machine {
	s := &Machine{
		SettingRows: slices.Clip(m.SettingRows), Devices: slices.Clip(m.Devices), Terminals: slices.Clip(m.Terminals), Links: slices.Clip(m.Links),
		Wires: slices.Clip(m.Wires), Bonds: slices.Clip(m.Bonds), Readings: slices.Clip(m.Readings), Touches: slices.Clip(m.Touches),
		Places: slices.Clip(m.Places), Photos: slices.Clip(m.Photos), Templates: slices.Clip(m.Templates),

		settingAt: m.settingAt.share(), deviceAt: m.deviceAt.share(), terminalAt: m.terminalAt.share(), linkAt: m.linkAt.share(),
		wireAt: m.wireAt.share(), bondAt: m.bondAt.share(), readingAt: m.readingAt.share(),
		placeAt: m.placeAt.share(), photoAt: m.photoAt.share(), templateAt: m.templateAt.share(),
		users: m.users.share(), marks: m.marks.share(), hung: m.hung.share(),

		generation: generations.Add(1),
	}
	atomic.StoreUint64(&m.generation, generations.Add(1)) // from now on it owns nothing either
	return s
}

// Clone returns a machine that shares nothing with this one, whose rows may be
// written to. Cost: linear; Snapshot is for those who only look or apply.
func (m *Machine) Clone() *Machine {
	c := &Machine{
		SettingRows: slices.Clone(m.SettingRows), Devices: slices.Clone(m.Devices), Terminals: slices.Clone(m.Terminals), Links: slices.Clone(m.Links),
		Wires: slices.Clone(m.Wires), Bonds: slices.Clone(m.Bonds), Readings: slices.Clone(m.Readings), Touches: slices.Clone(m.Touches),
		Places: slices.Clone(m.Places), Photos: slices.Clone(m.Photos), Templates: slices.Clone(m.Templates),
		generation: generations.Add(1),
	}
	own := c.generation
	for _, table := range Tables {
		c.owners.take(table, own)
	}
	c.settingAt, c.deviceAt, c.terminalAt = newIndex(own, m.settingAt.whole()), newIndex(own, m.deviceAt.whole()), newIndex(own, m.terminalAt.whole())
	c.linkAt, c.wireAt, c.bondAt = newIndex(own, m.linkAt.whole()), newIndex(own, m.wireAt.whole()), newIndex(own, m.bondAt.whole())
	c.readingAt, c.placeAt, c.photoAt = newIndex(own, m.readingAt.whole()), newIndex(own, m.placeAt.whole()), newIndex(own, m.photoAt.whole())
	c.templateAt, c.users, c.hung = newIndex(own, m.templateAt.whole()), newIndex(own, m.users.whole()), newIndex(own, m.hung.whole())
	marks := m.marks.whole()
	for device, list := range marks {
		marks[device] = slices.Clip(list) // the next mark goes into a list of our own
	}
	c.marks = newIndex(own, marks)
	return c
}

// owners holds, for each table, the generation of the machine that may write to
// its rows.
type owners map[Table]uint64

func (o *owners) take(table Table, generation uint64) {
	if *o == nil {
		*o = owners{}
	}
	(*o)[table] = generation
}

// ownRows returns the rows of a table for writing: a copy where a snapshot sees
// them too.
func ownRows[T Row](m *Machine, rows []T) []T {
	var none T
	if table := none.Table(); m.owners[table] != m.generation {
		rows = slices.Clone(rows)
		m.owners.take(table, m.generation)
	}
	return rows
}
