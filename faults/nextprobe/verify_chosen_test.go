package nextprobe

import (
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
)

// TestVerifyVerifiesWhileASuspicionIsOpen: whoever chose to prove the map is not sent
// after a fault, nor after what killed devices, as long as there is something to prove.
func TestVerifyVerifiesWhileASuspicionIsOpen(t *testing.T) {
	m := importDemo(t, assets.AsFound) // readings that surprise, and failed devices
	if free := New(faults.Diagnose(m), Options{}).Next(); free.Goal != Locate {
		t.Fatalf("without a goal the demo begins with %s", free.Goal)
	}
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Verify})
	before := p.known.Report().Proven.Wires
	proofs := 0
	for next := p.Next(); !next.Done; next = p.Next() {
		if next.Goal != Verify {
			break
		}
		if proofs++; proofs > 400 {
			t.Fatal("it goes on for ever")
		}
		if len(next.Proves) > 0 && proofs < 40 {
			reading := next.Probe.Reading(model.Value{Number: 0.3})
			reading.Mode = model.ModeOhms
			take(t, m, p, reading)
			p.Took(*next.Probe)
			continue
		}
		p.Skip(*next.Probe)
	}
	if after := p.known.Report().Proven.Wires; after < before+10 || proofs < 20 {
		t.Errorf("%d proofs took %d proven wires to %d", proofs, before, after)
	}
}

// TestWhatAProofRunsIntoIsLocatedLast: the search begins when nothing else is left to
// prove, and not before.
func TestWhatAProofRunsIntoIsLocatedLast(t *testing.T) {
	located := 0
	for seed := range uint64(6) {
		m := machineOf(t, seed, 100)
		w := quiet(newTruth(t, m, seed))
		w.plant(t, inTurn(w, seed, 0))
		p := New(faults.Diagnose(m.Clone()), Options{Goal: Verify})
		for {
			next := p.Next()
			if next.Done {
				break
			}
			if next.Goal == Locate {
				located++
				if proof, found := p.verifyAround(); found {
					t.Fatalf("seed %d: it locates while %v would prove %v", seed, proof.Probe, proof.Proves)
				}
			}
			take(t, m, p, next.Probe.Reading(w.shows(*next.Probe)))
			p.Took(*next.Probe)
		}
	}
	if located == 0 {
		t.Error("nothing was located")
	}
}
