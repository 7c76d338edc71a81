package nextprobe

import (
	"testing"

	"bellout/faults"
	"bellout/model"
	"bellout/model/sample"
)

// TestMappingBeginsWhereOneStands: whatever device is named, the first touches are
// for its terminals, on a small machine and on one that is mapped zone by zone.
func TestMappingBeginsWhereOneStands(t *testing.T) {
	for _, m := range []*model.Machine{smallMachine(t, 1, 100), sample.Machine(1, 2000)} {
		bare := withoutWires(t, withoutReadings(t, m))
		for at := 0; at < len(bare.Devices); at += max(1, len(bare.Devices)/12) {
			ref := bare.Devices[at].Ref
			alone := true // a device without a terminal that needs a wire has nothing to begin with
			p := New(faults.Diagnose(bare.Clone()), Options{Goal: Map, Start: ref})
			s := p.survey()
			for _, c := range s.starting(p) {
				alone = alone && !s.needs(c)
			}
			next := p.Next()
			if alone || next.Done {
				continue
			}
			if next.Probe.Red.Device != ref && next.Probe.Black.Device != ref {
				t.Errorf("%d terminals, begun at %s: %s to %s", len(bare.Terminals), ref, next.Probe.Red, next.Probe.Black)
			}
		}
	}
}

// TestMappingGoesOnFromItsStart: a start changes where mapping begins, not what it
// finds.
func TestMappingGoesOnFromItsStart(t *testing.T) {
	m := smallMachine(t, 2, 100)
	for _, start := range []string{"", "X1", "E1", "nowhere"} {
		bare := withoutWires(t, m)
		s := sit(t, bare, quiet(newTruth(t, m, 1)), Options{Goal: Map, Start: start}, 2000)
		got := s.planner.known.Analysis().AsDrawn.Nets()
		for _, wire := range m.Wires {
			if !got.Same(mustIndex(bare, wire.From), mustIndex(bare, wire.To)) {
				t.Errorf("begun at %q: %s is not found", start, wire.Name)
			}
		}
	}
}
