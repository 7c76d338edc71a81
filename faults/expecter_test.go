package faults

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

// However often it was asked before, and whatever about, an Expecter says what a
// new one says.
func TestExpecterAnswersAsIfItWereTheFirstQuestion(t *testing.T) {
	m := sample.Machine(2, 300)
	kept := NewExpecter(m)
	modes := []model.Mode{model.ModeOhms, model.ModeContinuity, model.ModeDiode, model.ModeVoltsDC}
	rapid.Check(t, func(t *rapid.T) {
		red := m.Terminals[rapid.IntRange(0, len(m.Terminals)-1).Draw(t, "red")].Ref()
		black := m.Terminals[rapid.IntRange(0, len(m.Terminals)-1).Draw(t, "black")].Ref()
		mode := rapid.SampledFrom(modes).Draw(t, "mode")
		var conditions model.Conditions
		if lifted := rapid.IntRange(-1, len(m.Wires)-1).Draw(t, "lifted"); lifted >= 0 {
			conditions = model.NewConditions(model.Condition{Kind: model.Lifted, Wire: m.Wires[lifted].Name})
		}
		got, gotErr := kept.Expect(red, black, mode, conditions)
		want, wantErr := Expect(m, red, black, mode, conditions)
		if !reflect.DeepEqual(got, want) || (gotErr == nil) != (wantErr == nil) {
			t.Fatalf("%s to %s, %s, %s: %+v, %v; anew %+v, %v", red, black, mode, conditions, got, gotErr, want, wantErr)
		}
	})
}
