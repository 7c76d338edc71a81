package merge

import (
	"testing"

	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkPlan merges two copies of a machine of 100,000 terminals, each of
// which went on by one wire and one reading.
func BenchmarkPlan(b *testing.B) {
	base := sample.Machine(1, 100000)
	mine, theirs := base.Clone(), base.Clone()
	for at, m := range []*model.Machine{mine, theirs} {
		before := m.Wires[at]
		after := before
		after.Cable = "loom 9"
		reading := model.Reading{Number: 1 << 40, Red: m.Terminals[at].Ref(), Black: m.Terminals[2].Ref(), Mode: model.ModeVoltsDC, Value: model.Value{Number: float64(at)}}
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: before, After: after}, {After: reading}}}); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		plan := planned(base, mine, theirs)
		result, err := plan.Decide(nil)
		if err != nil || len(plan.Conflicts()) > 0 || len(result.Edit.Changes) != 2 {
			b.Fatal(err, plan.Conflicts(), result)
		}
	}
}
