package model

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// A field differs exactly where the rows do not say the same.
func TestFieldChangesAgreeWithSameRow(t *testing.T) {
	start := sample(t)
	rapid.Check(t, func(t *rapid.T) {
		for _, change := range drawEdit(t, start).Changes {
			if change.Before == nil || change.After == nil {
				continue
			}
			if same, changes := SameRow(change.Before, change.After), FieldChanges(change.Before, change.After); same != (len(changes) == 0) {
				t.Fatalf("same: %v, changes %+v of %+v", same, changes, change)
			}
		}
	})
	noon := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	a, b := Device{Ref: "E1", FailedAt: noon}, Device{Ref: "E1", FailedAt: noon.In(time.FixedZone("", 3600)), LoadAmps: Known(0.5), Health: HealthFailed}
	want := []FieldChange{{"health", "", "failed"}, {"load_a", "", "0.5"}}
	if got := FieldChanges(a, b); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

// Equal keys, and nothing else, are the same touch.
func TestKeysAgreeWithSameTouch(t *testing.T) {
	noon := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	base := Reading{At: noon, Red: TerminalRef{"G1", "+"}, Black: TerminalRef{"E1", "1"}, Mode: ModeOhms, Value: Value{Number: 4}}
	for name, change := range map[string]func(*Reading){
		"nothing": func(*Reading) {}, "zone": func(r *Reading) { r.At = noon.In(time.FixedZone("", 3600)) }, "number": func(r *Reading) { r.Number = 9 },
		"struck": func(r *Reading) { r.Struck = "slipped" }, "time": func(r *Reading) { r.At = noon.Add(1) }, "no time": func(r *Reading) { r.At = time.Time{} },
		"tips": func(r *Reading) { r.Red, r.Black = r.Black, r.Red }, "value": func(r *Reading) { r.Value.Number = 5 }, "mode": func(r *Reading) { r.Mode = ModeDiode },
		"drift": func(r *Reading) { r.Drift = DriftRising }, "note": func(r *Reading) { r.Note = "x" }, "meter": func(r *Reading) { r.Meter = "M1" },
		"conditions": func(r *Reading) { r.Conditions = NewConditions(Condition{Kind: Lifted, Wire: "W1"}) },
	} {
		other := base
		change(&other)
		if same := base.SamePair(other); same != (base.Key() == other.Key()) {
			t.Errorf("%s: same touch %v, same key %v", name, same, !same)
		}
	}
}
