package model

import (
	"fmt"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// Whatever is applied to a machine, or to snapshots of it, each says what a
// machine of its own would say, in the same places.
func TestSnapshotsGoOnSayingWhatTheySaid(t *testing.T) {
	start := sample(t)
	applied := 0
	rapid.Check(t, func(t *rapid.T) {
		shared, plain := []*Machine{start.Clone()}, []*Machine{start.Clone()}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			at := rapid.IntRange(0, len(shared)-1).Draw(t, "which")
			if rapid.IntRange(0, 2).Draw(t, "what") == 0 {
				shared, plain = append(shared, shared[at].Snapshot()), append(plain, plain[at].Clone())
			} else {
				edit := drawEdit(t, plain[at])
				if rapid.Bool().Draw(t, "refused") {
					edit.Changes = append(edit.Changes, Change{After: Device{Ref: "a b"}})
				}
				if a, b := shared[at].Apply(edit), plain[at].Apply(edit); (a == nil) != (b == nil) {
					t.Fatalf("the snapshot says %v, a machine of its own %v", a, b)
				}
				applied += len(edit.Changes)
			}
			for i := range shared {
				if !slices.EqualFunc(shared[i].Rows(), plain[i].Rows(), sameOrNone) {
					t.Fatalf("machine %d changed", i)
				}
				checkIndices(t, shared[i])
			}
		}
	})
	if applied < 100 {
		t.Errorf("only %d changes", applied)
	}
}

// Enough changes that an index is drawn together, on both sides; the marks of
// one device, which are lists, the most dangerous.
func TestSnapshotsThatGrowApart(t *testing.T) {
	m := NewMachine()
	add := func(m *Machine, mark string) {
		t.Helper()
		if err := m.Apply(Edit{Changes: []Change{{After: Terminal{Device: "X1", Mark: mark}}}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Apply(Edit{Changes: []Change{{After: Device{Ref: "X1", Health: HealthOK}}}}); err != nil {
		t.Fatal(err)
	}
	const count = 700
	for i := range 5 {
		add(m, fmt.Sprint(i))
	}
	s := m.Snapshot()
	for i := range count {
		add(m, fmt.Sprintf("m%d", i))
		add(s, fmt.Sprintf("s%d", i))
		for device := range 2 { // devices, so that the index of marks grows too
			for _, side := range []*Machine{m, s} {
				if err := side.Apply(Edit{Changes: []Change{{After: Device{Ref: fmt.Sprintf("D%d-%d", i, device), Health: HealthOK}},
					{After: Terminal{Device: fmt.Sprintf("D%d-%d", i, device), Mark: "1"}}}}); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	for letter, side := range map[string]*Machine{"m": m, "s": s} {
		marks := side.Marks("X1")
		if len(marks) != 5+count {
			t.Errorf("%s has %d marks", letter, len(marks))
		}
		for _, mark := range marks[5:] {
			if mark[:1] != letter {
				t.Fatalf("%s has the mark %s", letter, mark)
			}
		}
		again := side.Snapshot()
		if _, err := NewMachineFromRows(*again.Clone()); err != nil || !again.Equal(side) {
			t.Errorf("%s: %v", letter, err)
		}
	}
	if !m.marks.drawn || !s.marks.drawn {
		t.Error("nothing was drawn together: nothing was tested")
	}
}

// Readers of snapshots work while the machine goes on; the race detector looks
// on where it is turned on.
func TestSnapshotsAreReadWhileTheMachineGoesOn(t *testing.T) {
	m := sample(t)
	var readers sync.WaitGroup
	for i := range 50 {
		s := m.Snapshot()
		wires := len(s.Wires)
		readers.Go(func() {
			for _, wire := range s.Wires {
				if w, found := s.Wire(wire.Name); !found || w != wire {
					t.Errorf("%s is %+v", wire.Name, w)
				}
			}
			if again := s.Snapshot(); len(again.Rows()) != len(s.Rows()) || len(again.Wires) != wires || !again.Equal(s) {
				t.Error("a snapshot changed")
			}
		})
		name := fmt.Sprintf("N%d", i)
		changes := []Change{{After: Wire{Name: name, From: TerminalRef{"G1", "+"}, To: TerminalRef{"E1", "1"}, Basis: BasisSeen}}}
		if i%3 == 0 {
			before, _ := m.Wire("W1")
			after := before
			after.LengthMetres = Known(float64(i))
			changes = append(changes, Change{Before: before, After: after})
		}
		if err := m.Apply(Edit{Changes: changes}); err != nil {
			t.Fatal(err)
		}
	}
	readers.Wait()
}
