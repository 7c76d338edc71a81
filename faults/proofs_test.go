package faults

import (
	"errors"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

// compareProofs holds the proofs of a machine against a session's.
func compareProofs(t interface{ Fatalf(string, ...any) }, m *model.Machine) {
	s := NewSession(m)
	p, err := NewProofs(m, nil)
	if err != nil {
		t.Fatalf("%v", err)
	}
	for row, wire := range m.Wires {
		want := slices.Clone(s.ProvenBy(wire.Name))
		slices.Sort(want)
		if got := p.ProvenBy(row); !slices.Equal(got, want) {
			t.Fatalf("%s is proven by %v, a session says %v", wire.Name, got, want)
		}
	}
}

func TestProofsEqualASessions(t *testing.T) {
	compareProofs(t, sample.Machine(3, 30_000)) // enough readings for two workers
	rapid.Check(t, func(t *rapid.T) { compareProofs(t, sample.Draw(t)) })
}

func TestProofsCanBeStopped(t *testing.T) {
	enough := errors.New("enough")
	if _, err := NewProofs(sample.Machine(1, 6000), func() error { return enough }); !errors.Is(err, enough) {
		t.Errorf("got %v, want the error that stopped it", err)
	}
}

// BenchmarkProofs reports the ratio to a whole session, which finds the same
// proofs on its way.
func BenchmarkProofs(b *testing.B) {
	m := sample.Machine(1, 100_000)
	var mine, whole time.Duration
	for b.Loop() {
		t0 := time.Now()
		p, err := NewProofs(m, nil)
		if err != nil {
			b.Fatal(err)
		}
		t1 := time.Now()
		s := NewSession(m)
		mine, whole = mine+t1.Sub(t0), whole+time.Since(t1)
		if got, want := len(p.wires), s.Report().Proven.Wires; got != want {
			b.Fatalf("%d wires proven, a session has %d", got, want)
		}
	}
	b.ReportMetric(float64(mine.Milliseconds())/float64(b.N), "ms")
	b.ReportMetric(float64(whole)/float64(mine), "x-session")
}
