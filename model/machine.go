package model

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bellout/model/wording"
)

// Machine is what the file says now. Readers never change it; Apply does, and
// only the store calls that on a machine that others see. The order of the
// slices carries no meaning and may change with an edit: whatever a person, a
// file or a test sees is sorted first (see Sorted).
type Machine struct {
	SettingRows []Setting
	Devices     []Device
	Terminals   []Terminal
	Links       []Link
	Wires       []Wire
	Bonds       []Bond
	Readings    []Reading
	Symptoms    []Symptom  // what devices did
	Events      []Event    // what became of parts that stood in the devices' places
	Places      []Place    // on the chart, at most one for each device
	Photos      []Photo    // pinned to devices; without their bytes
	Templates   []Template // of one's own

	// Touches are the places where later edits changed the conduction of a
	// machine that already had readings; see Touch.
	Touches []PathChange

	settingAt  map[string]int
	deviceAt   map[string]int
	terminalAt map[TerminalRef]int
	linkAt     map[string]int
	wireAt     map[string]int
	bondAt     map[string]int
	readingAt  map[int64]int
	symptomAt  map[string]int
	eventAt    map[string]int
	placeAt    map[string]int
	photoAt    map[string]int
	templateAt map[string]int
	users      map[TerminalRef]int // how many rows refer to a terminal
	marks      map[string][]string // of each device
	hung       map[string]int      // how many symptoms, events, places and photos a device has
}

// PathChange says that an edit made, changed or took away a conduction path between
// two terminals. Readings stored before it, by Stored, whose path runs through
// it are stale.
type PathChange struct {
	Stored int64 // its place in the order of edits and readings; see Reading
	A, B   TerminalRef
}

// NewMachine returns a machine with nothing in it.
func NewMachine() *Machine {
	m, err := NewMachineFromRows(Machine{})
	if err != nil {
		panic(err) // there is nothing in it
	}
	return m
}

// Device returns the device with that reference.
func (m *Machine) Device(ref string) (Device, bool) {
	at, found := m.deviceAt[ref]
	if !found {
		return Device{}, false
	}
	return m.Devices[at], true
}

// TerminalIndex returns the place of a terminal in Terminals.
func (m *Machine) TerminalIndex(ref TerminalRef) (int, bool) {
	at, found := m.terminalAt[ref]
	return at, found
}

// Terminal returns the terminal with that reference.
func (m *Machine) Terminal(ref TerminalRef) (Terminal, bool) {
	at, found := m.terminalAt[ref]
	if !found {
		return Terminal{}, false
	}
	return m.Terminals[at], true
}

// Wire returns the wire with that name, removed or not.
func (m *Machine) Wire(name string) (Wire, bool) {
	at, found := m.wireAt[name]
	if !found {
		return Wire{}, false
	}
	return m.Wires[at], true
}

// WireIndex returns the place of a wire in Wires.
func (m *Machine) WireIndex(name string) (int, bool) {
	at, found := m.wireAt[name]
	return at, found
}

// Reading returns the reading with that number.
func (m *Machine) Reading(number int64) (Reading, bool) {
	at, found := m.readingAt[number]
	if !found {
		return Reading{}, false
	}
	return m.Readings[at], true
}

// Row returns the row of a table with that ID, or nil.
func (m *Machine) Row(table Table, id string) Row {
	switch table {
	case TableSetting:
		return rowAt(m.SettingRows, m.settingAt, id)
	case TableDevice:
		return rowAt(m.Devices, m.deviceAt, id)
	case TableTerminal:
		ref, err := ParseTerminalRef(id)
		if err != nil {
			return nil
		}
		return rowAt(m.Terminals, m.terminalAt, ref)
	case TableLink:
		return rowAt(m.Links, m.linkAt, id)
	case TableWire:
		return rowAt(m.Wires, m.wireAt, id)
	case TableBond:
		return rowAt(m.Bonds, m.bondAt, id)
	case TableReading:
		number, err := strconv.ParseInt(id, 10, 64)
		if err != nil {
			return nil
		}
		return rowAt(m.Readings, m.readingAt, number)
	case TableSymptom:
		return rowAt(m.Symptoms, m.symptomAt, id)
	case TableHistory:
		return rowAt(m.Events, m.eventAt, id)
	case TablePlace:
		return rowAt(m.Places, m.placeAt, id)
	case TablePhoto:
		return rowAt(m.Photos, m.photoAt, id)
	case TableTemplate:
		return rowAt(m.Templates, m.templateAt, id)
	}
	return nil
}

func rowAt[K comparable, T Row](rows []T, places map[K]int, key K) Row {
	if at, found := places[key]; found {
		return rows[at]
	}
	return nil
}

