package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bellout/model"
)

// noon is the time of every clock in these tests.
var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func fixedClock() time.Time { return noon }

// create makes a project in a folder of its own.
func create(t testing.TB) (*File, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lock.bellout")
	f, err := Create(path, WithClock(fixedClock), WithWait(20*time.Millisecond))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f, path
}

func reopen(t testing.TB, path string, mode Mode) *File {
	t.Helper()
	f, err := Open(path, mode, WithClock(fixedClock), WithWait(20*time.Millisecond))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func ref(text string) model.TerminalRef {
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		panic(err)
	}
	return r
}

func added(rows ...model.Row) (changes []model.Change) {
	for _, row := range rows {
		changes = append(changes, model.Change{After: row})
	}
	return changes
}

// small is a machine with a row or more in every table.
func small() model.Edit {
	number := model.Known
	return model.Edit{What: "small machine", Changes: added(
		model.Setting{Key: model.KeyLeadOhm, Value: "0.3"},
		model.Setting{Key: model.KeyAmpacity, Value: "metric"},
		model.Device{Ref: "G1", Kind: model.KindSupply, Title: "24 V supply", Zone: "base", Health: model.HealthFailed,
			FailedAt: noon.Add(-time.Hour), LimitAmps: number(5), Note: "hums"},
		model.Device{Ref: "E1", Kind: "gate lamp", Health: model.HealthOK, LoadAmps: number(0.25)},
		model.Device{Ref: "S1", Kind: model.KindSwitch, Health: model.HealthUnknown},
		model.Terminal{Device: "G1", Mark: "+", Role: model.RoleRail, Volts: number(24), Section: "a"},
		model.Terminal{Device: "G1", Mark: "-", Role: model.RoleReturn, Section: "a"},
		model.Terminal{Device: "E1", Mark: "+", Role: model.RoleFeed, Volts: number(24), MinVolts: number(20), MaxVolts: number(28)},
		model.Terminal{Device: "E1", Mark: "-", Role: model.RoleReturn},
		model.Terminal{Device: "S1", Mark: "1-a", Role: model.RolePass},
		model.Terminal{Device: "S1", Mark: "2"},
		model.Link{Device: "S1", From: "1-a", To: "2", Kind: model.LinkContact, State: model.StateOpen},
		model.Link{Device: "E1", From: "+", To: "-", Kind: model.LinkResistance, Value: number(96)},
		model.Link{Device: "E1", From: "-", To: "+", Kind: model.LinkDiode},
		model.Wire{Name: "W1", From: ref("G1:+"), To: ref("S1:1-a"), Colour: "RDBU", Gauge: model.Gauge{System: model.GaugeAWG, AWG: -1},
			LengthMetres: number(1.25), Cable: "loom 1", Basis: model.BasisSeen},
		model.Wire{Name: "W2", From: ref("S1:2"), To: ref("E1:+"), Colour: "GNYE", Gauge: model.Gauge{System: model.GaugeMetric, AreaMM2: 0.75},
			Basis: model.BasisPlanned},
		model.Wire{Name: "W3", From: ref("E1:-"), To: ref("G1:-"), Basis: model.BasisProbed, Removed: true},
		model.Bond{From: ref("G1:-"), To: ref("E1:-"), Reason: "one return"},
		model.Reading{At: noon, Red: ref("G1:+"), Black: ref("E1:+"), Mode: model.ModeOhms, Value: model.Value{Number: 0.4}, Drift: model.DriftSteady,
			Conditions: model.NewConditions(
				model.Condition{Kind: model.ContactClosed, Device: "S1", From: "1-a", To: "2"},
				model.Condition{Kind: model.Lifted, Wire: "W3"}), Note: "wobbles", Meter: "M1"},
		model.Reading{Red: ref("G1:+"), Black: ref("G1:-"), Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsSilent}, Struck: "tip slipped"},
		model.Reading{Red: ref("E1:+"), Black: ref("E1:-"), Mode: model.ModeDiode, Value: model.Value{Kind: model.ShowsOL}},
	)}
}

