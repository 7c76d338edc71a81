package model_test

import (
	"slices"
	"testing"

	"bellout/model"
)

// A row that says no more than that metal joins two terminals goes with the edit that
// brings the wires somebody has seen between them, and with no other.
func TestWithoutNeedless(t *testing.T) {
	ref := func(text string) model.TerminalRef {
		r, err := model.ParseTerminalRef(text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	wire := func(name, from, to string, basis model.Basis) model.Wire {
		return model.Wire{Name: name, From: ref(from), To: ref(to), Basis: basis}
	}
	m := model.NewMachine()
	var rows []model.Row
	for _, device := range []string{"A", "B", "C", "F"} {
		rows = append(rows, model.Device{Ref: device, Kind: model.KindOther, Health: model.HealthUnknown})
		for _, mark := range []string{"1", "2"} {
			rows = append(rows, model.Terminal{Device: device, Mark: mark})
		}
	}
	rows = append(rows,
		model.Link{Device: "F", From: "1", To: "2", Kind: model.LinkFuse, Value: model.Known(2)},
		wire("W1", "A:1", "B:1", model.BasisJoined), wire("W2", "A:1", "C:1", model.BasisJoined), wire("W3", "A:2", "C:2", model.BasisJoined))
	edit := model.Edit{}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		come []model.Row
		gone []string
	}{
		{"the wire itself", []model.Row{wire("W9", "B:1", "A:1", model.BasisSeen)}, []string{"W1"}},
		{"one of three ends: two rows say one thing", []model.Row{wire("W9", "B:1", "C:1", model.BasisSeen)}, []string{"W2"}},
		{"both", []model.Row{wire("W8", "A:1", "B:1", model.BasisSeen), wire("W9", "B:1", "C:1", model.BasisSeen)}, []string{"W1", "W2"}},
		{"by way of a fuse", []model.Row{wire("W8", "A:2", "F:1", model.BasisSeen), wire("W9", "F:2", "C:2", model.BasisSeen)}, []string{"W3"}},
		{"half of the way", []model.Row{wire("W8", "A:2", "F:1", model.BasisSeen)}, nil},
		{"planned only", []model.Row{wire("W9", "A:1", "B:1", model.BasisPlanned)}, nil},
		{"another row that joins", []model.Row{wire("W9", "A:1", "B:1", model.BasisJoined)}, nil},
	} {
		edit := model.Edit{}
		for _, row := range c.come {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
		var gone []string
		after := m.WithoutNeedless(edit)
		for _, change := range after.Changes {
			if change.After == nil {
				gone = append(gone, change.Before.(model.Wire).Name)
			}
		}
		if !slices.Equal(gone, c.gone) {
			t.Errorf("%s: %v went, not %v", c.name, gone, c.gone)
		}
		if undone := after.Undo(); len(undone.Changes) != len(after.Changes) {
			t.Errorf("%s: undo has %d changes", c.name, len(undone.Changes))
		}
	}
}
