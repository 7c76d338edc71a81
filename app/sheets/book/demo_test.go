package book

import (
	"context"
	"testing"
	"time"

	"bellout/assets"
	"bellout/model"
	"bellout/model/tables"
)

var noContext = context.Background()

var noon = time.Date(2026, 5, 10, 12, 0, 0, 0, time.UTC)

func demo(t testing.TB, state string) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(state), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}
