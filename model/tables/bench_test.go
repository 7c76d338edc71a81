package tables

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"testing"
	"time"

	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkReadWires reads a large wires.csv and reports rows a second and the
// ratio to encoding/csv splitting the same bytes into cells without looking at
// any.
func BenchmarkReadWires(b *testing.B) {
	m := sample.Machine(1, 100000).Sorted()
	wires := Tables[4]
	var text bytes.Buffer
	if err := WriteCSV(&text, wires, m); err != nil {
		b.Fatal(err)
	}
	var mine, plain time.Duration
	rows := 0
	for b.Loop() {
		start := time.Now()
		content := &Content{}
		if err := content.ReadCSV(context.Background(), wires, bytes.NewReader(text.Bytes())); err != nil {
			b.Fatal(err)
		}
		middle := time.Now()
		split := 0
		for reader := csv.NewReader(bytes.NewReader(text.Bytes())); ; split++ {
			if _, err := reader.Read(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
		mine += middle.Sub(start)
		plain += time.Since(middle)
		if count, _ := wires.Count(content); count != split-1 {
			b.Fatalf("%d rows, encoding/csv has %d", count, split-1)
		}
		rows += split - 1
	}
	b.ReportMetric(float64(rows)/mine.Seconds(), "rows/s")
	b.ReportMetric(float64(plain)/float64(mine), "x-encoding/csv")
}

// BenchmarkFolder times the ways of a machine of 100,000 terminals.
func BenchmarkFolder(b *testing.B) {
	m := sample.Machine(1, 100000)
	dir := b.TempDir()
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		b.Fatal(err)
	}
	b.Run("write", func(b *testing.B) {
		for b.Loop() {
			if err := WriteFolder(context.Background(), m, dir, true); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			if _, err := ReadFolder(context.Background(), dir, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
	content, err := ReadFolder(context.Background(), dir, nil)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("edit for a new machine", func(b *testing.B) {
		for b.Loop() {
			if _, err := content.EditFor(model.NewMachine()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("edit for the same machine", func(b *testing.B) {
		for b.Loop() {
			if edit, err := content.EditFor(m); err != nil || len(edit.Changes) > 0 {
				b.Fatal(len(edit.Changes), err)
			}
		}
	})
}
