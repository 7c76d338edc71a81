package changes

import (
	"testing"
	"time"

	"bellout/assets"
	"bellout/model"
	"bellout/model/tables"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// demo is Lantern Lock in one of its states.
func demo(t testing.TB, state string) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(state), state)
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func look(t testing.TB, before, after *model.Machine) *Sides {
	t.Helper()
	s, err := Look(t.Context(), "as found", before, "as repaired", after)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
