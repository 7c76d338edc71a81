package model

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// sample is a small machine: a supply, a switch whose marks hold a "-", a lamp.
func sample(t testing.TB) *Machine {
	t.Helper()
	m := NewMachine()
	if err := m.Apply(Edit{Changes: sampleChanges()}); err != nil {
		t.Fatal(err)
	}
	return m
}

func sampleChanges() (changes []Change) {
	for _, row := range []Row{
		Setting{Key: KeyLeadOhm, Value: "0.3"},
		Device{Ref: "G1", Kind: KindSupply, Health: HealthOK}, Device{Ref: "S1", Kind: KindSwitch, Health: HealthUnknown},
		Device{Ref: "E1", Kind: KindLamp, Health: HealthFailed, FailedAt: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)},
		Terminal{Device: "G1", Mark: "+", Role: RoleRail, Volts: Known(24)}, Terminal{Device: "G1", Mark: "-", Role: RoleReturn},
		Terminal{Device: "S1", Mark: "1-a"}, Terminal{Device: "S1", Mark: "2-b"}, Terminal{Device: "S1", Mark: "1"}, Terminal{Device: "S1", Mark: "a-2-b"},
		Terminal{Device: "E1", Mark: "1"}, Terminal{Device: "E1", Mark: "2"},
		Link{Device: "S1", From: "1-a", To: "2-b", Kind: LinkContact}, Link{Device: "E1", From: "1", To: "2", Kind: LinkResistance, Value: Known(96)},
		Wire{Name: "W1", From: TerminalRef{"G1", "+"}, To: TerminalRef{"S1", "1-a"}, Basis: BasisSeen},
		Wire{Name: "W2", From: TerminalRef{"S1", "2-b"}, To: TerminalRef{"E1", "1"}, Basis: BasisPlanned},
		Wire{Name: "W-3", From: TerminalRef{"E1", "2"}, To: TerminalRef{"G1", "-"}, Basis: BasisPlanned},
		Bond{From: TerminalRef{"G1", "-"}, To: TerminalRef{"E1", "2"}},
		Reading{Number: 1, Red: TerminalRef{"G1", "+"}, Black: TerminalRef{"E1", "1"}, Mode: ModeOhms, Value: Value{Number: 0.4}},
		Place{Device: "E1", X: 3.5, Y: -2, Pinned: true}, Place{Device: "G1"}, samplePhoto("G1", 1), Template{Name: "driver", Definition: "driver 4"},
	} {
		changes = append(changes, Change{After: row})
	}
	return changes
}

func samplePhoto(device string, picture int) Photo {
	return Photo{Device: device, Hash: fmt.Sprintf("%064x", picture), Face: "front", At: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC),
		Format: PhotoPNG, SizeBytes: 100, Width: 3, Height: 2}
}

// drawEdit draws an edit that the machine takes: one to four changes, each
// valid after the ones before it.
func drawEdit(t *rapid.T, m *Machine) Edit {
	now := m.Clone()
	edit := Edit{What: "drawn"}
	for range rapid.IntRange(1, 4).Draw(t, "changes") {
		changes := drawChanges(t, now)
		if now.Apply(Edit{Changes: changes}) == nil {
			edit.Changes = append(edit.Changes, changes...)
		}
	}
	return edit
}

