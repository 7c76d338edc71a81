package model

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Whatever is applied to a machine or to one of its clones, or is refused by it,
// every other one goes on saying what it said, in the same places.
func TestClonesGoOnSayingWhatTheySaid(t *testing.T) {
	start := sample(t)
	applied := 0
	rapid.Check(t, func(t *rapid.T) {
		machines := []*Machine{start.Clone()}
		said := [][]Row{start.Rows()}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			i := rapid.IntRange(0, len(machines)-1).Draw(t, "which")
			if rapid.IntRange(0, 2).Draw(t, "what") == 0 {
				machines, said = append(machines, machines[i].Clone()), append(said, said[i])
				continue
			}
			edit := drawEdit(t, machines[i])
			if rapid.Bool().Draw(t, "refused") {
				edit.Changes = append(edit.Changes, Change{After: Device{Ref: "a b"}})
			}
			if machines[i].Apply(edit) == nil {
				said[i] = machines[i].Rows()
				applied += len(edit.Changes)
			}
			for k, m := range machines {
				if !slices.EqualFunc(m.Rows(), said[k], sameOrNone) {
					t.Fatalf("machine %d changed by an edit of machine %d", k, i)
				}
				checkIndices(t, m)
			}
		}
	})
	if applied < 30 { // twenty short stories bring some hundred
		t.Errorf("only %d changes", applied)
	}
}

// Marks are lists: what one side adds to those of a device must not land in the
// room of the other's.
func TestMarksOfClonesGrowApart(t *testing.T) {
	m := NewMachine()
	add := func(m *Machine, rows ...Row) {
		t.Helper()
		for _, row := range rows {
			if err := m.Apply(Edit{Changes: []Change{{After: row}}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	add(m, Device{Ref: "X1", Health: HealthOK}, Terminal{Device: "X1", Mark: "1"}, Terminal{Device: "X1", Mark: "2"}, Terminal{Device: "X1", Mark: "3"})
	c := m.Clone()
	add(m, Terminal{Device: "X1", Mark: "m"})
	add(c, Terminal{Device: "X1", Mark: "c"})
	if got, want := m.Marks("X1"), []string{"1", "2", "3", "m"}; !slices.Equal(got, want) {
		t.Errorf("the machine has %v, want %v", got, want)
	}
	if got, want := c.Marks("X1"), []string{"1", "2", "3", "c"}; !slices.Equal(got, want) {
		t.Errorf("its clone has %v, want %v", got, want)
	}
}
