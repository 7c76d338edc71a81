package session_test

import (
	"math"
	"testing"

	"bellout/app/session"
	"bellout/model"
)

func TestReadEntry(t *testing.T) {
	for _, test := range []struct {
		typed string
		mode  model.Mode
		kind  model.ValueKind
		value float64
		drift model.Drift
		note  string
	}{
		{"b", model.ModeContinuity, model.ShowsBeep, 0, "", ""},
		{"BEEP", model.ModeContinuity, model.ShowsBeep, 0, "", ""},
		{"s", model.ModeContinuity, model.ShowsSilent, 0, "", ""},
		{"ol", model.ModeOhms, model.ShowsOL, 0, "", ""},
		{"12.5", model.ModeOhms, model.ShowsNumber, 12.5, "", ""},
		{"4.7k", model.ModeOhms, model.ShowsNumber, 4700, "", ""},
		{"1M", model.ModeOhms, model.ShowsNumber, 1e6, "", ""},
		{"12.5Ω", model.ModeOhms, model.ShowsNumber, 12.5, "", ""},
		{"11.98V", model.ModeVoltsDC, model.ShowsNumber, 11.98, "", ""},
		{"-0.3v", model.ModeVoltsDC, model.ShowsNumber, -0.3, "", ""},
		{"350mV", model.ModeVoltsDC, model.ShowsNumber, 0.35, "", ""},
		{"1.8V~", model.ModeVoltsAC, model.ShowsNumber, 1.8, "", ""},
		{"0.55d", model.ModeDiode, model.ShowsNumber, 0.55, "", ""},
		{"4,7k rising", model.ModeOhms, model.ShowsNumber, 4700, model.DriftRising, ""},
		{"11,98V", model.ModeVoltsDC, model.ShowsNumber, 11.98, "", ""},
		{"220 rising big one", model.ModeOhms, model.ShowsNumber, 220, model.DriftRising, "big one"},
	} {
		got, err := session.ReadEntry(test.typed)
		if err != nil {
			t.Errorf("%q: %v", test.typed, err)
			continue
		}
		if got.Mode != test.mode || got.Value.Kind != test.kind || math.Abs(got.Value.Number-test.value) > 1e-9 || got.Drift != test.drift || got.Note != test.note {
			t.Errorf("%q is read as %+v", test.typed, got)
		}
	}
	for _, bad := range []string{"", " ", "x", "12..5", "1,2,3", "1,000.5", "V", "beepV", "OLV", "1e999", "--3", "NaN", "4.7q"} {
		if got, err := session.ReadEntry(bad); err == nil {
			t.Errorf("%q is taken as %+v", bad, got)
		}
	}
}