// Marks returns the marks of a device's terminals, sorted.
func (m *Machine) Marks(device string) []string {
	marks := slices.Clone(m.marks[device])
	slices.SortFunc(marks, Compare)
	return marks
}

// FindTerminal reads a reference and looks it up; the error says what the
// device has instead.
func (m *Machine) FindTerminal(text string) (TerminalRef, error) {
	ref, err := ParseTerminalRef(text)
	if err != nil {
		return TerminalRef{}, err
	}
	return ref, m.CheckTerminal(ref)
}

// CheckTerminal says what is wrong with a reference to a terminal that the
// machine does not have, and what it has instead; nil if it has it.
func (m *Machine) CheckTerminal(ref TerminalRef) error {
	if _, found := m.terminalAt[ref]; found {
		return nil
	}
	if _, found := m.deviceAt[ref.Device]; !found {
		return fmt.Errorf("no device %q; %s", ref.Device, m.nearestDevices(ref.Device))
	}
	marks := m.Marks(ref.Device)
	if len(marks) == 0 {
		return fmt.Errorf("no terminal %q; %s has none yet", ref, ref.Device)
	}
	if twin := twinIn(marks, ref.Mark); twin != "" {
		return fmt.Errorf("no terminal %q; %q %s, write %s:%s", ref, ref.Mark, notTheSame(ref.Mark, twin), ref.Device, twin)
	}
	return fmt.Errorf("no terminal %q; %s has %s", ref, ref.Device, wording.Some(marks, 12))
}

// FindLink reads DEVICE:FROM-TO and looks the link up. Marks may hold a "-":
// the text is split where the device has both marks and a link between them,
// written either way round. Of several kinds of link between two marks the one
// that comes first in LinkKinds is meant. A text that two pairs of marks fit is
// an error.
func (m *Machine) FindLink(text string) (Link, error) {
	device, marks, found := strings.Cut(text, ":")
	if !found {
		return Link{}, fmt.Errorf("%q is no link; write DEVICE:FROM-TO, as in S1:1-2", text)
	}
	if _, known := m.deviceAt[device]; !known {
		return Link{}, fmt.Errorf("no device %q; %s", device, m.nearestDevices(device))
	}
	var fits []Link
	for at := 1; at < len(marks)-1; at++ {
		if marks[at] != '-' {
			continue
		}
		if link, known := m.linkBetween(device, marks[:at], marks[at+1:]); known {
			fits = append(fits, link)
		}
	}
	switch len(fits) {
	case 0:
		return Link{}, m.noLink(device, text)
	case 1:
		return fits[0], nil
	default:
		return Link{}, fmt.Errorf("%q fits %s with %s and %s with %s; give one of these marks another name",
			text, fits[0].From, fits[0].To, fits[1].From, fits[1].To)
	}
}

// linkBetween returns the link between two marks of a device, of the first kind
// in LinkKinds that there is.
func (m *Machine) linkBetween(device, from, to string) (Link, bool) {
	for _, kind := range LinkKinds {
		for _, link := range []Link{{Device: device, From: from, To: to, Kind: kind}, {Device: device, From: to, To: from, Kind: kind}} {
			if place, known := m.linkAt[link.ID()]; known {
				return m.Links[place], true
			}
		}
	}
	return Link{}, false
}

// noLink says what the device has instead.
func (m *Machine) noLink(device, text string) error {
	var places []string
	for _, link := range m.Links {
		if link.Device == device {
			places = append(places, link.Place())
		}
	}
	if len(places) == 0 {
		return fmt.Errorf("no link %q; %s has no links", text, device)
	}
	slices.SortFunc(places, Compare)
	return fmt.Errorf("no link %q; %s has %s", text, device, wording.Some(places, 12))
}

// nearestDevices helps somebody who mistyped a device.
func (m *Machine) nearestDevices(ref string) string {
	if len(m.Devices) == 0 {
		return "the machine has no devices yet"
	}
	if twin := twinIn(m.names(TableDevice), ref); twin != "" {
		return fmt.Sprintf("it %s, write %s", notTheSame(ref, twin), twin)
	}
	for known := range m.deviceAt {
		if strings.EqualFold(known, ref) {
			return fmt.Sprintf("did you mean %q?", known)
		}
	}
	if ref != "" {
		var same []string
		for known := range m.deviceAt {
			if strings.EqualFold(known[:1], ref[:1]) {
				same = append(same, known)
			}
		}
		if len(same) > 0 {
			slices.SortFunc(same, Compare)
			return "near it are " + wording.Some(same, 12)
		}
	}
	return "write a device of the map"
}
