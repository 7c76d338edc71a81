package judge

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
	"bellout/model"
)

// TestJoinsLikeAWalk: what the blocks tell of metal with changes is what walking
// it tells.
func TestJoinsLikeAWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "terminals")
		m := model.NewMachine()
		edit := model.Edit{What: "test"}
		marks := make([]string, n)
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: "X1", Health: model.HealthUnknown}})
		for i := range n {
			marks[i] = string(rune('a' + i))
			edit.Changes = append(edit.Changes, model.Change{After: model.Terminal{Device: "X1", Mark: marks[i]}})
		}
		terminal := rapid.IntRange(0, n-1)
		wires := rapid.IntRange(1, 12).Draw(t, "wires")
		for k := range wires {
			a, b := terminal.Draw(t, "from"), terminal.Draw(t, "to")
			if a == b {
				b = (a + 1) % n
			}
			edit.Changes = append(edit.Changes, model.Change{After: model.Wire{
				Name: "W" + string(rune('A'+k)), From: model.TerminalRef{Device: "X1", Mark: marks[a]}, To: model.TerminalRef{Device: "X1", Mark: marks[b]}, Basis: model.BasisPlanned,
			}})
		}
		if err := m.Apply(edit); err != nil {
			t.Fatal(err)
		}
		j := New(graphs.NewCircuit(m, nil))
		var changes []graphs.ElementChange
		once := map[int]bool{}
		for range rapid.IntRange(0, 5).Draw(t, "changes") {
			if rapid.Bool().Draw(t, "adds") {
				changes = append(changes, graphs.ElementChange{Element: -1, A: terminal.Draw(t, "a"), B: terminal.Draw(t, "b")})
				continue
			}
			if id := rapid.IntRange(0, wires-1).Draw(t, "opened"); !once[id] {
				once[id] = true
				changes = append(changes, graphs.ElementChange{Element: id, Ohms: math.Inf(1)})
			}
		}
		red, black := terminal.Draw(t, "red"), terminal.Draw(t, "black")
		if got, want := j.Joins(red, black, changes), walkJoins(j.Rest, red, black, changes); got != want {
			t.Fatalf("%s to %s: %v, a walk says %v; changes %v", marks[red], marks[black], got, want, changes)
		}
	})
}
