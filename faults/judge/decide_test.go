package judge

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

func predicted(ohms float64) graphs.Prediction { return graphs.Prediction{Ohms: ohms, LeastOhms: ohms} }

func between(least, most float64) Observed {
	return Observed{Prediction: graphs.Prediction{Ohms: most, LeastOhms: least}}
}

func value(t *testing.T, text string) model.Reading {
	t.Helper()
	shown, err := model.ParseShown(text)
	if err != nil {
		t.Fatal(err)
	}
	return model.Reading{Value: shown.Value, Mode: shown.Value.DefaultMode()}
}

func TestDecide(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	open := math.Inf(1)
	metal := Observed{Prediction: predicted(0.05), Metal: true}
	for _, c := range []struct {
		name  string
		value string
		drift model.Drift
		sight Observed
		want  Outcome
	}{
		{"a wire beeps", "beep", "", metal, Agrees},
		{"a wire is silent", "silent", "", metal, Contradicts},
		{"a wire reads low", "0.3", model.DriftSteady, metal, Agrees},
		{"a wire reads up to the joint limit", "1.2", "", metal, Agrees},
		{"a wire reads above the joint limit", "1.3", "", metal, Contradicts},
		{"a wire reads OL", "OL", "", metal, Contradicts},
		{"a wire reads less than nothing after the leads", "0.1", "", metal, Agrees},
		{"residual volts", "-3.2", "", metal, Undecided},
		{"nothing is silent", "silent", "", Observed{Prediction: predicted(open)}, Agrees},
		{"nothing beeps", "beep", "", Observed{Prediction: predicted(open)}, Contradicts},
		{"nothing reads metal", "0.3", "", Observed{Prediction: predicted(open)}, Contradicts},
		{"nothing reads fingers", "2.2M", "", Observed{Prediction: predicted(open)}, Agrees},
		{"nothing reads what some bench meters send for an overload", "1.0000E+8", "", Observed{Prediction: predicted(open)}, Agrees},
		{"a wire reads what some bench meters send for an overload", "1.0000E+8", "", metal, Contradicts},
		{"a coil of 5 ohm beeps", "beep", "", Observed{Prediction: predicted(5)}, Agrees},
		{"a coil of 5 ohm reads a tenth over", "5.7", "", Observed{Prediction: predicted(5)}, Agrees},
		{"a coil of 5 ohm reads half of its sisters", "2.4", "", Observed{Prediction: predicted(5)}, Contradicts},
		{"a coil of 5 ohm reads metal", "0.2", "", Observed{Prediction: predicted(5)}, Contradicts},
		{"a relay coil is silent", "silent", "", Observed{Prediction: predicted(400)}, Agrees},
		{"a relay coil beeps", "beep", "", Observed{Prediction: predicted(400)}, Contradicts},
		{"near the threshold both are possible", "beep", "", Observed{Prediction: predicted(34)}, Agrees},
		{"near the threshold silence too", "silent", "", Observed{Prediction: predicted(25)}, Undecided},
		{"electronics may beep", "beep", "", between(0, open), Undecided},
		{"electronics may be silent", "silent", "", between(0, open), Agrees},
		{"electronics read some kilohm", "4.7k", "", between(0, open), Undecided},
		{"electronics read OL", "OL", "", between(0, open), Agrees},
		{"electronics never read metal", "0.4", model.DriftSteady, between(0, open), Contradicts},
		{"a coil beside electronics reads less", "3", "", between(0, 5), Agrees},
		{"a coil beside electronics is silent", "silent", "", between(0, 5), Contradicts},
		{"a capacitor climbs", "120", model.DriftRising, metal, Undecided},
		{"a capacitor falls", "120", model.DriftFalling, Observed{Prediction: predicted(open)}, Undecided},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := value(t, c.value)
			r.Drift = c.drift
			if got := meter.Decide(r, c.sight); got != c.want {
				t.Errorf("%s facing %v: got %s, want %s", c.value, c.sight, got, c.want)
			}
		})
	}
}

func TestDecideDiodeRange(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	open := math.Inf(1)
	for _, c := range []struct {
		name  string
		value string
		sight Observed
		want  Outcome
	}{
		{"a junction the way it conducts", "0.55", between(0, open), Agrees},
		{"a junction the way it blocks", "OL", Observed{Prediction: predicted(open)}, Agrees},
		{"a junction that the map does not hold", "0.62", Observed{Prediction: predicted(open)}, Undecided},
		{"metal", "0.001", Observed{Prediction: predicted(0), Metal: true}, Agrees},
		{"metal that is open", "OL", Observed{Prediction: predicted(0), Metal: true}, Contradicts},
		{"metal where nothing should be", "0.001", Observed{Prediction: predicted(open)}, Contradicts},
		{"a diode that reads OL", "OL", between(0, open), Undecided},
		{"a diode beside a coil that hides it", "0.55", between(0, 24), Contradicts},
		{"a coil of 24 ohm", "0.024", between(0, 24), Agrees},
		{"a relay coil that lets its diode show", "0.35", between(0, 400), Agrees},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := value(t, c.value)
			r.Mode = model.ModeDiode
			if got := meter.Decide(r, c.sight); got != c.want {
				t.Errorf("%s facing %v: got %s, want %s", c.value, c.sight, got, c.want)
			}
		})
	}
}

// Every part of the published and practical table beeps or stays silent as the
// table says at a threshold of 30 ohm, and a meter with a higher threshold
// beeps wherever one with a lower does. Sources: testdata/in_circuit.csv and
// testdata/continuity_limits.csv, row by row.
func TestPartsBeepAsTheTablesSay(t *testing.T) {
	meter := NewMeter(model.DefaultSettings())
	var thresholds []float64
	for _, row := range table(t, "testdata/continuity_limits.csv") {
		if row["topic"] == "meter" && row["item"] == "continuity buzzer threshold" {
			thresholds = append(thresholds, number(t, row["value"]))
		}
	}
	if len(thresholds) != 7 {
		t.Fatalf("%d thresholds, want those of seven meters", len(thresholds))
	}
	tested := 0
	for _, row := range table(t, "testdata/in_circuit.csv") {
		if row["ohm_low"] == "" || row["beeps_at_30_ohm"] != "yes" && row["beeps_at_30_ohm"] != "no" {
			continue
		}
		tested++
		ohms := number(t, row["ohm_low"])
		want := row["beeps_at_30_ohm"] == "yes"
		shows, known := meter.Shows(model.ModeContinuity, Observed{Prediction: predicted(ohms)})
		if (shows == "beep") != want || !known {
			t.Errorf("%s, %g ohm: shows %s (known %v), the table says beeps: %s (%s)", row["item"], ohms, shows, known, row["beeps_at_30_ohm"], row["source"])
		}
		for _, one := range thresholds {
			for _, other := range thresholds {
				lower, higher := meter, meter
				lower.BeepBelowOhms, higher.BeepBelowOhms = math.Min(one, other), math.Max(one, other)
				if lower.beepsAt(ohms) > higher.beepsAt(ohms) {
					t.Errorf("%s: a meter of %g ohm beeps where one of %g does not", row["item"], lower.BeepBelowOhms, higher.BeepBelowOhms)
				}
			}
		}
	}
	if tested < 20 {
		t.Errorf("only %d rows tested", tested)
	}
}

func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []map[string]string
	for _, row := range rows[1:] {
		named := map[string]string{}
		for i, cell := range row {
			named[rows[0][i]] = cell
		}
		list = append(list, named)
	}
	return list
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
