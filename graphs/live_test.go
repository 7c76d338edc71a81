package graphs

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"bellout/model"

	"pgregory.net/rapid"
)

// randomChange is one change that a machine can take, of any kind.
func randomChange(random *rand.Rand, m *model.Machine, serial int) model.Change {
	someWire := func() (model.Wire, bool) {
		if len(m.Wires) == 0 {
			return model.Wire{}, false
		}
		return pick(random, m.Wires), true
	}
	someLink := func() (model.Link, bool) {
		if len(m.Links) == 0 {
			return model.Link{}, false
		}
		return pick(random, m.Links), true
	}
	switch random.IntN(14) {
	case 0, 1:
		if before, found := someWire(); found { // taken out, or put back
			after := before
			after.Removed = !after.Removed
			return model.Change{Before: before, After: after}
		}
	case 2:
		if before, found := someWire(); found {
			return model.Change{Before: before}
		}
	case 3:
		if before, found := someWire(); found {
			after := before
			after.Name = fmt.Sprintf("R%d", serial)
			return model.Change{Before: before, After: after}
		}
	case 4:
		if before, found := someWire(); found {
			after := before
			after.To = pick(random, m.Terminals).Ref()
			if after.To != after.From {
				return model.Change{Before: before, After: after}
			}
		}
	case 5:
		if before, found := someWire(); found {
			after := before
			after.Gauge, after.LengthMetres = model.Gauge{System: model.GaugeMetric, AreaMM2: 1}, model.Known(float64(random.IntN(3)))
			return model.Change{Before: before, After: after}
		}
	case 6, 7:
		if before, found := someLink(); found && (before.Kind == model.LinkContact || before.Kind == model.LinkFuse) {
			after := before
			after.State = pick(random, []model.LinkState{"", model.StateOpen, model.StateClosed})
			if random.IntN(3) == 0 {
				after.From, after.To = after.To, after.From
			}
			return model.Change{Before: before, After: after}
		}
	case 8:
		terminal := pick(random, m.Terminals)
		link := randomLink(random, terminal.Device, terminal.Mark, pick(random, m.Marks(terminal.Device)))
		if link.From != link.To && m.Row(model.TableLink, link.ID()) == nil {
			return model.Change{After: link}
		}
	case 9:
		if before, found := someLink(); found {
			return model.Change{Before: before}
		}
	case 10:
		before := pick(random, m.Devices)
		after := before
		after.Kind, after.Health = pick(random, drawnKinds), pick(random, model.Healths)
		return model.Change{Before: before, After: after}
	case 11:
		device := pick(random, m.Devices).Ref
		return model.Change{After: model.Terminal{Device: device, Mark: fmt.Sprintf("n%d", serial), Role: pick(random, drawnRoles)}}
	case 12:
		after := model.Setting{Key: pick(random, []string{model.KeyAmbientC, model.KeyLeadOhm}), Value: "1"}
		before := m.Row(model.TableSetting, after.ID())
		return model.Change{Before: before, After: after}
	}
	for {
		a, b := pick(random, m.Terminals).Ref(), pick(random, m.Terminals).Ref()
		if a != b {
			return model.Change{After: model.Wire{Name: fmt.Sprintf("N%d", serial), From: a, To: b, Basis: model.BasisProbed}}
		}
		if len(m.Terminals) == 1 {
			return model.Change{After: model.Terminal{Device: a.Device, Mark: fmt.Sprintf("n%d", serial)}}
		}
	}
}

// After any edits, undone ones too, the live circuit equals one made from
// nothing, down to the index and the names; and nets that Apply did not name
// are as they were.
func TestLiveEqualsARebuild(t *testing.T) {
	followed := 0
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(6, 15).Draw(t, "machine")
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "edits"), 3))
		live := NewLive(m)
		var last *model.Edit
		for serial := range 25 {
			before := map[string]bool{}
			for _, line := range netContents(live.Circuit()) {
				before[line] = true
			}
			edit := model.Edit{What: "step"}
			if last != nil && random.IntN(5) == 0 {
				edit, last = last.Undo(), nil
				if err := m.Apply(edit); err != nil {
					t.Fatal(err)
				}
			} else {
				for part := range 1 + random.IntN(3)*random.IntN(2) {
					edit.Changes = append(edit.Changes, randomChange(random, m, 10*serial+part))
				}
				if m.Apply(edit) != nil {
					live.Rebuild() // two changes of one row, say
					continue
				}
				last = &edit
			}
			nets, rebuilt := live.Apply(edit.Changes...)
			equalCircuits(t, live.Circuit(), NewCircuit(m, nil))
			conditions := drawConditions(t, m)
			equalCircuits(t, live.Circuit().Under(conditions), NewCircuit(m, conditions))
			if rebuilt {
				continue
			}
			followed++
			for at, line := range netContents(live.Circuit()) {
				if !before[line] && !slices.Contains(nets, at) {
					t.Fatalf("edit %v changed net %s, Apply names only %v", edit, line, nets)
				}
			}
		}
	})
	if followed < 500 {
		t.Errorf("only %d edits were followed without a rebuild", followed)
	}
}

