package changes

import (
	"testing"
	"time"

	"bellout/assets/lantern"
	"bellout/model"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// demo is Lantern Lock in one of its states.
func demo(t testing.TB, state string) *model.Machine { t.Helper(); return lantern.Machine(t, state) }

func look(t testing.TB, before, after *model.Machine) *Sides {
	t.Helper()
	s, err := Look(t.Context(), "as found", before, "as repaired", after)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
