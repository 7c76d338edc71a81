package command

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"testing"
	"time"

	"bellout/model/sample"
	"bellout/model/tables"
)

// BenchmarkCommand runs whole commands, file and all, on a machine of 100,000
// terminals with 10,000 readings. The plain way beside each is the command
// without its own work: reading the file and doing nothing with it (for import:
// reading the folder). x-plain says how many times as long the command takes.
func BenchmarkCommand(b *testing.B) {
	const terminals = 100_000
	dir := b.TempDir()
	folder, file := filepath.Join(dir, "csv"), filepath.Join(dir, "large.bellout")
	machine := sample.Machine(1, terminals)
	if err := tables.WriteFolder(context.Background(), machine, folder, true); err != nil {
		b.Fatal(err)
	}
	run := func(b *testing.B, want int, args ...string) {
		b.Helper()
		code := Run(context.Background(), args, Console{Out: io.Discard, Err: io.Discard, Now: time.Now})
		if code != want {
			b.Fatalf("%v ended with exit code %d, want %d", args, code, want)
		}
	}
	run(b, ExitDone, "import", file, folder)
	load := func(b *testing.B) {
		if _, err := readMachine(context.Background(), file); err != nil {
			b.Fatal(err)
		}
	}
	wire := machine.Wires[0]
	imported := 0
	for _, row := range []struct {
		name  string
		run   func(*testing.B)
		plain func(*testing.B)
	}{
		{"import", func(b *testing.B) {
			imported++
			run(b, ExitDone, "import", filepath.Join(dir, fmt.Sprintf("new%d.bellout", imported)), folder)
		}, func(b *testing.B) {
			if _, err := tables.ReadFolder(context.Background(), folder, nil); err != nil {
				b.Fatal(err)
			}
		}},
		{"nets", func(b *testing.B) { run(b, ExitDone, "nets", file) }, load},
		{"nets-json", func(b *testing.B) { run(b, ExitDone, "nets", file, "--json") }, load},
		{"check", func(b *testing.B) { run(b, ExitDone, "check", file) }, load},
		{"expect", func(b *testing.B) { run(b, ExitDone, "expect", file, wire.From.String(), wire.To.String()) }, load},
		{"trace", func(b *testing.B) { run(b, ExitDone, "trace", file, wire.To.Device) }, load},
		{"whatif", func(b *testing.B) { run(b, ExitDone, "whatif", file, wire.Name) }, load},
		{"log", func(b *testing.B) { run(b, ExitDone, "log", file, wire.From.String(), wire.To.String(), "beep") }, load},
	} {
		b.Run(row.name, func(b *testing.B) {
			var mine, plain time.Duration
			for b.Loop() {
				t0 := time.Now()
				row.run(b)
				t1 := time.Now()
				row.plain(b)
				mine, plain = mine+t1.Sub(t0), plain+time.Since(t1)
			}
			b.ReportMetric(float64(mine.Microseconds())/1000/float64(b.N), "ms/command")
			b.ReportMetric(float64(mine)/float64(plain), "x-plain")
		})
	}
}
