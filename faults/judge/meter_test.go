package judge

import (
	"math"
	"testing"

	"bellout/model"
)

// Source: design study on wiring diagnosis, section 2.5: threshold 40, softness
// .3, lead .3.
func TestBeepCurve(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	meter.BeepBelowOhms, meter.LeadOhms, meter.BeepSoftness = 40, 0.3, 0.3
	for _, c := range []struct{ ohms, want float64 }{{25, .93661}, {40, .49006}, {60, .08563}, {80, .01009}, {150, .00001}} {
		if got := meter.beepsAt(c.ohms); math.Abs(got-c.want) > 6e-6 {
			t.Errorf("%g ohm: got %.5f, want %.5f", c.ohms, got, c.want)
		}
	}
}

func TestTheMeterBeepsLessOftenTheMoreOhms(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	for ohms := 0.1; ohms < 1e7; ohms *= 1.3 {
		if meter.Beeps(ohms) < meter.Beeps(ohms*1.3) {
			t.Errorf("beeps more often at %g ohm than at %g", ohms*1.3, ohms)
		}
	}
	if p := meter.Beeps(math.Inf(1)); p <= 0 || p > 0.01 {
		t.Errorf("beeps on nothing with chance %g; want a small chance of a slip", p)
	}
}

// The likelihood of numbers is a density: over all numbers, with OL, it sums to
// about one.
func TestLikelihoodsSumToOne(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	for _, s := range []Observed{
		{Prediction: predicted(0.05), Metal: true}, {Prediction: predicted(5)}, {Prediction: predicted(400)}, {Prediction: predicted(1e5)},
		{Prediction: predicted(math.Inf(1))},
	} {
		sum := meter.Likelihood(model.Reading{Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}, s)
		for x, step := 0.0, 0.01; x < 3e7; x += step {
			step = math.Max(0.01, x*0.01)
			r := model.Reading{Mode: model.ModeOhms, Value: model.Value{Number: x + meter.LeadOhms + step/2}}
			sum += meter.Likelihood(r, s) * step
		}
		if sum < 0.85 || sum > 1.1 {
			t.Errorf("facing %v: the chances sum to %.3f", s.Prediction, sum)
		}
	}
}
