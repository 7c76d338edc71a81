package merge

import (
	"testing"
	"time"

	"bellout/model"
)

func ref(text string) model.TerminalRef {
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		panic(err)
	}
	return r
}

func wire(name, from, to string) model.Wire {
	return model.Wire{Name: name, From: ref(from), To: ref(to), Basis: model.BasisProbed}
}

func reading(number int64, value float64) model.Reading {
	return model.Reading{Number: number, At: time.Date(2026, 5, 4, 12, 0, int(number), 0, time.UTC), Red: ref("G1:+"), Black: ref("E1:1"),
		Mode: model.ModeOhms, Value: model.Value{Number: value}}
}

func began(t *testing.T) *model.Machine {
	t.Helper()
	m := model.NewMachine()
	for _, device := range []string{"G1", "E1", "E2"} {
		apply(t, m, model.Change{After: model.Device{Ref: device, Kind: model.KindLamp, Health: model.HealthUnknown}})
		for _, mark := range []string{"1", "2", "+"} {
			apply(t, m, model.Change{After: model.Terminal{Device: device, Mark: mark}})
		}
	}
	apply(t, m, model.Change{After: wire("W1", "G1:+", "E1:1")}, model.Change{After: wire("W2", "G1:+", "E2:1")}, model.Change{After: reading(1, 0.4)})
	return m
}

func apply(t *testing.T, m *model.Machine, changes ...model.Change) {
	t.Helper()
	if err := m.Apply(model.Edit{Changes: changes}); err != nil {
		t.Fatal(err)
	}
}

func change[T model.Row](m *model.Machine, id string, with func(*T)) model.Change {
	var zero T
	before := m.Row(zero.Table(), id).(T)
	after := before
	with(&after)
	return model.Change{Before: before, After: after}
}

func merged(t *testing.T, base, mine, theirs *model.Machine, choose func(Conflict) Choice) (*model.Machine, []Conflict, *Result) {
	t.Helper()
	plan := planned(base, mine, theirs)
	result, err := plan.Decide(choose)
	if err != nil {
		t.Fatal(err)
	}
	out := mine.Clone()
	if err := out.ApplyStored(result.Edit); err != nil {
		t.Fatal(err)
	}
	return out, plan.Conflicts(), result
}

func TestTwoFieldsOfOneRowAreNoConflict(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	apply(t, mine, change(mine, "W1", func(w *model.Wire) { w.Colour = "RD" }))
	apply(t, theirs, change(theirs, "W1", func(w *model.Wire) { w.LengthMetres, w.To = model.Known(2), ref("E1:2") }))
	out, conflicts, _ := merged(t, base, mine, theirs, nil)
	if len(conflicts) > 0 {
		t.Errorf("%+v", conflicts)
	}
	if w, _ := out.Wire("W1"); w.Colour != "RD" || w.LengthMetres != model.Known(2) || w.To != ref("E1:2") {
		t.Errorf("W1 is %+v", w)
	}
}

// Both ends of a wire are one thing: one moved here and one there would be a
// wire that nobody has seen.
func TestBothMovedAWire(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	apply(t, mine, change(mine, "W1", func(w *model.Wire) { w.From, w.Colour = ref("G1:1"), "RD" }))
	apply(t, theirs, change(theirs, "W1", func(w *model.Wire) { w.To, w.Cable = ref("E1:2"), "loom" }))
	for choice, want := range map[Choice][2]string{Mine: {"G1:1", "E1:1"}, Theirs: {"G1:+", "E1:2"}, Both: {"G1:1", "E1:1"}} {
		out, conflicts, _ := merged(t, base, mine, theirs, func(Conflict) Choice { return choice })
		if len(conflicts) != 1 || conflicts[0].Reason != BothChanged || len(conflicts[0].Fields) != 2 || conflicts[0].Fields[0] != "from" || conflicts[0].MayKeepBoth {
			t.Fatalf("%+v", conflicts)
		}
		if w, _ := out.Wire("W1"); w.From != ref(want[0]) || w.To != ref(want[1]) || w.Colour != "RD" || w.Cable != "loom" {
			t.Errorf("by %d W1 is %+v", choice, w)
		}
	}
}

// Wires found on two laptops get one name by chance; the readings that name one
// of them go on naming it.
func TestTwoWiresOfOneName(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	apply(t, mine, model.Change{After: wire("W3", "G1:1", "E1:2")})
	lifted := reading(2, 7)
	lifted.Conditions = model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "W3"})
	apply(t, theirs, model.Change{After: wire("W3", "G1:2", "E2:2")}, model.Change{After: lifted})
	out, conflicts, result := merged(t, base, mine, theirs, nil)
	if len(conflicts) != 1 || !conflicts[0].MayKeepBoth || conflicts[0].Safe() != Both {
		t.Fatalf("%+v", conflicts)
	}
	w, found := out.Wire("W3-2")
	if !found || w.From != ref("G1:2") {
		t.Errorf("theirs is %+v, %v", w, found)
	}
	if r, _ := out.Reading(2); r.Conditions.String() != "lifted W3-2" || result.Origin[2] != 2 {
		t.Errorf("the reading is %+v", r)
	}
}

