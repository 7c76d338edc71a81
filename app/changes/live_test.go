package changes

import (
	"context"
	"slices"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// liveDemo is the demo machine with the mains on its 0 V.
func liveDemo(t *testing.T) *model.Machine {
	t.Helper()
	m := demo(t, assets.AsRepaired).Clone()
	red, black := model.TerminalRef{Device: "G1", Mark: "-"}, model.TerminalRef{Device: "Z1", Mark: "PE"}
	r := model.Reading{Number: 1000, Stored: 1000, Red: red, Black: black, Mode: model.ModeVoltsAC, Value: model.Value{Number: 228}}
	if err := m.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
		t.Fatal(err)
	}
	return m
}

// While something is live nobody is sent anywhere with a meter, and the sheet of a
// device says so before everything else.
func TestNothingIsVerifiedOrReplacedUnwarnedWhileLive(t *testing.T) {
	m := liveDemo(t)
	after := m.Clone()
	wire, _ := after.Wire("W76")
	if err := after.Apply(model.Edit{Changes: []model.Change{{After: model.Wire{Name: "W900", From: wire.From, To: wire.To, Basis: model.BasisSeen}}}}); err != nil {
		t.Fatal(err)
	}
	sides := look(t, m, after)
	again, err := sides.Again(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(again.Checks) > 0 || !strings.Contains(again.Live, faults.HandsOff) || len(again.Left) == 0 {
		t.Errorf("%d checks, %q, %d left", len(again.Checks), again.Live, len(again.Left))
	}
	sheet, err := Replace(faults.Diagnose(m), "A1")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(sheet.Cautions[0], faults.HandsOff) {
		t.Errorf("the sheet begins with %q", sheet.Cautions[0])
	}
	if slices.ContainsFunc(sheet.Steps, func(s Step) bool { return s.Probe != nil && s.Probe.Mode.Volts() }) {
		t.Error("the sheet asks for volts")
	}
}

// No sheet asks for volts at or above the bound of live probes.
func TestSheetsStayBelowTheBound(t *testing.T) {
	for _, volts := range []float64{59, judge.LiveProbeDC, 110} {
		m := demo(t, assets.AsRepaired).Clone()
		for i := range m.Terminals {
			if v := &m.Terminals[i].Volts; v.Known && v.Value == 36 {
				v.Value = volts
			}
		}
		asked := 0
		known := faults.Diagnose(m)
		for _, device := range m.Devices {
			sheet, err := Replace(known, device.Ref)
			if err != nil {
				t.Fatal(err)
			}
			for _, step := range sheet.Steps {
				if step.Probe == nil || !step.Probe.Mode.Volts() {
					continue
				}
				if x, err := faults.Expect(m, step.Probe.Red, step.Probe.Black, model.ModeVoltsDC, step.Probe.Conditions); err == nil && x.Volts.Or(0) > 50 {
					asked++
				}
			}
		}
		if may := volts < judge.LiveProbeDC; may != (asked > 0) {
			t.Errorf("%v V: %d live probes", volts, asked)
		}
	}
}
