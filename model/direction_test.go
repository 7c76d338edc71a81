package model

import (
	"strings"
	"testing"
)

const turned = "lamp \u202e5 V\u202c"

// A label that shows another text than it holds is refused wherever one is typed.
func TestTextsThatTurnTheReadingDirectionAreRefused(t *testing.T) {
	for _, row := range []Row{
		Device{Health: HealthUnknown, Ref: "G1", Title: turned}, Device{Health: HealthUnknown, Ref: "G1", Zone: "\u2066cabinet\u2069"}, Device{Health: HealthUnknown, Ref: "G\u202b1"},
		Terminal{Device: "G1", Mark: "\u202d1"}, Template{Name: turned, Definition: "x"}, Bond{From: TerminalRef{"G1", "1"}, To: TerminalRef{"G1", "2"}, Reason: turned},
	} {
		m := NewMachine()
		if err := m.Apply(Edit{Changes: []Change{{After: row}}}); err == nil || !strings.Contains(err.Error(), "turns the reading direction; write the text anew without it") {
			t.Errorf("%+v: %v", row, err)
		}
	}
	m := NewMachine()
	for i, title := range []string{"מנורה", "مصباح", "lampe d'écluse", "水門 😀"} {
		if err := m.Apply(Edit{Changes: []Change{{After: Device{Health: HealthUnknown, Ref: string(rune('A' + i)), Title: title}}}}); err != nil {
			t.Errorf("%q: %v", title, err)
		}
	}
}

// A file of an earlier version may hold such a text: its other fields can be
// edited, and what goes comes back by an undo.
func TestTurnedTextsOfOldFilesLoseNothing(t *testing.T) {
	old := Device{Health: HealthUnknown, Ref: "G1", Title: turned}
	m, err := NewMachineFromRows(Machine{Devices: []Device{old}})
	if err != nil {
		t.Fatal(err)
	}
	zoned := old
	zoned.Zone = "cabinet"
	if err := m.Apply(Edit{Changes: []Change{{Before: old, After: zoned}}}); err != nil {
		t.Errorf("another field: %v", err)
	}
	named := Device{Health: HealthUnknown, Ref: "G\u202b1"}
	m2, err := NewMachineFromRows(Machine{Devices: []Device{named}})
	if err != nil {
		t.Fatal(err)
	}
	if err := m2.Apply(Edit{Changes: []Change{{After: Terminal{Device: named.Ref, Mark: "1"}}, {After: Place{Device: named.Ref}}}}); err != nil {
		t.Errorf("what belongs to a device of such a name: %v", err)
	}
	worse := zoned
	worse.Title += turned
	if err := m.Apply(Edit{Changes: []Change{{Before: zoned, After: worse}}}); err == nil {
		t.Error("another turned text was taken")
	}
	mended := zoned
	mended.Title = "lamp 5 V"
	edit := Edit{Changes: []Change{{Before: zoned, After: mended}}}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	if err := m.ApplyStored(edit.Undo()); err != nil {
		t.Errorf("undo: %v", err)
	}
}
