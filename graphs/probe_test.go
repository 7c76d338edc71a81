package graphs

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestSuspicionsEqualACircuitMadeSo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		last := len(c.Machine.Terminals) - 1
		pick := rapid.IntRange(0, last)
		a, b := pick.Draw(t, "red"), pick.Draw(t, "black")
		var changes []ElementChange
		if rapid.Bool().Draw(t, "under changes") {
			changes = drawChanges(t, c)
		}
		p := c.ProbeIf(a, b, changes)
		base := changed(c, changes)
		sameOhms(t, "the probe", p.Ohms, base.Ohms(a, b), 1e-9)
		for id := range c.Elements {
			ohms := drawOhms(t, "suspected", true)
			sameOhms(t, fmt.Sprintf("element %d open", id), p.IfOpen(id), changed(base, []ElementChange{{Element: id, Ohms: math.Inf(1)}}).Ohms(a, b), 1e-9)
			sameOhms(t, fmt.Sprintf("element %d at %v", id, ohms), p.IfOhms(id, ohms), changed(base, []ElementChange{{Element: id, Ohms: ohms}}).Ohms(a, b), 1e-9)
		}
		x, y, ohms := pick.Draw(t, "x"), pick.Draw(t, "y"), drawOhms(t, "joined by", true)
		sameOhms(t, "joined", p.IfJoined(x, y, ohms), changed(base, []ElementChange{{Element: -1, A: x, B: y, Ohms: ohms}}).Ohms(a, b), 1e-9)
	})
}

// What an element carries is how fast the reading rises with its ohms: the
// square of its share of the current.
func TestCarryingIsWhatMovesTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		for id := range c.Elements { // a narrow range, so that a difference shows it
			if e := &c.Elements[id]; e.Ohms > 0 {
				e.Ohms = 1 + math.Mod(e.Ohms, 50)
			}
		}
		last := len(c.Machine.Terminals) - 1
		a, b := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
		var changes []ElementChange
		if rapid.Bool().Draw(t, "under changes") {
			for _, change := range drawChanges(t, c) {
				if change.Ohms > 0 && !math.IsInf(change.Ohms, 1) {
					change.Ohms = 1 + math.Mod(change.Ohms, 50)
				}
				changes = append(changes, change)
			}
		}
		p := c.ProbeIf(a, b, changes)
		share := rapid.SampledFrom([]float64{0.01, 0.2, 0.5, 0.99}).Draw(t, "share")
		got := p.Carrying(share)
		if math.IsInf(p.Ohms, 1) {
			if len(got) > 0 {
				t.Fatalf("nothing joins the tips, yet %v carry", got)
			}
			return
		}
		for id := range c.Elements {
			const more = 1e-4
			ohms := p.ohmsOf(id)
			if math.IsInf(ohms, 1) {
				if slices.Contains(got, id) {
					t.Fatalf("element %d is open and carries", id)
				}
				continue
			}
			rise := p.exactly(ElementChange{Element: id, Ohms: ohms + more}) - p.Ohms
			amps := math.Sqrt(math.Max(0, rise/more))
			if math.Abs(amps-share) < 0.005 {
				continue // too near to tell
			}
			if want := amps > share; slices.Contains(got, id) != want {
				t.Fatalf("element %d carries %v: %v, share %v", id, amps, !want, share)
			}
		}
	})
}

// A megohm that takes over from a milliohm, and the other way round: what the
// formulas for one change lose is worked out exactly.
func TestSuspicionsKeepTheirDigits(t *testing.T) {
	c := resistors(3, conductor{0, 1, 1 / 0.001}, conductor{0, 2, 1 / 333_333.0}, conductor{2, 1, 1 / 777_777.0})
	p := c.Probe(0, 1)
	for what, got := range map[string]float64{
		"the milliohm open": relative(p.IfOpen(0), 1_111_110),
		"a megohm besides":  relative(p.IfOhms(0, 1e6), 1/(1e-6+1/1_111_110.0)),
		"joined by another": relative(c.Probe(0, 2).IfJoined(0, 2, 0.001), 1/(1000+1/333_333.0+1/777_777.001)),
	} {
		if got > 1e-12 {
			t.Errorf("%s: off by %v", what, got)
		}
	}
}

