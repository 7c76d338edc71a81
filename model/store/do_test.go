package store

import (
	"errors"
	"testing"
	"time"

	"bellout/model"
)

func reading(red, black string) model.Reading {
	return model.Reading{At: noon, Red: ref(red), Black: ref(black), Mode: model.ModeOhms, Value: model.Value{Number: 1.5}}
}

func device(name string, marks ...string) (rows []model.Row) {
	rows = append(rows, model.Device{Ref: name, Kind: model.KindLamp, Health: model.HealthOK})
	for _, mark := range marks {
		rows = append(rows, model.Terminal{Device: name, Mark: mark})
	}
	return rows
}

func wire(name, from, to string) model.Wire {
	return model.Wire{Name: name, From: ref(from), To: ref(to), Basis: model.BasisPlanned}
}

type step struct {
	name string
	do   func(f *File) error
}

// steps is one edit of each kind that version 1 knew, each on top of the ones
// before.
func steps() []step {
	edit := func(what string, changes ...model.Change) func(*File) error {
		return func(f *File) error { return f.Do(model.Edit{What: what, Changes: changes}) }
	}
	replaced := func(table model.Table, id string, with func(model.Row) model.Row) func(*File) error {
		return func(f *File) error {
			row := f.machine.Row(table, id)
			return f.Do(model.Edit{What: id + " changed", Changes: []model.Change{{Before: row, After: with(row)}}})
		}
	}
	dropped := func(table model.Table, ids ...string) func(*File) error {
		return func(f *File) error {
			var changes []model.Change
			for _, id := range ids {
				changes = append(changes, model.Change{Before: f.machine.Row(table, id)})
			}
			return f.Do(model.Edit{What: "dropped", Changes: changes})
		}
	}
	return []step{
		{"import", func(f *File) error { return f.Do(small()) }},
		{"setting changed", replaced(model.TableSetting, model.KeyLeadOhm, func(row model.Row) model.Row {
			setting := row.(model.Setting)
			setting.Value = "0.25"
			return setting
		})},
		{"device added", edit("H1", added(device("H1", "1", "2")...)...)},
		{"device changed", replaced(model.TableDevice, "H1", func(row model.Row) model.Row {
			lamp := row.(model.Device)
			lamp.Health, lamp.FailedAt = model.HealthFailed, noon.In(time.FixedZone("", 7200))
			return lamp
		})},
		{"terminal changed", replaced(model.TableTerminal, "H1:1", func(row model.Row) model.Row {
			terminal := row.(model.Terminal)
			terminal.Role, terminal.Volts = model.RoleFeed, model.Known(24)
			return terminal
		})},
		{"link added", edit("link", added(model.Link{Device: "H1", From: "1", To: "2", Kind: model.LinkResistance, Value: model.Known(96)})...)},
		{"link turned", replaced(model.TableLink, "H1:1:2:resistance", func(row model.Row) model.Row {
			link := row.(model.Link)
			link.From, link.To, link.Value = link.To, link.From, model.Optional{}
			return link
		})},
		{"wire added", edit("W9", added(wire("W9", "H1:1", "G1:+"))...)},
		{"wire moved", replaced(model.TableWire, "W9", func(row model.Row) model.Row {
			moved := row.(model.Wire)
			moved.To, moved.Colour, moved.Gauge = ref("S1:2"), "RD", model.Gauge{System: model.GaugeMetric, AreaMM2: 1.5}
			return moved
		})},
		{"wires exchange their names", func(f *File) error {
			a, _ := f.machine.Wire("W1")
			b, _ := f.machine.Wire("W2")
			c, d, spare := a, b, a
			spare.Name, c.Name, d.Name = "spare", "W2", "W1"
			return f.Do(model.Edit{What: "exchange", Changes: []model.Change{{Before: a, After: spare}, {Before: b, After: d}, {Before: spare, After: c}}})
		}},
		{"device renamed", func(f *File) error {
			var changes []model.Change
			for _, row := range []model.Row{
				f.machine.Row(model.TableDevice, "H1"), f.machine.Row(model.TableTerminal, "H1:1"), f.machine.Row(model.TableTerminal, "H1:2"),
				f.machine.Row(model.TableLink, "H1:1:2:resistance"), f.machine.Row(model.TableWire, "W9"),
			} {
				change := model.Change{Before: row}
				switch row := row.(type) {
				case model.Device:
					row.Ref = "H2"
					change.After = row
				case model.Terminal:
					row.Device = "H2"
					change.After = row
				case model.Link:
					row.Device = "H2"
					change.After = row
				case model.Wire:
					row.From.Device = "H2"
					change.After = row
				}
				changes = append([]model.Change{change}, changes...) // wires first, the device last
			}
			return f.Do(model.Edit{What: "H1 is H2", Changes: changes})
		}},
		{"bond turned", replaced(model.TableBond, "E1:- G1:-", func(row model.Row) model.Row {
			bond := row.(model.Bond)
			bond.From, bond.To, bond.Reason = bond.To, bond.From, "still one return"
			return bond
		})},
		{"reading logged", func(f *File) error { _, err := f.Log(reading("H2:1", "H2:2")); return err }},
		{"discovery logged", func(f *File) error {
			_, err := f.Log(reading("H2:2", "G1:-"), added(model.Wire{Name: "W10", From: ref("H2:2"), To: ref("G1:-"), Basis: model.BasisProbed})...)
			return err
		}},
		{"reading struck", func(f *File) error { return f.Strike(3, "the tip slipped") }},
		{"wire and link dropped", func(f *File) error {
			return f.Do(model.Edit{What: "out", Changes: []model.Change{
				{Before: f.machine.Row(model.TableWire, "W9")}, {Before: f.machine.Row(model.TableLink, "H2:1:2:resistance")}}})
		}},
		{"device dropped with its readings", func(f *File) error {
			return f.Do(model.Edit{What: "H2 dropped", Changes: []model.Change{
				{Before: f.machine.Row(model.TableDevice, "H2")}, {Before: f.machine.Row(model.TableTerminal, "H2:1")}, {Before: f.machine.Row(model.TableTerminal, "H2:2")},
				{Before: f.machine.Row(model.TableWire, "W10")}, {Before: f.machine.Row(model.TableReading, "4")}, {Before: f.machine.Row(model.TableReading, "5")}}})
		}},
		{"setting and bond dropped", func(f *File) error {
			if err := dropped(model.TableSetting, model.KeyLeadOhm)(f); err != nil {
				return err
			}
			return dropped(model.TableBond, "E1:- G1:-")(f)
		}},
		{"undo", func(f *File) error { _, err := f.Undo(); return err }},
		{"redo", func(f *File) error { _, err := f.Redo(); return err }},
	}
}

