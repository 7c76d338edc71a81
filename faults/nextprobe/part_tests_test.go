package nextprobe

import (
	"strings"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
)

// TestABeepWhereANumberIsAskedForIsTold: the ohms of a way decide; where it only
// beeped, the number is asked for again, and why is said.
func TestABeepWhereANumberIsAskedForIsTold(t *testing.T) {
	m := importDemo(t, assets.AsFound)
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
	for _, suspect := range p.ranking().Suspects {
		if suspect.Next == nil || suspect.Next.Mode != model.ModeOhms || !p.mayMeasure(*suspect.Next) {
			continue
		}
		const says = "which a joint of some ohms does as well"
		if before := p.partProposal(p.ranking(), suspect); strings.Contains(before.Reason, says) {
			t.Errorf("before anything was read: %s", before.Reason)
		}
		beep := model.Reading{Red: suspect.Next.Black, Black: suspect.Next.Red,
			Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}, Conditions: p.conditionsOf(*suspect.Next)}
		take(t, m, p, beep)
		after := p.partProposal(p.ranking(), suspect)
		if !strings.Contains(after.Reason, says) {
			t.Errorf("after a beep: %s", after.Reason)
		}
		return
	}
	t.Fatal("no suspect of the demo machine asks for ohms")
}
