package model

import (
	"errors"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"
)

// named is an edit that brings a device of a name, a terminal of a mark on X1, or
// a wire of a name.
func named(table Table, name string) Edit {
	switch table {
	case TableDevice:
		return Edit{Changes: []Change{{After: Device{Ref: name, Health: HealthOK}}}}
	case TableTerminal:
		return Edit{Changes: []Change{{After: Terminal{Device: "X1", Mark: name}}}}
	default:
		return Edit{Changes: []Change{{After: Wire{Name: name, From: TerminalRef{"X1", "a"}, To: TerminalRef{"X1", "b"}, Basis: BasisPlanned}}}}
	}
}

func aPlug(t *testing.T) *Machine {
	t.Helper()
	m := NewMachine()
	if err := m.Apply(Edit{Changes: []Change{
		{After: Device{Ref: "X1", Health: HealthOK}}, {After: Terminal{Device: "X1", Mark: "a"}}, {After: Terminal{Device: "X1", Mark: "b"}},
		{After: Device{Ref: "X2", Health: HealthOK}}, {After: Terminal{Device: "X2", Mark: "-"}},
	}}); err != nil {
		t.Fatal(err)
	}
	return m
}

var namedTables = []Table{TableDevice, TableTerminal, TableWire}

func TestNamesThatShowAnotherThanTheyAre(t *testing.T) {
	for name, says := range map[string]string{
		"K\u200b1":      "the invisible character U+200B",
		"K1\u200d":      "the invisible character U+200D",
		"\ufeffK1":      "the invisible character U+FEFF",
		"K\u00ad1":      "the invisible character U+00AD",
		"K1\ufe0f":      "the invisible character U+FE0F",
		"K1\u3164":      "the invisible character U+3164",
		"u\u0308ber":    "put together of several characters, as at U+0075",
		"Kabel-o\u0301": "as at U+006F",
		"\u2126":        "as at U+2126", // the sign of the ohm is the Greek letter
		"К1x":           "mixes Cyrillic and Latin letters, such as x (U+0078)",
		"RELAY-О":       "mixes Latin and Cyrillic letters, such as О (U+041E)",
		"Αlpha":         "mixes Greek and Latin letters",
		"水門א":           "mixes East Asian and Hebrew letters",
		"G\u202b1":      "turns the reading direction",
	} {
		for _, table := range namedTables {
			m := aPlug(t)
			err := m.Apply(named(table, name))
			var row *RowError
			if !errors.As(err, &row) || row.Field != string(table) || !strings.Contains(err.Error(), says) || strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("%s %+q: %v", table, name, err)
			}
		}
	}
	for _, name := range []string{"Ü1", "über", "КЛ1", "ΔU", "Ω-1", "µ1", "水門1", "A-水門", "ポンプ", "Q1.ü/→", "№5", "−", "²", "1½", "한글", "א1"} {
		for _, table := range namedTables {
			if err := aPlug(t).Apply(named(table, name)); err != nil {
				t.Errorf("%s %q is refused: %v", table, name, err)
			}
		}
	}
}

func TestTwoNamesThatLookTheSame(t *testing.T) {
	for _, pair := range [][2]string{
		{"K1", "К1"}, {"-", "−"}, {"-", "–"}, {"x'", "x’"}, {"K1", "Ｋ１"}, {"ВС", "BC"}, {"ΑΒ", "AB"}, {"ΑΒ", "АВ"}, {"½", "1⁄2"},
	} {
		for _, table := range namedTables {
			if table == TableDevice && strings.HasPrefix(pair[0], "-") {
				continue // no reference begins so
			}
			for _, order := range [][2]string{pair, {pair[1], pair[0]}} {
				m := aPlug(t)
				if err := m.Apply(named(table, order[0])); err != nil {
					t.Errorf("%s %q alone: %v", table, order[0], err)
					continue
				}
				before := m.Clone()
				err := m.Apply(named(table, order[1]))
				var row *RowError
				if !errors.As(err, &row) || row.Field != string(table) || !strings.Contains(err.Error(), "looks like") {
					t.Errorf("%s %q beside %q: %v", table, order[1], order[0], err)
				}
				if !m.Equal(before) {
					t.Errorf("%s %q beside %q: the machine changed", table, order[1], order[0])
				}
				if order[0] == order[1] {
					continue
				}
				both := Edit{Changes: append(named(table, order[0]).Changes, named(table, order[1]).Changes...)}
				if err := aPlug(t).Apply(both); err == nil {
					t.Errorf("%s %q and %q in one edit", table, order[0], order[1])
				}
			}
		}
	}
	// marks of different devices do not stand beside each other
	if err := aPlug(t).Apply(named(TableTerminal, "−")); err != nil {
		t.Errorf("the minus of another device: %v", err)
	}
}

// A file of an earlier version may hold two such names: everything else about them
// can be edited, more can be hung on them, and undo brings them back.
func TestNamesOfOldFilesThatLookTheSame(t *testing.T) {
	old := Device{Ref: "К1", Health: HealthOK}
	odd := Device{Ref: "K\u200b1", Health: HealthOK}
	m, err := NewMachineFromRows(Machine{Devices: []Device{{Ref: "K1", Health: HealthOK}, old, odd}})
	if err != nil {
		t.Fatal(err)
	}
	titled, oddTitled := old, odd
	titled.Title, oddTitled.Title = "relay", "relay"
	for name, edit := range map[string]Edit{
		"a title":    {Changes: []Change{{Before: old, After: titled}, {Before: odd, After: oddTitled}}},
		"a terminal": {Changes: []Change{{After: Terminal{Device: old.Ref, Mark: "1"}}, {After: Terminal{Device: odd.Ref, Mark: "1"}}}},
		"a place":    {Changes: []Change{{After: Place{Device: odd.Ref}}}},
		"another":    {Changes: []Change{{After: Device{Ref: "K2", Health: HealthOK}}}},
	} {
		if err := m.Apply(edit); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	gone := Edit{Changes: []Change{{Before: titled}}}
	if err := m.Apply(Edit{Changes: []Change{{Before: Terminal{Device: old.Ref, Mark: "1"}}}}); err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(gone); err != nil {
		t.Fatal(err)
	}
	if err := m.ApplyStored(gone.Undo()); err != nil {
		t.Errorf("undo: %v", err)
	}
}

// Whoever asks for a name that is not there, and is there in other letters, is told.
func TestAReferenceInOtherLetters(t *testing.T) {
	m := aPlug(t)
	for _, text := range []string{"Х1:a", "X1:а", "X2:−", "X\u200b1:a"} {
		if _, err := m.FindTerminal(text); err == nil || !strings.Contains(err.Error(), "looks like") {
			t.Errorf("%+q: %v", text, err)
		}
	}
}

// Of two names that a machine takes, none is the other in another form of Unicode.
func TestNoTwoNamesOfOneForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringOfN(rapid.SampledFrom([]rune("Kk1-−К\u0301\u200bоoΩµéＫ水")), 1, 4, -1)
		a, b := name.Draw(t, "a"), name.Draw(t, "b")
		m := NewMachine()
		if m.Apply(named(TableDevice, a)) != nil || m.Apply(named(TableDevice, b)) != nil {
			return
		}
		if norm.NFKC.String(a) == norm.NFKC.String(b) || looks(a) == looks(b) {
			t.Fatalf("%+q and %+q stand in one machine", a, b)
		}
	})
}
