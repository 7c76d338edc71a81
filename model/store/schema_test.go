package store

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/mattn/go-sqlite3"

	"bellout/model"
)

// The schema and Validate say the same: every row that Validate refuses is
// refused by SQLite too when it is written past the model. Text that is no
// UTF-8, keys in the wrong order of a colour and numbers that are almost
// numbers are left to Validate: SQL has no words for them.
func TestTheSchemaRefusesWhatValidateRefuses(t *testing.T) {
	long := strings.Repeat("x", model.MaxTextLength+1)
	longName := strings.Repeat("x", model.MaxNameLength+1)
	setting := model.Setting{Key: model.KeyLeadOhm, Value: "0.2"}
	dev := model.Device{Ref: "K1", Kind: model.KindRelay, Health: model.HealthOK}
	terminal := model.Terminal{Device: "G1", Mark: "5"}
	link := model.Link{Device: "S1", From: "2", To: "1-a", Kind: model.LinkFuse}
	wired := wire("W9", "G1:+", "E1:+")
	bond := model.Bond{From: ref("G1:+"), To: ref("E1:+")}
	touched := reading("G1:+", "E1:+")
	touched.Number, touched.Stored = 99, rankOf(1)
	place := model.Place{Device: "E1"}
	event := model.Event{Device: "E1", Word: model.EventFailed, At: noon, Note: "open"}
	symptom := model.Symptom{At: noon, Device: "E1", Word: model.SymptomDead}
	template := model.Template{Name: "gate driver", Definition: "driver"}
	photo, err := model.InspectPhoto(picture(1))
	must(t, err)
	photo.Device = "E1"
	cases := map[string][]model.Row{
		"place": {with(place, func(p *model.Place) { p.X = 1e7 }), with(place, func(p *model.Place) { p.Y = math.Inf(-1) })},
		"history": {
			with(event, func(e *model.Event) { e.Word = "mended" }), with(event, func(e *model.Event) { e.Word = "" }),
			with(event, func(e *model.Event) { e.Note = long }), with(event, func(e *model.Event) { e.Note = "a\x00b" }),
			with(event, func(e *model.Event) { e.Word, e.At = model.EventReplaced, time.Time{} }),
		},
		"symptom": {
			with(symptom, func(s *model.Symptom) { s.Word = "odd" }), with(symptom, func(s *model.Symptom) { s.Word = "" }),
			with(symptom, func(s *model.Symptom) { s.At = time.Time{} }), with(symptom, func(s *model.Symptom) { s.When = long }),
			with(symptom, func(s *model.Symptom) { s.Note = long }), with(symptom, func(s *model.Symptom) { s.Struck = "a\x00b" }),
		},
		"template": {
			with(template, func(m *model.Template) { m.Name = "" }), with(template, func(m *model.Template) { m.Name = " a" }),
			with(template, func(m *model.Template) { m.Name = "a\nb" }), with(template, func(m *model.Template) { m.Name = "a\x00b" }),
			with(template, func(m *model.Template) { m.Name = longName }), with(template, func(m *model.Template) { m.Definition = long }),
			with(template, func(m *model.Template) { m.Definition = " \n" }), with(template, func(m *model.Template) { m.Definition = "a\x00b" }),
		},
		"photo": {
			with(photo, func(p *model.Photo) { p.Hash = "0a" }), with(photo, func(p *model.Photo) { p.Hash = strings.Repeat("G", 64) }),
			with(photo, func(p *model.Photo) { p.Face = long }), with(photo, func(p *model.Photo) { p.Caption = "\x00" }),
			with(photo, func(p *model.Photo) { p.Format = "gif" }), with(photo, func(p *model.Photo) { p.SizeBytes = 0 }),
			with(photo, func(p *model.Photo) { p.SizeBytes = model.MaxPhotoBytes + 1 }), with(photo, func(p *model.Photo) { p.Width = 0 }),
			with(photo, func(p *model.Photo) { p.Height = model.MaxPhotoSide + 1 }), with(photo, func(p *model.Photo) { p.Width, p.Height = 11000, 11000 }),
			with(photo, func(p *model.Photo) { p.TurnDegrees = 45 }), with(photo, func(p *model.Photo) { p.Pins = "a\x00b 1 2" }),
		},
		"setting": {
			with(setting, func(s *model.Setting) { s.Key = "colour" }), with(setting, func(s *model.Setting) { s.Value = "" }),
			with(setting, func(s *model.Setting) { s.Value = "-1" }), with(setting, func(s *model.Setting) { s.Value = "1e9" }),
			with(setting, func(s *model.Setting) { s.Value = "two" }), model.Setting{Key: model.KeyAmpacity, Value: long},
			model.Setting{Key: model.KeyDropLimitPercent, Value: "101"}, model.Setting{Key: model.KeyAmbientC, Value: "-91"},
		},
		"device": {
			with(dev, func(d *model.Device) { d.Health = "poorly" }), with(dev, func(d *model.Device) { d.Title = long }),
			with(dev, func(d *model.Device) { d.Title = "a\x00b" }), with(dev, func(d *model.Device) { d.LoadAmps = model.Known(-1) }),
			with(dev, func(d *model.Device) { d.LimitAmps = model.Known(math.Inf(1)) }), with(dev, func(d *model.Device) { d.Note = long }),
			with(dev, func(d *model.Device) { d.Kind = model.DeviceKind(long) }), with(dev, func(d *model.Device) { d.Zone = "\x00" }),
		},
		"terminal": {
			with(terminal, func(m *model.Terminal) { m.Role = "rails" }), with(terminal, func(m *model.Terminal) { m.Volts = model.Known(math.Inf(-1)) }),
			with(terminal, func(m *model.Terminal) { m.MinVolts, m.MaxVolts = model.Known(2), model.Known(1) }),
			with(terminal, func(m *model.Terminal) { m.Section = long }), with(terminal, func(m *model.Terminal) { m.Device = "" }),
		},
		"link": {
			with(link, func(l *model.Link) { l.From = "1-a" }), with(link, func(l *model.Link) { l.Kind = "copper" }),
			with(link, func(l *model.Link) { l.Value = model.Known(-1) }), with(link, func(l *model.Link) { l.State = "ajar" }),
			with(link, func(l *model.Link) { l.Kind, l.State = model.LinkSolid, model.StateOpen }),
		},
		"wire": {
			with(wired, func(w *model.Wire) { w.To = w.From }), with(wired, func(w *model.Wire) { w.Colour = "REDDISH" }),
			with(wired, func(w *model.Wire) { w.Colour = "R" }), with(wired, func(w *model.Wire) { w.Colour = "rd" }), with(wired, func(w *model.Wire) { w.Colour = "RD." }),
			with(wired, func(w *model.Wire) { w.Gauge = model.Gauge{System: model.GaugeAWG, AWG: 41} }),
			with(wired, func(w *model.Wire) { w.Gauge = model.Gauge{System: model.GaugeAWG, AWG: -4} }),
			with(wired, func(w *model.Wire) { w.Gauge = model.Gauge{System: model.GaugeMetric, AreaMM2: 0} }),
			with(wired, func(w *model.Wire) { w.Gauge = model.Gauge{System: model.GaugeMetric, AreaMM2: 1001} }),
			with(wired, func(w *model.Wire) { w.LengthMetres = model.Known(-0.1) }), with(wired, func(w *model.Wire) { w.Cable = long }),
			with(wired, func(w *model.Wire) { w.Basis = "guessed" }), with(wired, func(w *model.Wire) { w.Basis = "" }),
		},
		"bond": {with(bond, func(b *model.Bond) { b.To = b.From }), with(bond, func(b *model.Bond) { b.Reason = long })},
		"reading": {
			with(touched, func(r *model.Reading) { r.Black = r.Red }), with(touched, func(r *model.Reading) { r.Mode = "amps" }),
			with(touched, func(r *model.Reading) { r.Value.Kind = model.ShowsBeep }), with(touched, func(r *model.Reading) { r.Mode = model.ModeContinuity }),
			with(touched, func(r *model.Reading) { r.Mode, r.Value.Kind = model.ModeVoltsDC, model.ShowsOL }),
			with(touched, func(r *model.Reading) { r.Value.Number = math.Inf(1) }), with(touched, func(r *model.Reading) { r.Drift = "wild" }),
			with(touched, func(r *model.Reading) { r.Note = long }), with(touched, func(r *model.Reading) { r.Struck = "\x00" }),
		},
	}
	for _, bad := range []string{"", longName, "a b", "a\tb", "a;b", "a:b", "a\u00a0b", "a\u2003b", "a\x7fb", "a\u0085b", "a\x00b", "ü b", "\u3000"} {
		cases["device"] = append(cases["device"], with(dev, func(d *model.Device) { d.Ref = bad }))
		cases["terminal"] = append(cases["terminal"], with(terminal, func(m *model.Terminal) { m.Mark = bad }))
		cases["wire"] = append(cases["wire"], with(wired, func(w *model.Wire) { w.Name = bad }))
	}
	f, _ := create(t)
	must(t, f.Do(small()))
	write := func(row model.Row) error {
		must(t, f.c.begin())
		defer func() { must(t, f.c.rollback()) }()
		if row.Table() == model.TableSetting {
			_, err := f.c.exec("DELETE FROM settings")
			must(t, err)
		}
		must(t, insertPicture(f.c, picture(1)))
		w := newWriter(f.c, 1, 3)
		if err := w.add(row); err != nil {
			return err
		}
		return f.c.script("COMMIT")
	}
	for _, good := range []model.Row{setting, dev, terminal, link, wired, bond, touched, event, with(event, func(e *model.Event) { e.At = time.Time{} }), place, template, photo,
		with(template, func(m *model.Template) { m.Name = "gate driver, 8 outputs: ü" }), with(place, func(p *model.Place) { p.X, p.Pinned = -1e6, true }),
		with(dev, func(d *model.Device) { d.Ref = strings.Repeat("ü", 250) }), with(dev, func(d *model.Device) { d.Ref = "Q1.ü/→" }),
		with(dev, func(d *model.Device) { d.Title = strings.Repeat("ü", model.MaxTextLength/2) }),
		with(wired, func(w *model.Wire) { w.Colour = "OGYE" }), with(wired, func(w *model.Wire) { w.Colour = "YEGNBU" }), with(wired, func(w *model.Wire) { w.Colour = "GDTQSR" })} {
		if err := func() error {
			must(t, f.c.begin())
			defer func() { must(t, f.c.rollback()) }()
			_, err := f.c.exec("DELETE FROM settings")
			must(t, err)
			must(t, insertPicture(f.c, picture(1)))
			return newWriter(f.c, 1, 3).add(good)
		}(); err != nil {
			t.Errorf("a good %s was refused: %v", good.Table(), err)
		}
	}
	for table, rows := range cases {
		for _, row := range rows {
			text := fmt.Sprintf("%s %.60q", table, fmt.Sprintf("%+v", row))
			if len(row.Validate()) == 0 {
				t.Errorf("Validate takes %s", text)
			}
			if err := write(row); err == nil {
				t.Errorf("SQLite takes %s", text)
			}
		}
	}
}

