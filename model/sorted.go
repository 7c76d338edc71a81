package model

import (
	"cmp"
	"slices"
	"time"
)

// Rows returns every row, table by table in the order of Tables.
func (m *Machine) Rows() []Row {
	rows := make([]Row, 0, len(m.SettingRows)+len(m.Devices)+len(m.Terminals)+len(m.Links)+len(m.Wires)+len(m.Bonds)+len(m.Readings)+
		len(m.Symptoms)+len(m.Events)+len(m.Places)+len(m.Photos)+len(m.Templates))
	rows = appendRows(rows, m.SettingRows)
	rows = appendRows(rows, m.Devices)
	rows = appendRows(rows, m.Terminals)
	rows = appendRows(rows, m.Links)
	rows = appendRows(rows, m.Wires)
	rows = appendRows(rows, m.Bonds)
	rows = appendRows(rows, m.Readings)
	rows = appendRows(rows, m.Symptoms)
	rows = appendRows(rows, m.Events)
	rows = appendRows(rows, m.Places)
	rows = appendRows(rows, m.Photos)
	return appendRows(rows, m.Templates)
}

func appendRows[T Row](rows []Row, list []T) []Row {
	for _, row := range list {
		rows = append(rows, row)
	}
	return rows
}

// SortRows puts the rows of every table in the order in which people read
// them: by reference, wire or number, readings as they were stored. It changes
// the order only, never what the machine says. Call it on a machine that
// nobody else reads, as after a load.
func (m *Machine) SortRows() {
	slices.SortFunc(m.SettingRows, func(a, b Setting) int {
		return cmp.Compare(slices.Index(SettingKeys, a.Key), slices.Index(SettingKeys, b.Key))
	})
	slices.SortFunc(m.Devices, func(a, b Device) int { return Compare(a.Ref, b.Ref) })
	slices.SortFunc(m.Terminals, func(a, b Terminal) int { return CompareRefs(a.Ref(), b.Ref()) })
	slices.SortFunc(m.Links, compareLinks)
	slices.SortFunc(m.Wires, func(a, b Wire) int { return Compare(a.Name, b.Name) })
	slices.SortFunc(m.Bonds, func(a, b Bond) int { return Compare(a.ID(), b.ID()) })
	slices.SortFunc(m.Readings, func(a, b Reading) int { return cmp.Compare(a.Number, b.Number) })
	slices.SortFunc(m.Symptoms, compareSymptoms)
	slices.SortFunc(m.Events, compareEvents)
	slices.SortFunc(m.Places, func(a, b Place) int { return Compare(a.Device, b.Device) })
	slices.SortFunc(m.Photos, func(a, b Photo) int { return cmp.Or(Compare(a.Device, b.Device), cmp.Compare(a.Hash, b.Hash)) })
	slices.SortFunc(m.Templates, func(a, b Template) int { return Compare(a.Name, b.Name) })
	m.settingAt = reindexed(m.SettingRows, func(s Setting) string { return s.Key })
	m.deviceAt = reindexed(m.Devices, func(d Device) string { return d.Ref })
	m.terminalAt = reindexed(m.Terminals, Terminal.Ref)
	m.linkAt = reindexed(m.Links, Link.ID)
	m.wireAt = reindexed(m.Wires, func(w Wire) string { return w.Name })
	m.bondAt = reindexed(m.Bonds, Bond.ID)
	m.readingAt = reindexed(m.Readings, func(r Reading) int64 { return r.Number })
	m.symptomAt = reindexed(m.Symptoms, Symptom.ID)
	m.eventAt = reindexed(m.Events, Event.ID)
	m.placeAt = reindexed(m.Places, Place.ID)
	m.photoAt = reindexed(m.Photos, Photo.ID)
	m.templateAt = reindexed(m.Templates, Template.ID)
}

func compareLinks(a, b Link) int {
	if order := Compare(a.Device, b.Device); order != 0 {
		return order
	}
	if order := Compare(a.From, b.From); order != 0 {
		return order
	}
	if order := Compare(a.To, b.To); order != 0 {
		return order
	}
	return cmp.Compare(slices.Index(LinkKinds, a.Kind), slices.Index(LinkKinds, b.Kind))
}

func reindexed[K comparable, T any](rows []T, keyOf func(T) K) map[K]int {
	places := make(map[K]int, len(rows))
	for i, row := range rows {
		places[keyOf(row)] = i
	}
	return places
}

// Sorted returns a copy with its rows in reading order.
func (m *Machine) Sorted() *Machine {
	sorted := m.Clone()
	sorted.SortRows()
	return sorted
}

// Equal says whether two machines say the same, whatever the order of their
// rows.
func (m *Machine) Equal(other *Machine) bool {
	rows, others := m.Sorted().Rows(), other.Sorted().Rows()
	return slices.EqualFunc(rows, others, func(a, b Row) bool { return a.Table() == b.Table() && sameRow(a, b) })
}

// FormatTime prints a moment as the files hold it, in RFC 3339; empty for the
// zero time, which means not known.
func FormatTime(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return at.Format(time.RFC3339Nano)
}
