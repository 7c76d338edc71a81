package nextprobe

import (
	"fmt"
	binary "math/bits"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults"
	"bellout/model"
)

// barRails draws a machine of nothing but rails and returns, a wire on each: no
// load lies between any two.
func barRails(t testing.TB, rails, returns int) *model.Machine {
	t.Helper()
	s := &sketch{random: rand.New(rand.NewPCG(1, 1))}
	for range rails {
		g := s.device("G", model.KindSupply, "", 0)
		s.wire(s.terminal(g, "+", model.RoleRail, 24), s.terminal(s.device("X", model.KindTerminalBlock, "", 0), "1", model.RolePass, 0), "RD")
	}
	for at := range returns {
		supply := fmt.Sprintf("G%d", 1+at%max(rails, 1))
		s.wire(s.terminal(supply, fmt.Sprintf("-%d", at), model.RoleReturn, 0), s.terminal(s.device("X", model.KindTerminalBlock, "", 0), "1", model.RolePass, 0), "BK")
	}
	m := model.NewMachine()
	apply(t, m, s.changes...)
	return m
}

// bundleSitting keeps nets apart with clip leads until nothing is asked, and
// answers from a truth; it counts readings, and beeps among them.
func bundleSitting(t testing.TB, m *model.Machine, w *truth) (p *Planner, readings, beeps int) {
	t.Helper()
	p = New(faults.Diagnose(m.Clone()), Options{Goal: Verify, Clips: true})
	for {
		next := apartOnly(p)
		if next.Done {
			return p, readings, beeps
		}
		if readings > 5000 {
			t.Fatal("not done: ", next.Why)
		}
		reading := next.Probe.Reading(w.shows(*next.Probe))
		if reading.Value.Kind == model.ShowsBeep {
			beeps++
		}
		take(t, m, p, reading)
		p.Took(*next.Probe)
		readings++
	}
}

// TestBundlesTakeTheLogOfTheNets: rails alone are told apart in ceil(log2 q)
// touches of two bundles each, the least that gives each net a number of its own
// (Kautz 1974, IEEE Trans. Computers C-23(4):358-363; the figures for each of the
// numbers of nets are derived from it). Pair by pair it is q(q-1)/2.
func TestBundlesTakeTheLogOfTheNets(t *testing.T) {
	for _, c := range []struct{ rails, pairs, readings int }{{4, 6, 2}, {6, 15, 3}, {7, 21, 3}, {8, 28, 3}, {14, 91, 4}, {15, 105, 4}, {16, 120, 4}, {50, 1225, 6}, {100, 4950, 7}, {200, 19900, 8}} {
		m := barRails(t, c.rails, 0)
		p, readings, _ := bundleSitting(t, m, quiet(newTruth(t, m, 1)))
		proven := p.known.Report().Proven
		if readings != c.readings || proven.Separations != c.pairs || proven.OfSeparations != c.pairs {
			t.Errorf("%d rails: %d readings prove %d of %d separations, want %d readings and all of %d", c.rails, readings, proven.Separations, proven.OfSeparations, c.readings, c.pairs)
		}
	}
}

// TestBundlesBesideReturns: returns need no proof among themselves, so one touch
// more keeps them from all rails.
func TestBundlesBesideReturns(t *testing.T) {
	for _, c := range []struct{ rails, returns int }{{1, 1}, {1, 9}, {5, 5}, {8, 3}, {20, 20}} {
		m := barRails(t, c.rails, c.returns)
		p, readings, _ := bundleSitting(t, m, quiet(newTruth(t, m, 1)))
		proven := p.known.Report().Proven
		if want := 1 + binary.Len(uint(c.rails-1)); readings != want || proven.Separations != proven.OfSeparations {
			t.Errorf("%d rails, %d returns: %d readings prove %d of %d, want %d readings", c.rails, c.returns, readings, proven.Separations, proven.OfSeparations, want)
		}
	}
}

// TestBundlesFindOneShort: where one pair of nets meets, all others are proven
// apart, and the touches that come on top stay under those of halving both
// sides, each half touched once (Chen and Hwang 1989, IEEE TCAS 36(8):1113-1116:
// log2 a + log2 b to pin one short of two bundles; a half that beeps tells
// nothing of its other half, which takes one more).
func TestBundlesFindOneShort(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		rails, returns := rapid.IntRange(2, 12).Draw(r, "rails"), rapid.IntRange(1, 12).Draw(r, "returns")
		m := barRails(t, rails, returns)
		w := quiet(newTruth(t, m, 1))
		red := model.TerminalRef{Device: fmt.Sprintf("G%d", 1+rapid.IntRange(0, rails-1).Draw(r, "rail")), Mark: "+"}
		at := rapid.IntRange(0, returns-1).Draw(r, "return")
		black := model.TerminalRef{Device: fmt.Sprintf("G%d", 1+at%rails), Mark: fmt.Sprintf("-%d", at)}
		apply(t, w.Machine, model.Change{After: model.Wire{Name: "Z", From: red, To: black, Basis: model.BasisPlanned}})
		p, readings, beeps := bundleSitting(t, m, w)
		proven := p.known.Report().Proven
		if proven.Separations != proven.OfSeparations-1 || beeps == 0 {
			r.Errorf("%d of %d separations are proven, one pair meets; %d beeps", proven.Separations, proven.OfSeparations, beeps)
		}
		lg := func(n int) int { return binary.Len(uint(n - 1)) }
		if most := 1 + lg(rails) + 2*(lg(rails)+lg(returns)) + 1; readings > most {
			r.Errorf("%d rails, %d returns, one short: %d readings, at most %d", rails, returns, readings, most)
		}
	})
}

// TestBundlesOfLoads: what lamps and coils join reads low in a bundle; what is
// proven is as much as pair by pair.
func TestBundlesOfLoads(t *testing.T) {
	for seed := range uint64(6) {
		m := smallMachine(t, seed, 150)
		pair := m.Clone()
		p, readings, _ := bundleSitting(t, m, quiet(newTruth(t, m, seed)))
		s := sit(t, pair, quiet(newTruth(t, pair, seed)), Options{Goal: Verify}, 2000)
		got, want := p.known.Report().Proven.Separations, s.planner.known.Report().Proven.Separations
		if got < want || readings > s.isolation {
			t.Errorf("seed %d: %d readings prove %d apart, pair by pair %d prove %d", seed, readings, got, s.isolation, want)
		}
	}
}
