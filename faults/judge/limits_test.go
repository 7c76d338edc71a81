package judge

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
	"bellout/model"
)

// What contradicts the map lies outside the limits that are printed beside it, and
// what agrees inside: a record that says FAIL inside its own limit is worth nothing.
func TestLimitsAndVerdictsNeverPart(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	rapid.Check(t, func(t *rapid.T) {
		ohms := rapid.OneOf(rapid.Just(math.Inf(1)), rapid.Just(0.0), rapid.Float64Range(0, 5), rapid.Map(rapid.Float64Range(0, 8), func(e float64) float64 { return math.Pow(10, e) })).Draw(t, "ohms")
		least := ohms
		if rapid.Bool().Draw(t, "undecided") {
			least = min(ohms, rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 200)).Draw(t, "least"))
		}
		s := Observed{Prediction: graphs.Prediction{Ohms: ohms, LeastOhms: least}, Metal: least == ohms && ohms < 2 && rapid.Bool().Draw(t, "metal")}
		value := rapid.OneOf(rapid.Float64Range(0, 300), rapid.Float64Range(0, 3), rapid.Map(rapid.Float64Range(-1, 7), func(e float64) float64 { return math.Pow(10, e) })).Draw(t, "shown")
		limits := meter.Limits(model.ModeOhms, s)
		bound := rapid.SampledFrom([]float64{limits.Low, limits.High}).Draw(t, "bound")
		if !math.IsInf(bound, 0) && rapid.Bool().Draw(t, "beside it") {
			value = max(0, bound+rapid.SampledFrom([]float64{-0.05, 0.05}).Draw(t, "by"))
		}
		reading := model.Reading{Mode: model.ModeOhms, Value: model.Value{Number: value}}
		outcome := meter.Decide(reading, s)
		v := reading.Value.Number
		if near(v, limits.Low) || near(v, limits.High) {
			t.Skip("on the edge")
		}
		inside := v >= limits.Low && v <= limits.High
		if outcome == Contradicts && inside || outcome == Agrees && !inside {
			t.Fatalf("%v ohm: %s, but the limits are %v to %v", v, outcome, limits.Low, limits.High)
		}
		if printed := insidePrinted(t, limits.Text("Ω", reading.Value), v); printed != inside {
			t.Fatalf("%v ohm, inside %v: printed are %q", v, inside, limits.Text("Ω", reading.Value))
		}
		if open := meter.Decide(model.Reading{Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}, s); (open == Contradicts) == limits.OL {
			t.Fatalf("OL: %s, but the limits say %v", open, limits.OL)
		}
		heard := meter.Limits(model.ModeContinuity, s)
		for kind, may := range map[model.ValueKind]bool{model.ShowsBeep: heard.Beep, model.ShowsSilent: heard.Silent} {
			if got := meter.Decide(model.Reading{Mode: model.ModeContinuity, Value: model.Value{Kind: kind}}, s); (got == Contradicts) == may {
				t.Fatalf("%v: %s, but the limits are %+v", model.Value{Kind: kind}, got, heard)
			}
		}
	})
}

func near(v, bound float64) bool { return math.Abs(v-bound) <= 1e-9*math.Abs(bound) }

// insidePrinted reads what stands in the record.
func insidePrinted(t *rapid.T, text string, v float64) bool {
	low, high := math.Inf(-1), math.Inf(1)
	text = strings.TrimSuffix(text, " or OL")
	scale := 1.0
	if strings.HasSuffix(text, " kΩ") {
		scale = 1000
	}
	text = strings.TrimSuffix(strings.TrimSuffix(text, " kΩ"), " Ω")
	number := func(text string) float64 {
		n, err := model.ParseNumber(text)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		return n * scale
	}
	switch from, to, both := strings.Cut(text, " to "); {
	case text == "":
	case both:
		low, high = number(from), number(to)
	case strings.HasPrefix(text, "at least "):
		low = number(strings.TrimPrefix(text, "at least "))
	default:
		high = number(strings.TrimPrefix(text, "at most "))
	}
	return v >= low && v <= high
}
