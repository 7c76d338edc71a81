package faults

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults/judge"
	"bellout/model"
)

// islands is a map that grew from readings: two pairs of lamps that the meter
// found joined, and supplies.
const islands = `
	device G1 supply : + rail 24, - return
	device G2 supply : + rail 24, - return
	device H1 lamp load=0.2 : + feed 24, - return
	device H2 lamp load=0.2 : + feed 24, - return
	device H3 lamp load=0.2 : + feed 24, - return
	device H4 lamp load=0.2 : + feed 24, - return
	device H5 lamp load=0.2 : + feed 12, - return
	device H6 lamp load=0.2 : + feed 12, - return
	device X1 terminal-block : 1 pass, 2 pass
	wire W1 H1:+ H2:+ basis=probed
	wire W2 H3:+ H4:+ basis=probed
	wire W3 H5:+ H6:+ basis=probed
	wire W4 H1:- H2:- basis=probed
	wire W5 G1:+ X1:1 basis=probed`

// TestIslandsMeet: which wired pieces of a map may turn out to be one net, and
// which that look like them may not.
func TestIslandsMeet(t *testing.T) {
	for _, c := range []struct {
		what, more, red, black string
		meet                   bool
	}{
		{"two feeds of one figure of volts", "", "H1:+", "H3:+", true},
		{"feeds of other volts", "", "H1:+", "H5:+", false},
		{"a feed and a return", "", "H3:+", "H1:-", false},
		{"a feed and its rail", "", "H1:+", "G1:+", true},
		{"a feed of other volts and the rail", "", "H5:+", "G1:+", false},
		{"a wire that somebody drew", "wire W1 H1:+ H2:+ basis=seen\nwire W2 H3:+ H4:+ basis=seen", "H1:+", "H3:+", false},
		{"one of the two drawn, the other found", "wire W1 H1:+ H2:+ basis=seen", "H1:+", "H3:+", true},
		{"two rails", "device X2 terminal-block : 1 pass\nwire W9 G2:+ X2:1 basis=probed", "G1:+", "G2:+", false},
		{"returns of two supplies", "device X2 terminal-block : 1 pass, 2 pass\nwire W8 G1:- X2:1 basis=probed\nwire W9 G2:- X2:2 basis=probed", "G1:-", "G2:-", false},
		{"returns that a bond permits to be common", "device X2 terminal-block : 1 pass, 2 pass\nwire W8 G1:- X2:1 basis=probed\nwire W9 G2:- X2:2 basis=probed\nbond G1:- G2:-", "G1:-", "G2:-", true},
		{"one piece", "", "H1:+", "H2:+", false},
	} {
		t.Run(c.what, func(t *testing.T) {
			b := NewAnalysis(build(t, islands, c.more))
			red, _ := b.Machine.TerminalIndex(ref(c.red))
			black, _ := b.Machine.TerminalIndex(ref(c.black))
			if got := b.meetAsIslands(red, black); got != c.meet {
				t.Errorf("%s and %s may meet: %v, want %v", c.red, c.black, got, c.meet)
			}
			if b.meetAsIslands(red, black) != b.meetAsIslands(black, red) {
				t.Error("it hangs on which tip is where")
			}
			if c.meet && !b.MayBeJoined(red, black) {
				t.Error("islands that meet are no wire found")
			}
		})
	}
}

// TestIslandsFoundApartDoNotMeet: what was silent once may be a tip that did not
// touch; what was silent twice, at whatever terminals of the two, is a fault when
// it beeps. Struck out, those readings say nothing any more.
func TestIslandsFoundApartDoNotMeet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := build(t, islands)
		one, other := []string{"H1:+", "H2:+"}, []string{"H3:+", "H4:+"}
		silent := rapid.Int64Range(0, 4).Draw(rt, "silent")
		beep := model.Reading{Red: ref("H1:+"), Black: ref("H3:+"), Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}
		number := int64(0)
		stored := func(r model.Reading) {
			number++
			r.Number, r.Stored = number, number
			if err := m.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
				rt.Fatal(err)
			}
		}
		for range silent {
			r := model.Reading{Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsSilent}}
			r.Red, r.Black = ref(rapid.SampledFrom(one).Draw(rt, "one")), ref(rapid.SampledFrom(other).Draw(rt, "other"))
			if rapid.Bool().Draw(rt, "turned") {
				r.Red, r.Black = r.Black, r.Red
			}
			stored(r)
		}
		want := judge.Discovery
		if silent > 1 {
			want = judge.Contradicts
		}
		if got, _ := log(t, m, beep); got.Outcome != want {
			rt.Fatalf("a beep after %d silences is %s, want %s", silent, got.Outcome, want)
		}
		for _, r := range m.Readings {
			struck := r
			struck.Struck = "wrong tip"
			if err := m.Apply(model.Edit{Changes: []model.Change{{Before: r, After: struck}}}); err != nil {
				rt.Fatal(err)
			}
		}
		if got, _ := log(t, m, beep); got.Outcome != judge.Discovery {
			rt.Fatal(fmt.Sprint("all silences are struck out, and a beep is ", got.Outcome))
		}
	})
}