func drawChanges(t *rapid.T, m *Machine) []Change {
	sorted := m.Sorted()
	terminals := make([]TerminalRef, len(sorted.Terminals))
	for i, terminal := range sorted.Terminals {
		terminals[i] = terminal.Ref()
	}
	name := fmt.Sprintf("N%d", len(m.Rows()))
	if len(terminals) == 0 || len(sorted.Readings) == 0 {
		return []Change{{After: Template{Name: name, Definition: "nothing else is left"}}}
	}
	end := func(label string) TerminalRef { return rapid.SampledFrom(terminals).Draw(t, label) }
	switch rapid.SampledFrom([]string{"device", "wire", "wire changed", "wire gone", "bond", "reading", "struck", "link", "device changed", "renamed", "setting", "place", "photo", "template", "devices gone"}).Draw(t, "kind") {
	case "device":
		return []Change{{After: Terminal{Device: name, Mark: "1"}}, {After: Device{Ref: name, Health: HealthOK}}} // order does not matter
	case "wire":
		return []Change{{After: Wire{Name: name, From: end("from"), To: end("to"), Basis: BasisSeen, Gauge: anyGauge().Draw(t, "gauge")}}}
	case "bond":
		return []Change{{After: Bond{From: end("from"), To: end("to")}}}
	case "reading":
		return []Change{{After: Reading{Number: int64(len(m.Readings) + 1), Red: end("red"), Black: end("black"), Mode: ModeVoltsDC, Value: Value{Number: 1}}}}
	case "struck":
		reading := rapid.SampledFrom(sorted.Readings).Draw(t, "reading")
		struck := reading
		struck.Struck = "slipped"
		return []Change{{Before: reading, After: struck}}
	case "link":
		device := rapid.SampledFrom(sorted.Devices).Draw(t, "device").Ref
		marks := m.Marks(device)
		if len(marks) < 2 {
			return nil
		}
		return []Change{{After: Link{Device: device, From: marks[0], To: marks[1], Kind: rapid.SampledFrom(LinkKinds).Draw(t, "kind")}}}
	case "device changed":
		before := rapid.SampledFrom(sorted.Devices).Draw(t, "device")
		after := before
		after.Title = rapid.String().Draw(t, "title")
		return []Change{{Before: before, After: after}}
	case "place":
		after := Place{Device: rapid.SampledFrom(sorted.Devices).Draw(t, "device").Ref, X: rapid.Float64Range(-MaxPlace, MaxPlace).Draw(t, "x"), Pinned: rapid.Bool().Draw(t, "pinned")}
		return []Change{{Before: m.Row(TablePlace, after.Device), After: after}}
	case "photo":
		photo := samplePhoto(rapid.SampledFrom(sorted.Devices).Draw(t, "device").Ref, rapid.IntRange(1, 2).Draw(t, "picture"))
		if before := m.Row(TablePhoto, photo.ID()); before != nil && rapid.Bool().Draw(t, "dropped") {
			return []Change{{Before: before}}
		}
		photo.Caption = name
		return []Change{{Before: m.Row(TablePhoto, photo.ID()), After: photo}}
	case "template":
		return []Change{{Before: m.Row(TableTemplate, "driver"), After: Template{Name: rapid.SampledFrom([]string{"driver", "another driver"}).Draw(t, "template"), Definition: name}}}
	case "devices gone":
		return m.DeleteDevices(rapid.SampledFrom(sorted.Devices).Draw(t, "device").Ref).Changes
	case "setting":
		before := m.Row(TableSetting, KeyLeadOhm)
		return []Change{{Before: before, After: Setting{Key: KeyLeadOhm, Value: FormatNumber(rapid.Float64Range(0, 1000).Draw(t, "ohm"))}}}
	}
	if len(sorted.Wires) == 0 {
		return nil
	}
	before := rapid.SampledFrom(sorted.Wires).Draw(t, "wire")
	after := before
	switch rapid.IntRange(0, 2).Draw(t, "how") {
	case 0:
		return []Change{{Before: before}}
	case 1:
		after.Name = name
	default:
		after.From, after.Removed = end("from"), !after.Removed
	}
	return []Change{{Before: before, After: after}}
}

func TestUndoBringsBackTheEqualMachine(t *testing.T) {
	start := sample(t)
	made := 0
	rapid.Check(t, func(rt *rapid.T) {
		m := start.Clone()
		for range 3 {
			before := m.Clone()
			edit := drawEdit(rt, m)
			if err := m.Apply(edit); err != nil {
				rt.Fatalf("%v was drawn valid: %v", edit, err)
			}
			made += len(edit.Changes)
			after := m.Clone()
			checkIndices(rt, m)
			if err := m.Apply(edit.Undo()); err != nil {
				rt.Fatalf("undo of %v: %v", edit, err)
			}
			checkIndices(rt, m)
			if !m.Equal(before) {
				rt.Fatalf("undo of %v left another machine", edit)
			}
			if err := m.Apply(edit); err != nil || !m.Equal(after) {
				rt.Fatalf("%v made again: %v", edit, err)
			}
		}
	})
	if made < 100 {
		t.Errorf("only %d changes were made", made)
	}
}

