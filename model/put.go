package model

import "slices"

// put, drop and replace keep rows, indices and counts together; Apply calls them
// when it has looked at the row.

func (m *Machine) put(row Row) {
	switch row := row.(type) {
	case Setting:
		m.SettingRows = putRow(m, m.SettingRows, &m.settingAt, row.Key, row)
	case Device:
		m.Devices = putRow(m, m.Devices, &m.deviceAt, row.Ref, row)
	case Terminal:
		m.Terminals = putRow(m, m.Terminals, &m.terminalAt, row.Ref(), row)
		m.addMark(row)
	case Link:
		m.Links = putRow(m, m.Links, &m.linkAt, row.ID(), row)
		m.use(row.FromRef(), row.ToRef(), 1)
	case Wire:
		m.Wires = putRow(m, m.Wires, &m.wireAt, row.Name, row)
		m.use(row.From, row.To, 1)
	case Bond:
		m.Bonds = putRow(m, m.Bonds, &m.bondAt, row.ID(), row)
		m.use(row.From, row.To, 1)
	case Reading:
		m.Readings = putRow(m, m.Readings, &m.readingAt, row.Number, row)
		m.use(row.Red, row.Black, 1)
	case Place:
		m.Places = putRow(m, m.Places, &m.placeAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Photo:
		m.Photos = putRow(m, m.Photos, &m.photoAt, row.ID(), row)
		m.hang(row.Device, 1)
	case Template:
		m.Templates = putRow(m, m.Templates, &m.templateAt, row.ID(), row)
	}
}

// drop takes a row out and returns the place where it stood.
func (m *Machine) drop(row Row) (gap int) {
	switch row := row.(type) {
	case Setting:
		m.SettingRows, gap = dropRow(m, m.SettingRows, &m.settingAt, row.Key, func(s Setting) string { return s.Key })
	case Device:
		m.Devices, gap = dropRow(m, m.Devices, &m.deviceAt, row.Ref, func(d Device) string { return d.Ref })
	case Terminal:
		m.Terminals, gap = dropRow(m, m.Terminals, &m.terminalAt, row.Ref(), Terminal.Ref)
		m.dropMark(row)
	case Link:
		m.Links, gap = dropRow(m, m.Links, &m.linkAt, row.ID(), Link.ID)
		m.use(row.FromRef(), row.ToRef(), -1)
	case Wire:
		m.Wires, gap = dropRow(m, m.Wires, &m.wireAt, row.Name, func(w Wire) string { return w.Name })
		m.use(row.From, row.To, -1)
	case Bond:
		m.Bonds, gap = dropRow(m, m.Bonds, &m.bondAt, row.ID(), Bond.ID)
		m.use(row.From, row.To, -1)
	case Reading:
		m.Readings, gap = dropRow(m, m.Readings, &m.readingAt, row.Number, func(r Reading) int64 { return r.Number })
		m.use(row.Red, row.Black, -1)
	case Place:
		m.Places, gap = dropRow(m, m.Places, &m.placeAt, row.ID(), Place.ID)
		m.hang(row.Device, -1)
	case Photo:
		m.Photos, gap = dropRow(m, m.Photos, &m.photoAt, row.ID(), Photo.ID)
		m.hang(row.Device, -1)
	case Template:
		m.Templates, gap = dropRow(m, m.Templates, &m.templateAt, row.ID(), Template.ID)
	}
	return gap
}

// replace puts a row in the place of one with the same ID, so that the places
// of all other rows stay as they are: a circuit that is up keeps its indices.
func (m *Machine) replace(before, after Row) {
	switch row := after.(type) {
	case Setting:
		m.SettingRows = replaceRow(m, m.SettingRows, &m.settingAt, row.Key, row)
	case Device:
		m.Devices = replaceRow(m, m.Devices, &m.deviceAt, row.Ref, row)
	case Terminal:
		m.Terminals = replaceRow(m, m.Terminals, &m.terminalAt, row.Ref(), row)
	case Link:
		before := before.(Link)
		m.use(before.FromRef(), before.ToRef(), -1)
		m.Links = replaceRow(m, m.Links, &m.linkAt, row.ID(), row)
		m.use(row.FromRef(), row.ToRef(), 1)
	case Wire:
		before := before.(Wire)
		m.use(before.From, before.To, -1)
		m.Wires = replaceRow(m, m.Wires, &m.wireAt, row.Name, row)
		m.use(row.From, row.To, 1)
	case Bond:
		m.Bonds = replaceRow(m, m.Bonds, &m.bondAt, row.ID(), row)
	case Reading:
		m.Readings = replaceRow(m, m.Readings, &m.readingAt, row.Number, row)
	case Place:
		m.Places = replaceRow(m, m.Places, &m.placeAt, row.ID(), row)
	case Photo:
		m.Photos = replaceRow(m, m.Photos, &m.photoAt, row.ID(), row)
	case Template:
		m.Templates = replaceRow(m, m.Templates, &m.templateAt, row.ID(), row)
	}
}

func (m *Machine) hang(device string, count int) {
	addCount(m, &m.hung, device, count)
}

func (m *Machine) use(a, b TerminalRef, count int) {
	for _, ref := range [2]TerminalRef{a, b} {
		addCount(m, &m.users, ref, count)
	}
}

func addCount[K comparable](m *Machine, counts *index[K, int], key K, by int) {
	if now, _ := counts.get(key); now+by == 0 {
		counts.del(m.generation, key)
	} else {
		counts.set(m.generation, key, now+by)
	}
}

func (m *Machine) addMark(t Terminal) {
	marks, _ := m.marks.get(t.Device)
	if m.marks.owner != m.generation || m.marks.drawn {
		marks = slices.Clip(marks) // a snapshot may read the list, and add to it
	}
	m.marks.set(m.generation, t.Device, append(marks, t.Mark))
}

func (m *Machine) dropMark(t Terminal) {
	marks, _ := m.marks.get(t.Device)
	at := slices.Index(marks, t.Mark)
	if at < 0 {
		return
	}
	if len(marks) == 1 {
		m.marks.del(m.generation, t.Device)
		return
	}
	m.marks.set(m.generation, t.Device, slices.Concat(marks[:at], marks[at+1:]))
}

// putRow adds a row at the end: past what a snapshot sees.
func putRow[K comparable, T any](m *Machine, rows []T, places *index[K, int], key K, row T) []T {
	places.set(m.generation, key, len(rows))
	return append(rows, row)
}

func replaceRow[K comparable, T Row](m *Machine, rows []T, places *index[K, int], key K, row T) []T {
	rows = ownRows(m, rows)
	at, _ := places.get(key)
	rows[at] = row
	return rows
}

// dropRow moves the last row into the gap: the order of rows carries no
// meaning, and this way it costs the same in a large machine.
func dropRow[K comparable, T Row](m *Machine, rows []T, places *index[K, int], key K, keyOf func(T) K) (left []T, gap int) {
	at, found := places.get(key)
	if !found {
		return rows, len(rows)
	}
	rows = ownRows(m, rows)
	last := len(rows) - 1
	rows[at] = rows[last]
	places.set(m.generation, keyOf(rows[at]), at)
	places.del(m.generation, key)
	return rows[:last], at
}

// moveLast undoes what dropRow did to the order: the last row, just put back,
// goes to its old place, and the row that had filled the gap to the end.
func (m *Machine) moveLast(table Table, gap int) {
	switch table {
	case TableSetting:
		m.SettingRows = swapLast(m, m.SettingRows, &m.settingAt, gap, func(s Setting) string { return s.Key })
	case TableDevice:
		m.Devices = swapLast(m, m.Devices, &m.deviceAt, gap, func(d Device) string { return d.Ref })
	case TableTerminal:
		m.Terminals = swapLast(m, m.Terminals, &m.terminalAt, gap, Terminal.Ref)
	case TableLink:
		m.Links = swapLast(m, m.Links, &m.linkAt, gap, Link.ID)
	case TableWire:
		m.Wires = swapLast(m, m.Wires, &m.wireAt, gap, func(w Wire) string { return w.Name })
	case TableBond:
		m.Bonds = swapLast(m, m.Bonds, &m.bondAt, gap, Bond.ID)
	case TableReading:
		m.Readings = swapLast(m, m.Readings, &m.readingAt, gap, func(r Reading) int64 { return r.Number })
	case TablePlace:
		m.Places = swapLast(m, m.Places, &m.placeAt, gap, Place.ID)
	case TablePhoto:
		m.Photos = swapLast(m, m.Photos, &m.photoAt, gap, Photo.ID)
	case TableTemplate:
		m.Templates = swapLast(m, m.Templates, &m.templateAt, gap, Template.ID)
	}
}

func swapLast[K comparable, T Row](m *Machine, rows []T, places *index[K, int], gap int, keyOf func(T) K) []T {
	rows = ownRows(m, rows)
	last := len(rows) - 1
	rows[gap], rows[last] = rows[last], rows[gap]
	places.set(m.generation, keyOf(rows[gap]), gap)
	places.set(m.generation, keyOf(rows[last]), last)
	return rows
}
