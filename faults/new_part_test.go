package faults

import (
	"slices"
	"testing"
	"time"

	"bellout/model"
)

// fedLamp: a supply, a fuse, a lamp, and a spare lamp beside it.
const fedLamp = `
device G1 supply limit=5 : + rail 12, - return
link G1 + - resistance 2000
device F1 fuse : 1 pass, 2 pass
link F1 1 2 fuse 2
device E1 lamp load=1 : + feed 12, - return
link E1 + - resistance 3
device E2 lamp load=1 : + feed 12, - return
link E2 + - resistance 3
wire W1 G1:+ F1:1
wire W2 F1:2 E1:+
wire W3 E1:- G1:-
wire W4 F1:2 E2:+
wire W5 E2:- G1:-
`

// A part that was put in testifies from its day on: what was read before through the
// one that stood there is kept, and no longer evidence.
func TestReadingsFromBeforeANewPartAreStale(t *testing.T) {
	day := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name, replaced, red, black, mode, value string
		stale                                   bool
	}{
		{"a fuse that was read through", "F1", "G1:+", "E1:+", "ohms", "0.3", true},
		{"a wire beside the fuse", "F1", "F1:2", "E1:+", "ohms", "0.3", false},
		{"a lamp that was read by itself", "E1", "E1:+", "E1:-", "ohms", "OL", true},
		{"a lamp read from further away", "E1", "G1:+", "G1:-", "ohms", "1.8", true},
		{"a wire at the lamp", "E1", "F1:2", "E1:+", "ohms", "0.3", false},
		{"volts at the supply", "G1", "G1:+", "G1:-", "volts-dc", "15.1", true},
		{"volts of the supply, at the lamp", "G1", "E1:+", "E1:-", "volts-dc", "14.9", true},
		{"volts where another lamp hangs", "E2", "E1:+", "E1:-", "volts-dc", "11.9", false},
	} {
		m := build(t, fedLamp)
		value, err := model.ParseValue(c.value)
		if err != nil {
			t.Fatal(err)
		}
		red, _ := model.ParseTerminalRef(c.red)
		black, _ := model.ParseTerminalRef(c.black)
		var changes []model.Change
		for i, at := range []time.Time{day.Add(-time.Minute), day, {}} {
			changes = append(changes, model.Change{After: model.Reading{Number: int64(i + 1), Stored: int64(i + 1), At: at, Red: red, Black: black, Mode: model.Mode(c.mode), Value: value}})
		}
		if err := m.Apply(model.Edit{Changes: changes}); err != nil {
			t.Fatal(err)
		}
		if got := Stale(m); len(got) > 0 {
			t.Errorf("%s: nothing was replaced, and %v are stale", c.name, got)
		}
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Event{At: day, Device: c.replaced, Word: model.EventReplaced}}}}); err != nil {
			t.Fatal(err)
		}
		want := []int64{}
		if c.stale {
			want = []int64{1, 3} // before its day, and of no known day
		}
		if got := Stale(m); !slices.Equal(got, want) {
			t.Errorf("%s: stale are %v, want %v", c.name, got, want)
		}
	}
}
