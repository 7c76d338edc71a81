package model

import (
	"slices"

	"bellout/model/wording"
)

// Place returns where a device stands on the chart; false if it has no place.
func (m *Machine) Place(device string) (Place, bool) {
	at, found := m.placeAt[device]
	if !found {
		return Place{}, false
	}
	return m.Places[at], true
}

// PhotosOf returns the photos that are pinned to a device, by the time they
// were taken, those of no known time first; empty if there are none. Cost: a
// look at every photo of the machine, where the device has any.
func (m *Machine) PhotosOf(device string) []Photo {
	list := []Photo{}
	if m.hung[device] == 0 {
		return list
	}
	for _, photo := range m.Photos {
		if photo.Device == device {
			list = append(list, photo)
		}
	}
	slices.SortFunc(list, func(a, b Photo) int {
		if order := a.At.Compare(b.At); order != 0 {
			return order
		}
		return Compare(a.Hash, b.Hash)
	})
	return list
}

// Template returns the template of one's own with that name.
func (m *Machine) Template(name string) (Template, bool) {
	at, found := m.templateAt[name]
	if !found {
		return Template{}, false
	}
	return m.Templates[at], true
}

// DeleteDevices returns the edit that takes devices out of the map together
// with all that cannot stay without them: terminals, links, the wires and bonds
// that end there, symptoms, events, places, photos, and readings, which stay in the file. An
// unknown reference is passed over. Cost: a look at every row.
func (m *Machine) DeleteDevices(refs ...string) Edit {
	gone := map[string]bool{}
	for _, ref := range refs {
		gone[ref] = true
	}
	edit := Edit{What: "device " + wording.Some(refs, 5) + " deleted"}
	drop := func(goes bool, row Row) {
		if goes {
			edit.Changes = append(edit.Changes, Change{Before: row})
		}
	}
	for _, r := range m.Readings {
		drop(gone[r.Red.Device] || gone[r.Black.Device], r)
	}
	for _, b := range m.Bonds {
		drop(gone[b.From.Device] || gone[b.To.Device], b)
	}
	for _, w := range m.Wires {
		drop(gone[w.From.Device] || gone[w.To.Device], w)
	}
	for _, l := range m.Links {
		drop(gone[l.Device], l)
	}
	for _, p := range m.Photos {
		drop(gone[p.Device], p)
	}
	for _, s := range m.Symptoms {
		drop(gone[s.Device], s)
	}
	for _, e := range m.Events {
		drop(gone[e.Device], e)
	}
	for _, p := range m.Places {
		drop(gone[p.Device], p)
	}
	for _, t := range m.Terminals {
		drop(gone[t.Device], t)
	}
	for _, d := range m.Devices {
		drop(gone[d.Ref], d)
	}
	return edit
}
