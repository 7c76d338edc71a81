package model

import "slices"

// put, drop and replace keep rows, indices and counts together; Apply calls them
// when it has looked at the row.

func (m *Machine) put(row Row) {
	switch row := row.(type) {
	case Setting:
		m.SettingRows = putRow(m.SettingRows, m.settingAt, row.Key, row)
	case Device:
		m.Devices = putRow(m.Devices, m.deviceAt, row.Ref, row)
	case Terminal:
		m.Terminals = putRow(m.Terminals, m.terminalAt, row.Ref(), row)
		m.addMark(row)
	case Link:
		m.Links = putRow(m.Links, m.linkAt, row.ID(), row)
		m.use(row.FromRef(), row.ToRef(), 1)
	case Wire:
		m.Wires = putRow(m.Wires, m.wireAt, row.Name, row)
		m.use(row.From, row.To, 1)
	case Bond:
		m.Bonds = putRow(m.Bonds, m.bondAt, row.ID(), row)
		m.use(row.From, row.To, 1)
	case Reading:
		m.Readings = putRow(m.Readings, m.readingAt, row.Number, row)
		m.use(row.Red, row.Black, 1)
	case Symptom:
		m.Symptoms = putRow(m.Symptoms, m.symptomAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Event:
		m.Events = putRow(m.Events, m.eventAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Place:
		m.Places = putRow(m.Places, m.placeAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Photo:
		m.Photos = putRow(m.Photos, m.photoAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Template:
		m.Templates = putRow(m.Templates, m.templateAt, row.ID(), row)
	}
}

// drop takes a row out and returns the place where it stood.
func (m *Machine) drop(row Row) (gap int) {
	switch row := row.(type) {
	case Setting:
		m.SettingRows, gap = dropRow(m.SettingRows, m.settingAt, row.Key, func(s Setting) string { return s.Key })
	case Device:
		m.Devices, gap = dropRow(m.Devices, m.deviceAt, row.Ref, func(d Device) string { return d.Ref })
	case Terminal:
		m.Terminals, gap = dropRow(m.Terminals, m.terminalAt, row.Ref(), Terminal.Ref)
		m.dropMark(row)
	case Link:
		m.Links, gap = dropRow(m.Links, m.linkAt, row.ID(), Link.ID)
		m.use(row.FromRef(), row.ToRef(), -1)
	case Wire:
		m.Wires, gap = dropRow(m.Wires, m.wireAt, row.Name, func(w Wire) string { return w.Name })
		m.use(row.From, row.To, -1)
	case Bond:
		m.Bonds, gap = dropRow(m.Bonds, m.bondAt, row.ID(), Bond.ID)
		m.use(row.From, row.To, -1)
	case Reading:
		m.Readings, gap = dropRow(m.Readings, m.readingAt, row.Number, func(r Reading) int64 { return r.Number })
		m.use(row.Red, row.Black, -1)
	case Symptom:
		m.Symptoms, gap = dropRow(m.Symptoms, m.symptomAt, row.ID(), Symptom.ID)
		m.hang(row.Device, -1)
	case Event:
		m.Events, gap = dropRow(m.Events, m.eventAt, row.ID(), Event.ID)
		m.hang(row.Device, -1)
	case Place:
		m.Places, gap = dropRow(m.Places, m.placeAt, row.ID(), Place.ID)
		m.hang(row.Device, -1)
	case Photo:
		m.Photos, gap = dropRow(m.Photos, m.photoAt, row.ID(), Photo.ID)
		m.hang(row.Device, -1)
	case Template:
		m.Templates, gap = dropRow(m.Templates, m.templateAt, row.ID(), Template.ID)
	}
	return gap
}

// replace puts a row in the place of one with the same ID, so that the places
// of all other rows stay as they are: a circuit that is up keeps its indices.
func (m *Machine) replace(before, after Row) {
	switch row := after.(type) {
	case Setting:
		replaceRow(m.SettingRows, m.settingAt, row.Key, row)
	case Device:
		replaceRow(m.Devices, m.deviceAt, row.Ref, row)
	case Terminal:
		replaceRow(m.Terminals, m.terminalAt, row.Ref(), row)
	case Link:
		before := before.(Link)
		m.use(before.FromRef(), before.ToRef(), -1)
		replaceRow(m.Links, m.linkAt, row.ID(), row)
		m.use(row.FromRef(), row.ToRef(), 1)
	case Wire:
		before := before.(Wire)
		m.use(before.From, before.To, -1)
		replaceRow(m.Wires, m.wireAt, row.Name, row)
		m.use(row.From, row.To, 1)
	case Bond:
		replaceRow(m.Bonds, m.bondAt, row.ID(), row)
	case Reading:
		replaceRow(m.Readings, m.readingAt, row.Number, row)
	case Symptom:
		replaceRow(m.Symptoms, m.symptomAt, row.ID(), row)
	case Event:
		replaceRow(m.Events, m.eventAt, row.ID(), row)
	case Place:
		replaceRow(m.Places, m.placeAt, row.ID(), row)
	case Photo:
		replaceRow(m.Photos, m.photoAt, row.ID(), row)
	case Template:
		replaceRow(m.Templates, m.templateAt, row.ID(), row)
	}
}

func (m *Machine) hang(device string, count int) {
	addCount(m.hung, device, count)
}

func (m *Machine) use(a, b TerminalRef, count int) {
	for _, ref := range [2]TerminalRef{a, b} {
		addCount(m.users, ref, count)
	}
}

func addCount[K comparable](counts map[K]int, key K, by int) {
	if counts[key] += by; counts[key] == 0 {
		delete(counts, key)
	}
}

func (m *Machine) addMark(t Terminal) {
	m.marks[t.Device] = append(m.marks[t.Device], t.Mark)
}

func (m *Machine) dropMark(t Terminal) {
	marks := m.marks[t.Device]
	i := slices.Index(marks, t.Mark)
	switch {
	case i < 0:
	case len(marks) == 1:
		delete(m.marks, t.Device)
	default:
		m.marks[t.Device] = slices.Concat(marks[:i], marks[i+1:]) // a clone may read the list
	}
}

// putRow adds a row at the end.
func putRow[K comparable, T any](rows []T, places map[K]int, key K, row T) []T {
	places[key] = len(rows)
	return append(rows, row)
}

func replaceRow[K comparable, T Row](rows []T, places map[K]int, key K, row T) {
	rows[places[key]] = row
}

// dropRow moves the last row into the gap: the order of rows carries no
// meaning, and this way it costs the same in a large machine.
func dropRow[K comparable, T Row](rows []T, places map[K]int, key K, keyOf func(T) K) (left []T, gap int) {
	gap, found := places[key]
	if !found {
		return rows, len(rows)
	}
	last := len(rows) - 1
	rows[gap] = rows[last]
	places[keyOf(rows[gap])] = gap
	delete(places, key)
	return rows[:last], gap
}

// moveLast undoes what dropRow did to the order: the last row, just put back,
// goes to its old place, and the row that had filled the gap to the end.
func (m *Machine) moveLast(table Table, gap int) {
	switch table {
	case TableSetting:
		swapLast(m.SettingRows, m.settingAt, gap, func(s Setting) string { return s.Key })
	case TableDevice:
		swapLast(m.Devices, m.deviceAt, gap, func(d Device) string { return d.Ref })
	case TableTerminal:
		swapLast(m.Terminals, m.terminalAt, gap, Terminal.Ref)
	case TableLink:
		swapLast(m.Links, m.linkAt, gap, Link.ID)
	case TableWire:
		swapLast(m.Wires, m.wireAt, gap, func(w Wire) string { return w.Name })
	case TableBond:
		swapLast(m.Bonds, m.bondAt, gap, Bond.ID)
	case TableReading:
		swapLast(m.Readings, m.readingAt, gap, func(r Reading) int64 { return r.Number })
	case TableSymptom:
		swapLast(m.Symptoms, m.symptomAt, gap, Symptom.ID)
	case TableHistory:
		swapLast(m.Events, m.eventAt, gap, Event.ID)
	case TablePlace:
		swapLast(m.Places, m.placeAt, gap, Place.ID)
	case TablePhoto:
		swapLast(m.Photos, m.photoAt, gap, Photo.ID)
	case TableTemplate:
		swapLast(m.Templates, m.templateAt, gap, Template.ID)
	}
}

func swapLast[K comparable, T Row](rows []T, places map[K]int, gap int, keyOf func(T) K) {
	last := len(rows) - 1
	rows[gap], rows[last] = rows[last], rows[gap]
	places[keyOf(rows[gap])], places[keyOf(rows[last])] = gap, last
}