// Of metal without ohms only what nothing bypasses carries, as seen by a bad
// joint in it.
func TestCarryingPassesRingsOver(t *testing.T) {
	metal := func(a, b int) Element { return Element{Kind: Solid, A: a, B: b, Present: true} }
	c := bare(6, []Element{
		metal(0, 1),                           // on the way
		metal(1, 2), metal(2, 3), metal(3, 1), // a ring on the way
		{Kind: Wire, A: 3, B: 4, Ohms: 2, Present: true},        // a wire
		{Kind: Resistance, A: 3, B: 4, Ohms: 18, Present: true}, // and a tenth beside it
		metal(4, 5), {Kind: Wire, A: 2, B: 3, Ohms: 7, Present: true},
	})
	if got := fmt.Sprint(c.Probe(0, 5).Carrying(0.2)); got != "[0 4 6]" {
		t.Errorf("carry a fifth: %v", got)
	}
	if got := fmt.Sprint(c.Probe(0, 5).Carrying(0.05)); got != "[0 4 5 6]" {
		t.Errorf("carry a twentieth: %v", got)
	}
	if got := fmt.Sprint(c.Probe(0, 3).Carrying(0.05)); got != "[0]" {
		t.Errorf("metal alone: %v", got)
	}
}

func TestReadersSideBySide(t *testing.T) {
	c := wiringLike(2000, 0.1, 40)
	want := c.Ohms(3, 1500)
	c = wiringLike(2000, 0.1, 40)
	done := make(chan float64)
	for range 8 {
		go func() {
			p := c.Probe(3, 1500)
			p.Carrying(0.1)
			c.Predict(5, 6)
			done <- c.OhmsIf(3, 1500, []ElementChange{{Element: -1, A: 3, B: 4, Ohms: math.Inf(1)}})
		}()
	}
	for range 8 {
		if got := <-done; relative(got, want) > 1e-12 {
			t.Errorf("%v ohm, alone %v", got, want)
		}
	}
}

func TestThroughFollowsTheCurrent(t *testing.T) {
	b := newBench(t)
	for _, mark := range []string{"A:1", "B:1", "C:1", "D:1", "D:2", "E:1", "Z:1"} {
		b.terminal(mark, "pass")
	}
	b.wire("A:1", "B:1", 1) // the wide way: A B E
	b.wire("B:1", "E:1", 1)
	b.wire("A:1", "C:1", 2) // a narrow one
	b.wire("C:1", "E:1", 2)
	b.wire("A:1", "D:1", 0) // metal beside it all, to D only
	b.wire("D:1", "D:2", 0)
	b.wire("D:2", "A:1", 0)
	for _, mark := range []string{"S:1", "R:1", "Q:1", "P:1"} {
		b.terminal(mark, "pass")
	}
	b.wire("P:1", "R:1", 3) // two ways alike: the first by name
	b.wire("R:1", "S:1", 1)
	b.wire("P:1", "Q:1", 3)
	b.wire("Q:1", "S:1", 1)
	c := b.circuit()
	for _, row := range []struct{ from, to, want string }{
		{"A:1", "E:1", "[A:1 B:1 E:1]"},
		{"E:1", "A:1", "[E:1 B:1 A:1]"},
		{"D:1", "E:1", "[D:1 A:1 B:1 E:1]"},
		{"P:1", "S:1", "[P:1 Q:1 S:1]"},
		{"A:1", "D:2", "[A:1 D:2]"},
		{"A:1", "A:1", "[A:1]"},
		{"A:1", "Z:1", "[]"},
	} {
		if got := fmt.Sprint(texts(c, c.Through(b.at(row.from), b.at(row.to)))); got != row.want {
			t.Errorf("from %s to %s: %s, want %s", row.from, row.to, got, row.want)
		}
	}
}

func TestThroughIsAPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		last := len(c.Machine.Terminals) - 1
		a, b := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
		path := c.Through(a, b)
		if math.IsInf(c.Ohms(a, b), 1) != (path == nil) {
			t.Fatalf("%v ohm by %v", c.Ohms(a, b), path)
		}
		if path == nil {
			return
		}
		if path[0] != a || path[len(path)-1] != b {
			t.Fatalf("from %d to %d: %v", a, b, path)
		}
		seen := map[int]bool{}
		for i, terminal := range path {
			if seen[terminal] {
				t.Fatalf("%v comes back", path)
			}
			seen[terminal] = true
			if i == 0 {
				continue
			}
			joined := false
			for _, id := range c.Incident(terminal) {
				joined = joined || c.Elements[id].Present && c.Far(int(id), terminal) == path[i-1]
			}
			if !joined {
				t.Fatalf("%v: nothing joins step %d", path, i)
			}
		}
	})
}
