package store

import (
	"path/filepath"
	"testing"
	"time"

	"bellout/model"
)

// BenchmarkDrag puts a box to another place on the large machine and takes a
// snapshot, as the chart does at the end of each drag. The plain way is one
// UPDATE and its commit alone.
func BenchmarkDrag(b *testing.B) {
	f, _ := create(b)
	must(b, f.Do(fullSize()))
	must(b, f.Do(model.Edit{What: "placed", Changes: added(model.Place{Device: "X1"})}))
	plain, err := openConn(filepath.Join(b.TempDir(), "plain.db"), "mode=rwc", 0)
	must(b, err)
	defer func() { must(b, plain.close()) }()
	must(b, plain.script("PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA; CREATE TABLE places (x REAL); INSERT INTO places VALUES (0)"))
	var mine, base time.Duration
	for b.Loop() {
		before, _ := f.Machine().Place("X1")
		after := before
		after.X++
		t0 := time.Now()
		must(b, f.Do(model.Edit{What: "X1 moved", Changes: []model.Change{{Before: before, After: after}}}))
		s := f.Snapshot()
		t1 := time.Now()
		_, err := plain.exec("UPDATE places SET x = x + 1")
		must(b, err)
		mine += t1.Sub(t0)
		base += time.Since(t1)
		if p, _ := s.Place("X1"); p != after {
			b.Fatalf("X1 stands at %+v", p)
		}
	}
	milliseconds(b, mine, "ms/drag")
	b.ReportMetric(float64(mine)/float64(base), "of-one-update")
}

// BenchmarkMachineAt looks back over 1,000 readings on the large machine. The
// plain way keeps a copy of the file for each state, and opens it.
func BenchmarkMachineAt(b *testing.B) {
	f, path := create(b)
	must(b, f.Do(fullSize()))
	must(b, f.NameState("as found"))
	want := len(f.Machine().Readings)
	kept := filepath.Join(b.TempDir(), "kept.bellout")
	must(b, f.Close())
	must(b, copyFile(path, kept))
	f = reopen(b, path, ReadWrite)
	for i := range 1000 {
		_, err := f.Log(model.Reading{Red: ref("X1:1"), Black: ref("X1:2"), Mode: model.ModeOhms, Value: model.Value{Number: float64(i)}})
		must(b, err)
	}
	var mine, base time.Duration
	for b.Loop() {
		t0 := time.Now()
		m, err := f.MachineAt("as found")
		must(b, err)
		t1 := time.Now()
		copied := reopen(b, kept, ReadOnly)
		mine += t1.Sub(t0)
		base += time.Since(t1)
		if len(m.Readings) != want || len(copied.Machine().Readings) != want {
			b.Fatalf("%d and %d readings, want %d", len(m.Readings), len(copied.Machine().Readings), want)
		}
		must(b, copied.Close())
	}
	milliseconds(b, mine, "ms/look-back")
	b.ReportMetric(float64(base)/float64(mine), "x-copy")
}