// netContents prints what nets hold, without their names.
func netContents(c *Circuit) []string {
	var out []string
	for _, net := range c.Nets().List {
		line := fmt.Sprint(texts(c, net.Terminals))
		for _, terminal := range net.Terminals {
			for _, id := range c.Incident(terminal) {
				if e := c.Elements[id]; e.Joins() {
					line += fmt.Sprint(" ", elementNames(c, []int{int(id)}), e.Ohms)
				}
			}
		}
		out = append(out, line)
	}
	return out
}

// An edit that Live was not told of is noticed.
func TestLiveNoticesAnEditBehindItsBack(t *testing.T) {
	m := build(t, device("X1", model.KindSplice), terminal("X1:1", model.RolePass), terminal("X1:2", model.RolePass))
	live := NewLive(m)
	one, two := wire("W1", "X1:1", "X1:2"), wire("W2", "X1:1", "X1:2")
	for _, row := range []model.Wire{one, two} {
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: row}}}); err != nil {
			t.Fatal(err)
		}
	}
	if _, rebuilt := live.Apply(model.Change{After: two}); !rebuilt {
		t.Error("two wires came, Live heard of one and did not rebuild")
	}
	if got := len(live.Circuit().Nets().List); got != 1 {
		t.Errorf("%d nets, want 1", got)
	}
}

// A device that goes and comes back in one edit as another kind names nets
// otherwise.
func TestLiveNoticesADeviceMadeAnew(t *testing.T) {
	before := device("K1", model.KindDriver)
	m := build(t, before, terminal("K1:10", model.RoleSignal), device("B1", model.KindSensor), terminal("B1:1", model.RoleSignal), wire("W1", "K1:10", "B1:1"))
	live := NewLive(m)
	edit := model.Edit{Changes: []model.Change{{Before: before}, {After: device("K1", model.KindLamp)}}}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	live.Apply(edit.Changes...)
	if got := live.Circuit().Nets().List[0].Name; got != "B1:1" {
		t.Errorf("the net is called %s, after no driver any more it should be B1:1", got)
	}
}

// BenchmarkLive100k adds a wire to a lone terminal and takes it out again, as a
// discovery and its undo do, in a machine of 100,000 terminals.
func BenchmarkLive100k(b *testing.B) {
	m := largeMachine().Clone()
	live := NewLive(m)
	random := rand.New(rand.NewPCG(5, 6))
	var mine, base time.Duration
	serial := 0
	apply := func(change model.Change) {
		if err := m.Apply(model.Edit{Changes: []model.Change{change}}); err != nil {
			b.Fatal(err)
		}
		t0 := time.Now()
		_, rebuilt := live.Apply(change)
		mine += time.Since(t0)
		if rebuilt {
			b.Fatal("rebuilt")
		}
	}
	for b.Loop() {
		serial++
		row := model.Wire{Name: fmt.Sprintf("N%d", serial), Basis: model.BasisProbed}
		for row.From == row.To {
			row.From, row.To = pick(random, m.Terminals).Ref(), pick(random, m.Terminals).Ref()
		}
		apply(model.Change{After: row})
		t0 := time.Now()
		want := NewCircuit(m, nil).Nets()
		base += time.Since(t0)
		if got := live.Circuit().Nets(); len(got.List) != len(want.List) {
			b.Fatalf("%d nets, a rebuild has %d", len(got.List), len(want.List))
		}
		removed := row
		removed.Removed = true
		apply(model.Change{Before: row, After: removed})
		apply(model.Change{Before: removed})
	}
	b.ReportMetric(float64(mine.Microseconds())/1000/float64(3*b.N), "ms-apply")
	b.ReportMetric(3*float64(base)/float64(mine), "x-rebuild")
}