// Every kind of edit reaches the disk whole, and all the way back and forth
// leads through the same machines.
func TestEveryKindOfEdit(t *testing.T) {
	f, path := create(t)
	for _, step := range allSteps() {
		if err := step.do(f); err != nil {
			t.Fatalf("%s: %v", step.name, err)
		}
		check(t, f)
		must(t, f.Close())
		f = reopen(t, path, ReadWrite)
	}
	last := f.Machine().Clone()
	var back []*model.Machine
	for {
		back = append(back, f.Machine().Clone())
		if _, err := f.Undo(); errors.Is(err, ErrNothingToUndo) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		check(t, f)
	}
	for _, rows := range []int{len(f.Machine().Devices), len(f.Machine().Wires), len(f.Machine().Readings)} {
		if rows != 0 {
			t.Errorf("after undoing everything the machine holds %+v", f.Machine().Rows())
		}
	}
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	for at := len(back) - 2; at >= 0; at-- {
		if _, err := f.Redo(); err != nil {
			t.Fatal(err)
		}
		if diff := difference(withoutUndone(f.Machine()), withoutUndone(back[at])); diff != "" {
			t.Fatalf("redo %d: %s", at, diff)
		}
	}
	same(t, f.Machine(), last, "after undoing and redoing everything")
	check(t, f)
}

