package store

import (
	"reflect"
	"strings"
	"testing"
)

func TestWhatTheBenchKeepsOutlivesTheProgram(t *testing.T) {
	f, path := create(t)
	must(t, f.KeepBench(BenchHeld, []string{"unplugged J4", "lifted W12"}))
	must(t, f.KeepBench(BenchLive, []string{"volts-dc 12 0 G1:+ G1:-"}))
	must(t, f.KeepBench(BenchAside, []string{"open W1"}))
	must(t, f.KeepBench(BenchHeld, []string{"lifted W12"}))
	must(t, f.KeepBench(BenchAside, nil))
	must(t, f.Close())
	want := BenchThings{BenchHeld: {"lifted W12"}, BenchLive: {"volts-dc 12 0 G1:+ G1:-"}}
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		f := reopen(t, path, mode)
		got, err := f.Bench()
		must(t, err)
		if !reflect.DeepEqual(got, want) {
			t.Errorf("mode %d: it keeps %v, want %v", mode, got, want)
		}
		if rows, err := f.Journal(0); err != nil || len(rows) != 0 {
			t.Errorf("mode %d: the history has %v, %v", mode, rows, err)
		}
		if mode == ReadOnly {
			if err := f.KeepBench(BenchHeld, nil); err == nil {
				t.Error("a file that is open for reading was written")
			}
		}
		must(t, f.Close())
	}
}

// What cannot be kept changes nothing.
func TestAThingThatCannotBeKeptLeavesWhatWasKept(t *testing.T) {
	f, _ := create(t)
	must(t, f.KeepBench(BenchHeld, []string{"unplugged J4"}))
	if err := f.KeepBench(BenchHeld, []string{"lifted W12", strings.Repeat("x", 20000)}); err == nil {
		t.Fatal("20,000 letters were kept")
	}
	if got, err := f.Bench(); err != nil || !reflect.DeepEqual(got, BenchThings{BenchHeld: {"unplugged J4"}}) {
		t.Errorf("it keeps %v, %v", got, err)
	}
}