func with[T model.Row](row T, change func(*T)) model.Row {
	change(&row)
	return row
}

// What no Validate of a row can see, the schema holds too.
func TestTheSchemaHoldsTheWhole(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	must(t, f.Do(model.Edit{What: "placed", Changes: added(model.Place{Device: "G1"})}))
	must(t, f.NoteCaution(noon, ""))
	_, err := f.AddPhoto(model.Photo{Device: "G1"}, picture(1))
	must(t, err)
	for name, statement := range map[string]string{
		"a reading changed":           "UPDATE readings SET value = 7 WHERE reading = 1",
		"a reading renumbered":        "UPDATE readings SET reading = 77 WHERE reading = 1",
		"a reading deleted":           "DELETE FROM readings WHERE reading = 1",
		"a reading of nowhere":        "UPDATE readings SET red_terminal = 999 WHERE reading = 1",
		"a reading half away":         "UPDATE readings SET red_terminal = NULL WHERE reading = 1",
		"a journal row changed":       "UPDATE journal SET what = 'nothing'",
		"a journal row deleted":       "DELETE FROM journal",
		"an edit changed":             "UPDATE edits SET body = x'00'",
		"an edit deleted":             "DELETE FROM edits",
		"a device deleted alone":      "DELETE FROM devices WHERE device = 'G1'",
		"a terminal deleted alone":    "DELETE FROM terminals WHERE terminal = '1-a'",
		"a device twice":              "INSERT INTO devices (device, kind, title, zone, health, failed_at, note) VALUES ('G1', '', '', '', 'ok', '', '')",
		"a link across devices":       "UPDATE links SET to_terminal = (SELECT id FROM terminals WHERE terminal = '1-a') WHERE kind = 'resistance'",
		"a link twice, turned":        "INSERT INTO links (device, from_terminal, to_terminal, kind, state) SELECT device, to_terminal, from_terminal, kind, state FROM links WHERE kind = 'contact'",
		"a bond twice, turned":        "INSERT INTO bonds (from_terminal, to_terminal, reason) SELECT to_terminal, from_terminal, '' FROM bonds",
		"a wire twice":                "UPDATE wires SET wire = 'W1'",
		"a number that is a text":     "UPDATE wires SET length_m = 'long'",
		"a picture deleted":           "DELETE FROM pictures",
		"a picture changed":           "UPDATE pictures SET body = x'00'",
		"a photo without a picture":   "UPDATE photos SET hash = replace(hash, 'a', 'b')",
		"a photo of no device":        "UPDATE photos SET device = 999",
		"a photo twice":               "INSERT INTO photos SELECT 99, device, hash, '', '', '', format, size_bytes, width, height, turn, pins FROM photos",
		"a place of no device":        "UPDATE places SET device = 999",
		"a caution taken away":        "DELETE FROM cautions",
		"a caution changed":           "UPDATE cautions SET session = 'x'",
		"a touch of no journal row":   "INSERT INTO touches VALUES (99, 'G1:+', 'G1:-', NULL, NULL)",
		"a reading of no journal row": "INSERT INTO readings SELECT 99, 99, at, red, black, red_terminal, black_terminal, away, mode, shows, value, drift, conditions, note, meter, struck, NULL FROM readings WHERE reading = 1",
		"a reading of another rank":   "UPDATE readings SET rank = 0 WHERE reading = 1",
		"a touch of the future":       "INSERT INTO touches VALUES (1, 'G1:+', 'G1:-', 4398046511104, NULL)",
		"a move taken away":           "DELETE FROM moves",
		"a move changed":              "UPDATE moves SET way = 'undo'",
		"a move of no journal row":    "INSERT INTO moves SELECT 99, 99, way, at, lower(hex(randomblob(16))), form, readings FROM moves",
		"a move twice":                "INSERT INTO moves SELECT 99, journal, way, at, uid, form, readings FROM moves",
		"a second lineage":            "INSERT INTO project VALUES (2, 'x')",
		"a state of no name":          "INSERT INTO states VALUES (9, ' ', '', 0)",
	} {
		must(t, f.c.begin())
		_, err := f.c.exec(statement)
		if err == nil {
			err = f.c.commit()
		}
		var low sqlite3.Error
		if !errors.As(err, &low) || low.Code != sqlite3.ErrConstraint {
			t.Errorf("%s: %v", name, err)
		}
		must(t, f.c.rollback())
	}
	check(t, f)
}