// withoutUndone leaves out what Undo struck: there alone the way back differs.
func withoutUndone(m *model.Machine) *model.Machine {
	out := m.Clone()
	for _, r := range m.Readings {
		if r.Struck == Undone {
			if err := out.Apply(model.Edit{Changes: []model.Change{{Before: r}}}); err != nil {
				panic(err)
			}
		}
	}
	return out
}

func TestAnEditThatIsRefusedChangesNothing(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	want := f.Machine().Clone()
	cases := map[string][]model.Change{
		"a wire to nowhere": added(model.Device{Ref: "H1", Health: model.HealthOK}, wire("W8", "G1:+", "K9:1")),
		"a name twice":      added(model.Device{Ref: "H1", Health: model.HealthOK}, wire("W1", "G1:+", "E1:+")),
		"a bad row":         added(model.Device{Ref: "H 1", Health: model.HealthOK}),
		"a row changed since": {{Before: model.Wire{Name: "W1", From: ref("G1:+"), To: ref("E1:-"), Basis: model.BasisPlanned},
			After: wire("W1", "G1:+", "E1:+")}},
		"a reading changed": {{Before: f.Machine().Row(model.TableReading, "1"), After: func() model.Row {
			r, _ := f.Machine().Reading(1)
			r.Value.Number = 7
			return r
		}()}},
		"a reading deleted": {{Before: f.Machine().Row(model.TableReading, "1")}},
	}
	for name, changes := range cases {
		err := f.Do(model.Edit{What: name, Changes: changes})
		var row *model.RowError
		if !errors.As(err, &row) {
			t.Errorf("%s: %v", name, err)
		}
		same(t, f.Machine(), want, name)
		check(t, f)
	}
	if err := f.Strike(1, " "); err == nil {
		t.Error("struck out without a reason")
	}
	if err := f.Strike(2, "again"); err == nil {
		t.Error("struck out twice")
	}
	if err := f.Strike(99, "not there"); err == nil {
		t.Error("a reading that is not there was struck out")
	}
	must(t, f.Do(model.Edit{What: "nothing"}))
	if rows, err := f.Journal(0); err != nil || len(rows) != 1 || rows[0].What != "small machine" || !rows[0].At.Equal(noon) || rows[0].Changes != len(small().Changes) {
		t.Errorf("journal %+v, %v", rows, err)
	}
}

func TestJournalHoldsTheEdit(t *testing.T) {
	for _, edit := range []model.Edit{small(), large(30, 10, 20)} { // kept plain, and compressed
		f, _ := create(t)
		must(t, f.Do(edit))
		got, err := f.JournalEdit(1)
		must(t, err)
		if len(got.Changes) != len(edit.Changes) || got.What != edit.What {
			t.Fatalf("%d changes of %q, want %d of %q", len(got.Changes), got.What, len(edit.Changes), edit.What)
		}
		rebuilt := model.NewMachine()
		must(t, rebuilt.Apply(got))
		if !rebuilt.Equal(f.Machine()) {
			t.Error("the edit of the journal makes another machine")
		}
	}
	f, _ := create(t)
	if _, err := f.JournalEdit(7); err == nil {
		t.Error("a journal row that is not there was read")
	}
}

