package model

import (
	"fmt"
)

// NewMachineFromRows returns a machine that takes over the slices of from: all
// rows of a file in one go, each known to be valid by itself. It checks what
// needs the whole: that no row of a table is there twice and that every
// reference leads somewhere. The conditions of readings are taken as they are;
// what they name may have left the map since. An error is a *RowError whose At
// counts within the row's own table. Cost: linear, without the look at each
// row that Apply takes.
func NewMachineFromRows(from Machine) (*Machine, error) {
	m := &Machine{
		SettingRows: from.SettingRows, Devices: from.Devices, Terminals: from.Terminals, Links: from.Links,
		Wires: from.Wires, Bonds: from.Bonds, Readings: from.Readings, Touches: from.Touches,
		Symptoms: from.Symptoms, Events: from.Events, Places: from.Places, Photos: from.Photos, Templates: from.Templates,
	}
	m.users = make(map[TerminalRef]int, len(from.Terminals))
	m.marks = make(map[string][]string, len(from.Devices))
	m.hung = map[string]int{}
	var err error
	index := func(step func() error) {
		if err == nil {
			err = step()
		}
	}
	index(func() (err error) {
		m.settingAt, err = places(m.SettingRows, func(s Setting) string { return s.Key })
		return err
	})
	index(func() (err error) {
		m.deviceAt, err = places(m.Devices, func(d Device) string { return d.Ref })
		return err
	})
	index(func() (err error) { m.terminalAt, err = places(m.Terminals, Terminal.Ref); return err })
	index(func() (err error) { m.linkAt, err = places(m.Links, Link.ID); return err })
	index(func() (err error) {
		m.wireAt, err = places(m.Wires, func(w Wire) string { return w.Name })
		return err
	})
	index(func() (err error) { m.bondAt, err = places(m.Bonds, Bond.ID); return err })
	index(func() (err error) {
		m.readingAt, err = places(m.Readings, func(r Reading) int64 { return r.Number })
		return err
	})
	index(func() (err error) {
		m.symptomAt, err = places(m.Symptoms, Symptom.ID)
		return err
	})
	index(func() (err error) {
		m.eventAt, err = places(m.Events, Event.ID)
		return err
	})
	index(func() (err error) {
		m.placeAt, err = places(m.Places, Place.ID)
		return err
	})
	index(func() (err error) {
		m.photoAt, err = places(m.Photos, Photo.ID)
		return err
	})
	index(func() (err error) {
		m.templateAt, err = places(m.Templates, Template.ID)
		return err
	})
	index(func() error { return hangRows(m, m.Symptoms, func(s Symptom) string { return s.Device }) })
	index(func() error { return hangRows(m, m.Events, func(e Event) string { return e.Device }) })
	index(func() error { return hangRows(m, m.Places, func(p Place) string { return p.Device }) })
	index(func() error { return hangRows(m, m.Photos, func(p Photo) string { return p.Device }) })
	index(m.markTerminals)
	index(func() error { return useRows(m, m.Links, Link.FromRef, Link.ToRef) })
	index(func() error {
		return useRows(m, m.Wires, func(w Wire) TerminalRef { return w.From }, func(w Wire) TerminalRef { return w.To })
	})
	index(func() error {
		return useRows(m, m.Bonds, func(b Bond) TerminalRef { return b.From }, func(b Bond) TerminalRef { return b.To })
	})
	index(func() error {
		return useRows(m, m.Readings, func(r Reading) TerminalRef { return r.Red }, func(r Reading) TerminalRef { return r.Black })
	})
	if err != nil {
		return nil, err
	}
	return m, nil
}

func places[K comparable, T Row](rows []T, keyOf func(T) K) (map[K]int, error) {
	at := make(map[K]int, len(rows))
	for i, row := range rows {
		at[keyOf(row)] = i
		if len(at) != i+1 {
			return nil, &RowError{At: i, Change: Change{After: row}, Err: fmt.Errorf("the %s is there twice", row.Table())}
		}
	}
	return at, nil
}

// markTerminals lists the marks of every device in one run of one slice each.
func (m *Machine) markTerminals() error {
	counts := make(map[string]int, len(m.Devices))
	for i, terminal := range m.Terminals {
		if _, found := m.deviceAt[terminal.Device]; !found {
			return &RowError{At: i, Change: Change{After: terminal}, Field: "device", Err: fmt.Errorf("no device %q", terminal.Device)}
		}
		counts[terminal.Device]++
	}
	for _, terminal := range m.Terminals {
		list, begun := m.marks[terminal.Device]
		if !begun {
			list = make([]string, 0, counts[terminal.Device])
		}
		m.marks[terminal.Device] = append(list, terminal.Mark)
	}
	return nil
}

func hangRows[T Row](m *Machine, rows []T, deviceOf func(T) string) error {
	for i, row := range rows {
		device := deviceOf(row)
		if _, found := m.deviceAt[device]; !found {
			return &RowError{At: i, Change: Change{After: row}, Field: "device", Err: fmt.Errorf("no device %q", device)}
		}
		m.hung[device]++
	}
	return nil
}

func useRows[T Row](m *Machine, rows []T, a, b func(T) TerminalRef) error {
	for i, row := range rows {
		for _, ref := range [2]TerminalRef{a(row), b(row)} {
			if _, found := m.terminalAt[ref]; !found {
				return &RowError{At: i, Change: Change{After: row}, Err: fmt.Errorf("no terminal %q", ref)}
			}
			m.users[ref]++
		}
	}
	return nil
}