func TestAnEditIsAllOrNothing(t *testing.T) {
	start := sample(t)
	rapid.Check(t, func(t *rapid.T) {
		m := start.Clone()
		edit := drawEdit(t, m)
		bad := rapid.SampledFrom([]Change{
			{After: Wire{Name: "W1", From: TerminalRef{"G1", "+"}, To: TerminalRef{"G1", "-"}, Basis: BasisSeen}},
			{After: Device{Ref: "a b", Health: HealthOK}},
			{After: Wire{Name: "Wx", From: TerminalRef{"G1", "+"}, To: TerminalRef{"G9", "-"}, Basis: BasisSeen}},
			{Before: Device{Ref: "G1", Health: HealthFailed}},
			{Before: Terminal{Device: "S1", Mark: "1-a"}},
			{Before: start.Devices[0]},
		}).Draw(t, "bad")
		at := rapid.IntRange(0, len(edit.Changes)).Draw(t, "at")
		edit.Changes = slices.Insert(edit.Changes, at, bad)
		if m.Apply(edit) == nil {
			return // an earlier change made it good, as when W1 was renamed
		}
		checkIndices(t, m)
		if !m.Equal(start) {
			t.Fatalf("a refused edit changed the machine: %v", edit)
		}
		// A circuit that is up knows rows by their places.
		if !slices.EqualFunc(m.Rows(), start.Rows(), sameOrNone) {
			t.Fatalf("a refused edit moved rows: %v", edit)
		}
	})
}

// checkIndices holds every index of a machine against its slices.
func checkIndices(t *rapid.T, m *Machine) {
	fresh, err := NewMachineFromRows(Machine{SettingRows: m.SettingRows, Devices: m.Devices, Terminals: m.Terminals, Links: m.Links,
		Wires: m.Wires, Bonds: m.Bonds, Readings: m.Readings, Places: m.Places, Photos: m.Photos, Templates: m.Templates})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range m.Rows() {
		if got := m.Row(row.Table(), row.ID()); got == nil || !sameRow(got, row) {
			t.Fatalf("%s %s is looked up as %v", row.Table(), row.ID(), got)
		}
	}
	if got, want := fmt.Sprint(m.users), fmt.Sprint(fresh.users); got != want {
		t.Fatalf("uses %s, want %s", got, want)
	}
	if got, want := fmt.Sprint(m.hung), fmt.Sprint(fresh.hung); got != want {
		t.Fatalf("what hangs on devices %s, want %s", got, want)
	}
	if len(m.placeAt) != len(m.Places) || len(m.photoAt) != len(m.Photos) || len(m.templateAt) != len(m.Templates) {
		t.Fatal("an index has more entries than rows")
	}
	if got, want := len(m.marks), len(fresh.marks); got != want {
		t.Fatalf("marks of %d devices, want %d", got, want)
	}
	for device := range fresh.marks {
		if got, want := m.Marks(device), fresh.Marks(device); !slices.Equal(got, want) {
			t.Fatalf("marks of %s: %v, want %v", device, got, want)
		}
	}
	if len(m.terminalAt) != len(m.Terminals) || len(m.wireAt) != len(m.Wires) || len(m.linkAt) != len(m.Links) || len(m.deviceAt) != len(m.Devices) ||
		len(m.bondAt) != len(m.Bonds) || len(m.readingAt) != len(m.Readings) || len(m.settingAt) != len(m.SettingRows) {
		t.Fatal("an index has more entries than rows")
	}
}