func TestUndoStrikesReadingsAndNewEditsDropTheRest(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	number, err := f.Log(reading("G1:+", "E1:-"), added(model.Wire{Name: "W7", From: ref("G1:+"), To: ref("E1:-"), Basis: model.BasisProbed})...)
	must(t, err)
	if now, _ := f.Machine().Reading(number); number != 4 || now.Stored != rankOf(2) {
		t.Fatalf("reading %d: %+v", number, now)
	}
	if what, err := f.Undo(); err != nil || what == "" {
		t.Fatalf("undo: %q, %v", what, err)
	}
	if now, there := f.Machine().Reading(number); !there || now.Struck != Undone {
		t.Errorf("after undo: %+v", now)
	}
	if _, there := f.Machine().Wire("W7"); there {
		t.Error("the wire of the discovery stayed")
	}
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	if _, err := f.Redo(); err != nil {
		t.Fatal(err)
	}
	if now, _ := f.Machine().Reading(number); !now.Stands() {
		t.Errorf("after redo: %+v", now)
	}
	_, err = f.Undo()
	must(t, err)
	next, err := f.Log(reading("G1:+", "S1:2"))
	must(t, err)
	if next != 5 {
		t.Errorf("number %d was given, want 5: numbers are never given twice", next)
	}
	if _, err := f.Redo(); !errors.Is(err, ErrNothingToRedo) {
		t.Errorf("redo after a new edit: %v", err)
	}
	rows, err := f.Journal(2)
	must(t, err)
	if len(rows) != 2 || rows[0].ID != 3 || rows[0].State != Done || rows[1].State != Dropped {
		t.Errorf("journal %+v", rows)
	}
	check(t, f)
}

// A reading outlives the terminals that undo takes away: it is in the file,
// comes back with them, and its number stays its own.
func TestReadingsOutliveTheirTerminals(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Do(model.Edit{What: "H1", Changes: added(device("H1", "1", "2")...)}))
	number, err := f.Log(reading("H1:1", "H1:2"))
	must(t, err)
	for range 2 {
		_, err = f.Undo()
		must(t, err)
	}
	if _, here := f.Machine().Reading(number); here {
		t.Error("a reading of terminals that are gone is in the machine")
	}
	if away, err := f.c.number("SELECT count(*) FROM readings WHERE reading = ? AND struck = 'undone' AND away = 2", number); err != nil || away != 1 {
		t.Errorf("the reading left the file: %d, %v", away, err)
	}
	check(t, f)
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	for range 2 {
		_, err = f.Redo()
		must(t, err)
		check(t, f)
	}
	if now, here := f.Machine().Reading(number); !here || !now.Stands() || now.Stored != rankOf(3) {
		t.Errorf("after redo: %v %+v", here, now)
	}
	// Undone, and then dropped for good: its number is not given again.
	for range 3 {
		_, err = f.Undo()
		must(t, err)
	}
	again := small()
	must(t, f.Do(again))
	if got := f.Machine().Sorted().Readings[0].Number; got != 5 {
		t.Errorf("an import after an undone one counts from %d, want 5", got)
	}
	if count, err := f.c.number("SELECT count(*) FROM readings"); err != nil || count != 7 {
		t.Errorf("%d readings in the file, want 7", count)
	}
	check(t, f)
}

func TestAReadingMayNameALinkThatIsGone(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small())) // reading 1 was taken with S1:1-a-2 closed
	link := f.Machine().Row(model.TableLink, "S1:1-a:2:contact")
	must(t, f.Do(model.Edit{What: "contact dropped", Changes: []model.Change{{Before: link}}}))
	want := f.Machine().Clone()
	must(t, f.Do(model.Edit{What: "S1 dropped", Changes: []model.Change{
		{Before: f.Machine().Row(model.TableWire, "W1")}, {Before: f.Machine().Row(model.TableWire, "W2")},
		{Before: f.Machine().Row(model.TableTerminal, "S1:1-a")}, {Before: f.Machine().Row(model.TableTerminal, "S1:2")},
		{Before: f.Machine().Row(model.TableDevice, "S1")}}}))
	must(t, f.Close())
	f = reopen(t, path, ReadWrite)
	_, err := f.Undo()
	must(t, err)
	same(t, f.Machine(), want, "after undo")
}
