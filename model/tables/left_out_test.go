package tables

import (
	"context"
	"slices"
	"strings"
	"testing"

	"bellout/model"
	"bellout/model/sample"
)

func TestLeftOut(t *testing.T) {
	m := sample.Machine(1, 600)
	if list := LeftOut(m); list == nil || len(list) > 0 {
		t.Errorf("of a machine that fits: %v", list)
	}
	device := m.Devices[0].Ref
	photo := func(digit string) model.Photo {
		return model.Photo{Device: device, Hash: strings.Repeat(digit, 64), Format: model.PhotoPNG, SizeBytes: 9, Width: 1, Height: 1}
	}
	edit := model.Edit{Changes: []model.Change{{After: model.Place{Device: device}}, {After: photo("1")}, {After: photo("2")},
		{After: model.Template{Name: "driver", Definition: "4"}}}}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	want := []string{"the place of 1 device on the chart", "2 photos", "1 template of your own"}
	if got := LeftOut(m); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	// What is left out is not needed: the tables come back without it.
	dir := t.TempDir()
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		t.Fatal(err)
	}
	content, err := ReadFolder(t.Context(), dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := content.Machine()
	if err != nil || len(again.Places)+len(again.Photos)+len(again.Templates) > 0 || len(again.Wires) != len(m.Wires) {
		t.Errorf("came back as %d wires, %v", len(again.Wires), err)
	}
	if edit, err := content.EditFor(m); err != nil || len(edit.Changes) > 0 {
		t.Errorf("into the same machine: %v, %v", edit.Changes, err)
	}
}