func TestRowsThatMakeNoMachine(t *testing.T) {
	whole := sample(t)
	good := func() Machine {
		return Machine{SettingRows: slices.Clone(whole.SettingRows), Devices: slices.Clone(whole.Devices), Terminals: slices.Clone(whole.Terminals),
			Links: slices.Clone(whole.Links), Wires: slices.Clone(whole.Wires), Bonds: slices.Clone(whole.Bonds), Readings: slices.Clone(whole.Readings),
			Places: slices.Clone(whole.Places), Photos: slices.Clone(whole.Photos), Templates: slices.Clone(whole.Templates)}
	}
	if m, err := NewMachineFromRows(good()); err != nil || !m.Equal(whole) {
		t.Fatalf("the sample itself: %v", err)
	}
	for name, spoil := range map[string]func(*Machine){
		"a device twice":          func(m *Machine) { m.Devices = append(m.Devices, m.Devices[0]) },
		"a wire twice":            func(m *Machine) { m.Wires = append(m.Wires, m.Wires[0]) },
		"a link twice, turned":    func(m *Machine) { l := m.Links[0]; l.From, l.To = l.To, l.From; m.Links = append(m.Links, l) },
		"a bond twice, turned":    func(m *Machine) { b := m.Bonds[0]; b.From, b.To = b.To, b.From; m.Bonds = append(m.Bonds, b) },
		"a reading twice":         func(m *Machine) { m.Readings = append(m.Readings, m.Readings[0]) },
		"a place twice":           func(m *Machine) { m.Places = append(m.Places, m.Places[0]) },
		"a place of no device":    func(m *Machine) { m.Places[0].Device = "G9" },
		"a photo twice":           func(m *Machine) { m.Photos = append(m.Photos, m.Photos[0]) },
		"a photo of no device":    func(m *Machine) { m.Photos[0].Device = "G9" },
		"a template twice":        func(m *Machine) { m.Templates = append(m.Templates, m.Templates[0]) },
		"a terminal of no device": func(m *Machine) { m.Terminals[0].Device = "G9" },
		"a wire to nowhere":       func(m *Machine) { m.Wires[0].To.Mark = "9" },
		"a link to nowhere":       func(m *Machine) { m.Links[0].To = "9" },
		"a bond to nowhere":       func(m *Machine) { m.Bonds[0].To.Mark = "9" },
		"a reading of nowhere":    func(m *Machine) { m.Readings[0].Red.Mark = "9" },
	} {
		rows := good()
		spoil(&rows)
		if m, err := NewMachineFromRows(rows); err == nil || m != nil {
			t.Errorf("%s was taken", name)
		}
	}
}

func TestWhatApplyRefuses(t *testing.T) {
	reading := sample(t).Readings[0]
	changed := reading
	changed.Note = "another"
	for name, changes := range map[string][]Change{
		"a reading that says something else": {{Before: reading, After: changed}},
		"a device that keeps its terminals":  {{Before: sample(t).Row(TableDevice, "S1")}},
		"a place of no device":               {{After: Place{Device: "G9"}}},
		"a place off the chart":              {{After: Place{Device: "S1", X: 2e6}}},
		"a photo of no device":               {{After: samplePhoto("G9", 1)}},
		"a photo that is pinned already":     {{After: samplePhoto("G1", 1)}},
		"a template with no text":            {{After: Template{Name: "lamp"}}},
		"a terminal that is used":            {{Before: sample(t).Row(TableTerminal, "G1:+")}},
		"a colour in another order":          {{After: Wire{Name: "W9", From: TerminalRef{"G1", "+"}, To: TerminalRef{"E1", "1"}, Basis: BasisSeen, Colour: "BURD"}}},
		"a condition of no link":             {{After: Reading{Number: 9, Red: reading.Red, Black: reading.Black, Mode: ModeOhms, Conditions: NewConditions(Condition{Kind: ContactOpen, Device: "S1", From: "1", To: "2"})}}},
	} {
		if err := sample(t).Apply(Edit{Changes: changes}); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	// One that was stored before comes back, whatever its conditions name.
	back := reading
	back.Number, back.Conditions = 9, NewConditions(Condition{Kind: Lifted, Wire: "W99"})
	if err := sample(t).Apply(Edit{Changes: []Change{{After: back}}}); err == nil {
		t.Error("a new reading with a wire that is not there was taken")
	}
	if err := sample(t).ApplyStored(Edit{Changes: []Change{{After: back}}}); err != nil {
		t.Errorf("a stored reading did not come back: %v", err)
	}
}

func TestChangesReadWhatTheyPrint(t *testing.T) {
	start := sample(t)
	rapid.Check(t, func(t *rapid.T) {
		edit := drawEdit(t, start.Clone())
		for _, change := range append(edit.Changes, sampleChanges()...) {
			text, err := change.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			var again Change
			if err := again.UnmarshalJSON(text); err != nil {
				t.Fatalf("%s: %v", text, err)
			}
			if !sameOrNone(again.Before, change.Before) || !sameOrNone(again.After, change.After) {
				t.Fatalf("%s became %+v", text, again)
			}
		}
	})
	for _, bad := range []string{"", "{", `{"table":"room","after":{}}`, `{"table":"wire","after":7}`} {
		var change Change
		if err := change.UnmarshalJSON([]byte(bad)); err == nil {
			t.Errorf("%q was read as %+v", bad, change)
		}
	}
}

func sameOrNone(a, b Row) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return a.Table() == b.Table() && sameRow(a, b)
}