func TestOneWireFoundTwice(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	apply(t, mine, model.Change{After: wire("W3", "G1:1", "E1:2")})
	lifted := reading(2, 7)
	lifted.Conditions = model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "W4"})
	apply(t, theirs, model.Change{After: wire("W4", "E1:2", "G1:1")}, model.Change{After: lifted})
	out, conflicts, _ := merged(t, base, mine, theirs, nil)
	if len(conflicts) > 0 || len(out.Wires) != 3 {
		t.Errorf("%+v, wires %+v", conflicts, out.Wires)
	}
	if r, _ := out.Reading(2); r.Conditions.String() != "lifted W3" {
		t.Errorf("the reading is %+v", r)
	}
}

// One deleted a lamp, the other wired it and measured there.
func TestWhatIsUsedWasDeleted(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	if err := mine.Apply(mine.DeleteDevices("E1")); err != nil {
		t.Fatal(err)
	}
	apply(t, theirs, model.Change{After: wire("W7", "G1:2", "E1:2")}, model.Change{After: reading(2, 0.5)})
	out, conflicts, result := merged(t, base, mine, theirs, nil)
	if len(conflicts) != 3 || conflicts[0].Reason != Needed || conflicts[0].ID != "E1" || conflicts[0].Mine != nil {
		t.Fatalf("%+v", conflicts)
	}
	if _, there := out.Wire("W1"); !there || len(out.Terminals) != 9 || len(out.Readings) != 2 || len(result.Left) != 0 {
		t.Errorf("kept, but not whole: %+v", out.Rows())
	}
	out, _, result = merged(t, base, mine, theirs, func(Conflict) Choice { return Mine })
	if _, there := out.Device("E1"); there || len(result.Left) != 1 || result.Left[0].Number != 2 || len(result.Away) != 1 || result.Away[0].ID() != "W7" {
		t.Errorf("deleted, but left %+v, away %+v", result.Left, result.Away)
	}
	// The other way round: the receiving file has the reading, which goes with its
	// terminal.
	out, _, result = merged(t, base, theirs, mine, func(Conflict) Choice { return Theirs })
	if len(out.Readings) != 0 || len(result.Left) != 0 {
		t.Errorf("readings %+v, left %+v", out.Readings, result.Left)
	}
}

func TestReadingsOfBothAreKept(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	twice := reading(2, 5)
	apply(t, mine, model.Change{After: twice}, model.Change{After: reading(3, 6)})
	apply(t, theirs, model.Change{After: reading(2, 7)}, change(theirs, "1", func(r *model.Reading) { r.Struck = "slipped" }))
	apply(t, mine, change(mine, "1", func(r *model.Reading) { r.Struck = "doubtful" }))
	undone := reading(3, 9)
	undone.Struck = model.Undone
	apply(t, theirs, model.Change{After: undone})
	out, conflicts, result := merged(t, base, mine, theirs, nil)
	if len(conflicts) > 0 || len(out.Readings) != 4 || len(result.Origin) != 1 || result.Origin[4] != 2 {
		t.Errorf("%+v; readings %+v; origin %v", conflicts, out.Readings, result.Origin)
	}
	if r, _ := out.Reading(1); r.Struck != "doubtful; slipped" {
		t.Errorf("struck for %q", r.Struck)
	}
}

func TestPlacesAreSettled(t *testing.T) {
	base := began(t)
	mine, theirs := base.Clone(), base.Clone()
	place := func(device string, x float64, pinned bool) model.Change {
		return model.Change{After: model.Place{Device: device, X: x, Pinned: pinned}}
	}
	apply(t, mine, place("G1", 1, false), place("E1", 6, true), place("E2", 9, true))
	apply(t, theirs, place("G1", 5, true), place("E1", 4, false), place("E2", 8, true))
	out, conflicts, _ := merged(t, base, mine, theirs, func(Conflict) Choice { return Theirs })
	if len(conflicts) != 1 || conflicts[0].ID != "E2" {
		t.Errorf("%+v", conflicts)
	}
	for device, want := range map[string]float64{"G1": 5, "E1": 6, "E2": 8} {
		if p, _ := out.Place(device); p.X != want {
			t.Errorf("%s stands at %+v, want %g", device, p, want)
		}
	}
}
