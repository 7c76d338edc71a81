package store

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bellout/model"
)

// The size that the project is built for: 100,000 terminals in 2,000 devices,
// as many links, 100,000 wires, 10,000 readings.
func fullSize() model.Edit { return large(2000, 50, 10000) }

func milliseconds(b *testing.B, spent time.Duration, name string) {
	b.ReportMetric(float64(spent.Microseconds())/1000/float64(b.N), name)
}

// BenchmarkImport makes the large machine with one Do. The plain way is one
// INSERT and one commit for each row, on the same disk with the same syncing,
// measured on 300 of the rows.
func BenchmarkImport(b *testing.B) {
	edit := fullSize()
	var mine, base time.Duration
	for b.Loop() {
		f, _ := create(b)
		t0 := time.Now()
		must(b, f.Do(edit))
		t1 := time.Now()
		must(b, f.Close())
		mine += t1.Sub(t0)
		base += plainInserts(b, 300) * time.Duration(len(edit.Changes)) / 300
	}
	b.ReportMetric(float64(len(edit.Changes)), "rows")
	milliseconds(b, mine, "ms/import")
	b.ReportMetric(float64(base)/float64(mine), "x-autocommit")
}

// plainInserts says how long count rows take, one commit each.
func plainInserts(b *testing.B, count int) time.Duration {
	c, err := openConn(filepath.Join(b.TempDir(), "plain.db"), "mode=rwc", 0)
	must(b, err)
	defer func() { must(b, c.close()) }()
	must(b, c.script("PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA; CREATE TABLE devices (device TEXT UNIQUE, kind TEXT)"))
	t0 := time.Now()
	for i := range count {
		_, err := c.exec("INSERT INTO devices VALUES (?, 'lamp')", fmt.Sprintf("E%d", i))
		must(b, err)
	}
	return time.Since(t0)
}

// BenchmarkLoad opens the large machine. The plain way reads the same tables
// without keeping anything: what SQLite and the driver alone need.
func BenchmarkLoad(b *testing.B) {
	f, path := create(b)
	must(b, f.Do(fullSize()))
	want := f.Machine().Clone()
	must(b, f.Close())
	var mine, base time.Duration
	for b.Loop() {
		t0 := time.Now()
		opened, err := Open(path, ReadOnly)
		must(b, err)
		t1 := time.Now()
		rows := scanOnly(b, opened.c)
		mine += t1.Sub(t0)
		base += time.Since(t1)
		if got := len(opened.Machine().Rows()); got != rows || got != len(want.Rows()) {
			b.Fatalf("%d rows, the plain way %d, want %d", got, rows, len(want.Rows()))
		}
		must(b, opened.Close())
	}
	milliseconds(b, mine, "ms/load")
	b.ReportMetric(float64(mine)/float64(base), "of-bare-scan")
}

func scanOnly(b *testing.B, c *conn) (rows int) {
	for table, columns := range map[string]int{"settings": 3, "devices": 10, "terminals": 8, "links": 6, "wires": 11, "bonds": 4, "readings": 16} {
		must(b, c.each("SELECT * FROM "+table, columns, func(*cells) error { rows++; return nil }))
	}
	return rows
}

// BenchmarkLog stores readings one by one on the large machine, each synced.
// The plain way is one INSERT and its commit alone.
func BenchmarkLog(b *testing.B) {
	f, _ := create(b)
	must(b, f.Do(fullSize()))
	plain, err := openConn(filepath.Join(b.TempDir(), "plain.db"), "mode=rwc", 0)
	must(b, err)
	defer func() { must(b, plain.close()) }()
	must(b, plain.script("PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA; CREATE TABLE readings (red TEXT, black TEXT, value REAL)"))
	reading := model.Reading{Red: ref("X1:1"), Black: ref("X1:2"), Mode: model.ModeOhms, Value: model.Value{Number: 1.5}, Meter: "M1"}
	var mine, base time.Duration
	for b.Loop() {
		t0 := time.Now()
		_, err := f.Log(reading)
		must(b, err)
		t1 := time.Now()
		_, err = plain.exec("INSERT INTO readings VALUES ('X1:1', 'X1:2', 1.5)")
		must(b, err)
		mine += t1.Sub(t0)
		base += time.Since(t1)
	}
	milliseconds(b, mine, "ms/log")
	b.ReportMetric(float64(mine)/float64(base), "of-one-insert")
}

// BenchmarkUndoImport takes the large import back and makes it again.
func BenchmarkUndoImport(b *testing.B) {
	f, _ := create(b)
	must(b, f.Do(fullSize()))
	var back, forth time.Duration
	for b.Loop() {
		t0 := time.Now()
		_, err := f.Undo()
		must(b, err)
		t1 := time.Now()
		_, err = f.Redo()
		must(b, err)
		back += t1.Sub(t0)
		forth += time.Since(t1)
	}
	milliseconds(b, back, "ms/undo")
	milliseconds(b, forth, "ms/redo")
}

func BenchmarkBackup(b *testing.B) {
	f, _ := create(b)
	must(b, f.Do(fullSize()))
	to := filepath.Join(b.TempDir(), "backup.bellout")
	for b.Loop() {
		must(b, f.Backup(context.Background(), to, nil))
		must(b, os.Remove(to))
	}
}
