package nextprobe

import (
	"strings"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// No probe gives 0 % as its reason: of many terminals without a wire none is likely to
// be the partner, and what hardly anybody suspects is not asked about for its share.
func TestNoReasonIsNothing(t *testing.T) {
	m := model.NewMachine()
	edit := model.Edit{}
	for block := range 40 {
		ref := "X" + string(rune('A'+block%26)) + string(rune('A'+block/26))
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: ref, Kind: model.KindTerminalBlock, Health: model.HealthUnknown}})
		for mark := range 10 {
			edit.Changes = append(edit.Changes, model.Change{After: model.Terminal{Device: ref, Mark: string(rune('0' + mark)), Role: model.RolePass}})
		}
	}
	apply(t, m, edit.Changes...)
	p := New(faults.Diagnose(m), Options{Goal: Map})
	for asked := range 20 {
		proposal := p.Next()
		if proposal.Done && asked < 3 {
			t.Fatalf("nothing is asked after %d", asked)
		}
		if proposal.Done {
			break
		}
		if strings.Contains(proposal.Why, " 0 %") || strings.Contains(proposal.Why, "(0 %)") {
			t.Fatal(proposal.Why)
		}
		p.Skip(*proposal.Probe)
	}
	demo := importDemo(t, "as-found")
	for _, goal := range []Goal{Locate, Verify, Map, ""} {
		p := New(faults.Diagnose(demo), Options{Goal: goal})
		for range 10 {
			proposal := p.Next()
			if proposal.Done {
				break
			}
			if strings.Contains(proposal.Why, " 0 %") || strings.Contains(proposal.Why, "(0 %)") {
				t.Errorf("%s: %s", goal, proposal.Why)
			}
			p.Skip(*proposal.Probe)
		}
	}
}