// large is a machine of many devices: a chain of blocks with a fuse, a contact
// or a coil between the marks of each.
func large(devices, marks, readings int) model.Edit {
	changes := make([]model.Change, 0, devices*marks*3+readings)
	add := func(row model.Row) { changes = append(changes, model.Change{After: row}) }
	mark := func(i int) string { return fmt.Sprint(i + 1) }
	var last model.TerminalRef
	wires := 0
	for d := range devices {
		device := fmt.Sprintf("X%d", d+1)
		add(model.Device{Ref: device, Kind: model.KindTerminalBlock, Title: "block of bay " + fmt.Sprint(d%40), Zone: "bay", Health: model.HealthUnknown})
		for i := range marks {
			add(model.Terminal{Device: device, Mark: mark(i), Role: model.RolePass})
			here := model.TerminalRef{Device: device, Mark: mark(i)}
			if i%2 == 1 {
				add(model.Link{Device: device, From: mark(i - 1), To: mark(i), Kind: model.LinkFuse, Value: model.Known(2)})
			}
			if i > 1 {
				add(model.Link{Device: device, From: mark(i - 2), To: mark(i), Kind: model.LinkContact, State: model.StateOpen})
			}
			if last.Device != "" {
				wires++
				add(model.Wire{Name: fmt.Sprintf("W%d", wires), From: last, To: here, Colour: "RD", Basis: model.BasisPlanned,
					Gauge: model.Gauge{System: model.GaugeMetric, AreaMM2: 0.75}, LengthMetres: model.Known(0.5 + float64(i)/8), Cable: "loom"})
			}
			last = here
		}
	}
	for r := range readings {
		device := fmt.Sprintf("X%d", r%devices+1)
		add(model.Reading{Number: int64(r + 1), At: noon.Add(time.Duration(r) * time.Second), Red: model.TerminalRef{Device: device, Mark: mark(r % (marks - 1))},
			Black: model.TerminalRef{Device: device, Mark: mark(marks - 1)}, Mode: model.ModeOhms, Value: model.Value{Number: float64(r % 97)}, Meter: "M1"})
	}
	return model.Edit{What: "large machine", Changes: changes}
}

// same compares whole machines: rows, what stored them, and touches.
func same(t testing.TB, got, want *model.Machine, when string) {
	t.Helper()
	if diff := difference(got, want); diff != "" {
		t.Fatalf("%s: %s", when, diff)
	}
}

func difference(got, want *model.Machine) string {
	if !got.Equal(want) {
		a, b := got.Sorted().Rows(), want.Sorted().Rows()
		for i := 0; i < len(a) || i < len(b); i++ {
			switch {
			case i >= len(a):
				return fmt.Sprintf("missing %s %+v", b[i].Table(), b[i])
			case i >= len(b):
				return fmt.Sprintf("surplus %s %+v", a[i].Table(), a[i])
			case fmt.Sprintf("%+v", a[i]) != fmt.Sprintf("%+v", b[i]):
				return fmt.Sprintf("got  %s %+v\nwant %s %+v", a[i].Table(), a[i], b[i].Table(), b[i])
			}
		}
		return "not equal"
	}
	for _, reading := range want.Readings {
		if now, _ := got.Reading(reading.Number); now.Stored != reading.Stored {
			return fmt.Sprintf("reading %d was stored by row %d, want %d", reading.Number, now.Stored, reading.Stored)
		}
	}
	if a, b := fmt.Sprint(touchSet(got)), fmt.Sprint(touchSet(want)); a != b {
		return fmt.Sprintf("touches %s, want %s", a, b)
	}
	return ""
}

func touchSet(m *model.Machine) map[model.PathChange]int {
	set := map[model.PathChange]int{}
	for _, touch := range m.Touches {
		set[touch]++
	}
	return set
}

// check runs SQLite's own checks and what the schema cannot say.
func check(t testing.TB, f *File) {
	t.Helper()
	if problem := checkFile(f); problem != "" {
		t.Fatal(problem)
	}
}

func checkFile(f *File) string {
	for _, query := range []struct{ sql, want string }{
		{"PRAGMA integrity_check", "ok"},
		{"SELECT count(*) || '' FROM pragma_foreign_key_check", "0"},
		{"SELECT count(*) || '' FROM journal WHERE id NOT IN (SELECT id FROM edits)", "0"},
		{"SELECT count(*) || '' FROM journal a JOIN journal b ON a.id < b.id WHERE a.state = 'undone' AND b.state = 'done'", "0"},
		{`SELECT count(*) || '' FROM readings r JOIN terminals t ON t.id = r.red_terminal JOIN devices d ON d.id = t.device
			WHERE d.device || ':' || t.terminal <> r.red`, "0"},
		{`SELECT count(*) || '' FROM readings r JOIN terminals t ON t.id = r.black_terminal JOIN devices d ON d.id = t.device
			WHERE d.device || ':' || t.terminal <> r.black`, "0"},
	} {
		var got string
		if err := f.c.each(query.sql, 1, func(row *cells) error { got = row.text(0); return nil }); err != nil {
			return query.sql + ": " + err.Error()
		}
		if got != query.want {
			return fmt.Sprintf("%s: %s, want %s", query.sql, got, query.want)
		}
	}
	loaded, err := loadState(f.c)
	if err != nil {
		return err.Error()
	}
	if diff := difference(f.machine, loaded.machine); diff != "" {
		return "memory and disk differ: " + diff
	}
	return ""
}

// keepALog has a file keep what it writes in a log beside it, as versions before
// did.
func keepALog(t testing.TB, f *File) {
	t.Helper()
	must(t, f.c.script("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL"))
	_, err := f.Refresh()
	must(t, err)
}

func companions(path string) (there []string) {
	for _, suffix := range []string{walSuffix, shmSuffix, rollbackSuffix} {
		if _, err := os.Stat(path + suffix); err == nil {
			there = append(there, suffix)
		}
	}
	return there
}