// later adds a version to the schema for one test.
func later(t *testing.T, scripts ...string) {
	was := migrations
	migrations = append(append([]string{}, was...), scripts...)
	t.Cleanup(func() { migrations = was })
}

const laterScript = "ALTER TABLE devices ADD COLUMN maker TEXT NOT NULL DEFAULT ''; CREATE TABLE rooms (id INTEGER PRIMARY KEY) STRICT; DROP INDEX bonds_to"

func TestAnOlderFileIsBroughtUpToDate(t *testing.T) {
	path, old := project(t)
	want := reopen(t, path, ReadOnly).Machine().Clone()
	later(t, laterScript)
	before := folder(t, filepath.Dir(path))

	f := reopen(t, path, ReadOnly)
	same(t, f.Machine(), want, "read only")
	must(t, f.Close())
	if folder(t, filepath.Dir(path)) != before {
		t.Fatal("reading changed the folder")
	}

	f = reopen(t, path, ReadWrite)
	same(t, f.Machine(), want, "brought up to date")
	if version, err := f.c.number("PRAGMA user_version"); err != nil || version != int64(len(migrations)) {
		t.Errorf("version %d, %v", version, err)
	}
	if on, err := f.c.number("PRAGMA foreign_keys"); err != nil || on != 1 {
		t.Errorf("foreign keys %d, %v", on, err)
	}
	_, err := f.Undo()
	must(t, err)
	check(t, f)
	must(t, f.Close())

	last := len(migrations) - 1
	kept := fmt.Sprintf("%s.v%d.bellout", strings.TrimSuffix(path, ".bellout"), last)
	seen, err := lookAt(kept)
	if err != nil || seen.version != last {
		t.Fatalf("the copy: %+v, %v", seen, err)
	}
	// A second old file of that name keeps its copy under another name.
	must(t, os.WriteFile(path, old, 0o644))
	must(t, reopen(t, path, ReadWrite).Close())
	if _, err := lookAt(fmt.Sprintf("%s.v%d-2.bellout", strings.TrimSuffix(path, ".bellout"), last)); err != nil {
		t.Error(err)
	}
}

