// Package lantern hands the demo machine to tests: as a machine, and as a file
// of its own.
package lantern

import (
	"path/filepath"
	"testing"

	"bellout/assets"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// Edit is what puts Lantern Lock, in one of assets.DemoStates, on an empty map.
func Edit(t testing.TB, state string) model.Edit {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(state), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	edit, err := content.EditFor(model.NewMachine())
	if err != nil {
		t.Fatal(err)
	}
	return edit
}

// Machine is Lantern Lock in one of assets.DemoStates.
func Machine(t testing.TB, state string) *model.Machine {
	t.Helper()
	m := model.NewMachine()
	if err := m.Apply(Edit(t, state)); err != nil {
		t.Fatal(err)
	}
	return m
}

// File is Lantern Lock, as it was found, in a new file that goes with the test.
func File(t testing.TB) string {
	t.Helper()
	return FileOf(t, Edit(t, assets.AsFound))
}

// FileOf makes a new file of some edits.
func FileOf(t testing.TB, edits ...model.Edit) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lantern-lock.bellout")
	file, err := store.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, edit := range edits {
		if err := file.Do(edit); err != nil {
			t.Fatal(err)
		}
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}
