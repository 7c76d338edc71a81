package probing

import (
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// Whatever mapping asks for, half an ohm there must be a wire found: a touch
// whose join log would call a short belongs to the proof that nets are apart.
func TestMapAsksOnlyForWhatWouldBeAWire(t *testing.T) {
	for _, state := range assets.DemoStates {
		session := faults.NewSession(importDemo(t, state))
		p := New(session, Options{Goal: Map})
		asked := 0
		for next := p.Next(); !next.Done && asked < 400; next = p.Next() {
			asked++
			reading := next.Probe.Reading(model.Value{Kind: model.ShowsNumber, Number: 0.2})
			if logged := session.Log(reading); logged.Outcome != judge.Discovery {
				t.Errorf("%s: %s to %s, and a join there is called %s: %s", state, next.Probe.Red, next.Probe.Black, logged.Outcome, logged.Message)
			}
			p.Skip(*next.Probe)
		}
		if asked == 0 {
			t.Errorf("%s: mapping asks for nothing", state)
		}
	}
}

func TestProbingCountsOneInTheSingular(t *testing.T) {
	for _, c := range []struct {
		count int
		want  string
	}{{0, "0 separations"}, {1, "1 separation"}, {2, "2 separations"}} {
		if got := ofAll(c.count, "separation"); got != c.want {
			t.Errorf("%d in all: %q, want %q", c.count, got, c.want)
		}
	}
}