func TestAChangeOfShapeThatFailsLeavesTheOldFile(t *testing.T) {
	path, old := project(t)
	later(t, laterScript+"; SELECT no_such_function()")
	if f, err := Open(path, ReadWrite); err == nil {
		t.Fatal(f.Close(), "a broken script went through")
	}
	now, err := os.ReadFile(path)
	must(t, err)
	if !bytes.Equal(now, old) || companions(path) != nil {
		t.Error("the file changed")
	}
	migrations = migrations[:len(migrations)-1]
	check(t, reopen(t, path, ReadWrite))
}

// Rows that refer to nothing after a change of shape stop it.
func TestAChangeOfShapeKeepsReferences(t *testing.T) {
	path, old := project(t)
	later(t, "DELETE FROM devices WHERE device = 'G1'")
	if f, err := Open(path, ReadWrite); !errors.Is(err, ErrDamaged) {
		t.Fatal(f, err)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, old) {
		t.Error("the file changed", err)
	}
}

// Killed in the middle of a change of shape: page after page the disk is full.
func TestAChangeOfShapeOnAFullDisk(t *testing.T) {
	path, _ := project(t)
	later(t, laterScript+"; CREATE TABLE big (t TEXT) STRICT; INSERT INTO big VALUES (hex(zeroblob(40000)))")
	failures := 0
	for extra := int64(0); ; extra++ {
		c, err := openConn(path, "mode=rw", 0)
		must(t, err)
		pages, err := c.number("PRAGMA page_count")
		must(t, err)
		must(t, c.script(fmt.Sprintf("PRAGMA max_page_count=%d", pages+extra)))
		err = migrate(c, path, migrations)
		version, bad := c.number("PRAGMA user_version")
		must(t, bad)
		rooms, bad := c.number("SELECT count(*) FROM sqlite_schema WHERE name = 'rooms'")
		must(t, bad)
		must(t, c.close())
		if err == nil {
			if version != int64(len(migrations)) || rooms != 1 {
				t.Errorf("went through with version %d, %d", version, rooms)
			}
			break
		}
		failures++
		if version != int64(len(migrations)-1) || rooms != 0 {
			t.Fatalf("failed with version %d, %d", version, rooms)
		}
	}
	if failures < 3 {
		t.Errorf("only %d failures", failures)
	}
	check(t, reopen(t, path, ReadWrite))
}

func TestMigrationsAreNumberedInOrder(t *testing.T) {
	if _, err := readMigrations(fstest.MapFS{"schema/0001_a.sql": {}, "schema/0003_c.sql": {}}); err == nil {
		t.Error("a gap was taken")
	}
}
