package graphs

import (
	"math"
	"testing"

	"bellout/model"
)

func awg(t *testing.T, text string) model.Gauge {
	t.Helper()
	gauge, err := model.ParseGauge("AWG " + text)
	if err != nil {
		t.Fatal(err)
	}
	return gauge
}

// awg.csv, column pub_1000ft_as_ohm_per_km: a published wire table, sizes 1 to
// 40. The geometry columns of all sizes hold too.
func TestCopperByGauge(t *testing.T) {
	checked := 0
	for _, row := range readTable(t, "awg.csv") {
		gauge := awg(t, row["awg"])
		if off := relative(AreaMM2(gauge), number(t, row["area_mm2"])); off > 1e-4 {
			t.Errorf("%v: %v mm2, want %s: %s", gauge, AreaMM2(gauge), row["area_mm2"], row["source"])
		}
		if gauge.AWG < 1 || row["pub_1000ft_as_ohm_per_km"] == "" {
			continue
		}
		checked++
		got := CopperOhmsPerMetre(gauge, 20) * 1000
		if off := relative(got, number(t, row["pub_1000ft_as_ohm_per_km"])); off > 0.001 {
			t.Errorf("%v: %v ohm/km, want %s: %s", gauge, got, row["pub_1000ft_as_ohm_per_km"], row["source"])
		}
	}
	if checked != 40 {
		t.Errorf("%d sizes checked, want 40", checked)
	}
}

// IEC 60228 prints maxima: copper of the nominal area lies below, by no more
// than 15 % in class 2 and 20 % in class 5.
func TestCopperByArea(t *testing.T) {
	for _, row := range readTable(t, "iec60228.csv") {
		gauge := model.Gauge{System: model.GaugeMetric, AreaMM2: number(t, row["size_mm2"])}
		got, most := CopperOhmsPerMetre(gauge, 20)*1000, number(t, row["max_ohm_per_km_plain"])
		least := 0.85 * most
		if row["class"] == "5" {
			least = 0.80 * most
		}
		if got > most || got < least {
			t.Errorf("%v class %s: %v ohm/km, want %v to %v: %s", gauge, row["class"], got, least, most, row["source"])
		}
	}
}

func TestCopperByTemperature(t *testing.T) {
	gauge := model.Gauge{System: model.GaugeMetric, AreaMM2: 1}
	for _, row := range readTable(t, "copper_temperature.csv") {
		got := CopperOhmsPerMetre(gauge, 20) / CopperOhmsPerMetre(gauge, number(t, row["temperature_c"]))
		if off := relative(got, number(t, row["published_kt_r20_over_rt"])); off > 0.005 {
			t.Errorf("%s C: %v, want %s: %s", row["temperature_c"], got, row["published_kt_r20_over_rt"], row["source"])
		}
	}
}

func TestCopperConstants(t *testing.T) {
	want := map[string]float64{"copper_resistivity_20C": copperOhmMM2PerMetre, "copper_zero_resistance_temperature": copperZeroCelsius,
		"copper_alpha_20C": 1 / (20 - copperZeroCelsius)}
	for _, row := range readTable(t, "constants.csv") {
		if ours, used := want[row["quantity"]]; used {
			delete(want, row["quantity"])
			if off := relative(ours, number(t, row["value"])); off > 5e-4 {
				t.Errorf("%s: %v, want %s: %s", row["quantity"], ours, row["value"], row["source"])
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("not in the table: %v", want)
	}
	ratio := AreaMM2(awg(t, "10")) / AreaMM2(awg(t, "11"))
	if relative(math.Sqrt(ratio), 1.12293) > 1e-5 { // ASTM B258: 92^(1/39)
		t.Errorf("diameters of neighbouring gauges: %v", math.Sqrt(ratio))
	}
}

// Single answers of two textbooks, with the resistivity that each book uses in
// place of ours (row names in wire_resistance_examples.csv).
func TestCopperOfTextbooks(t *testing.T) {
	want := map[string]float64{}
	for _, row := range readTable(t, "wire_resistance_examples.csv") {
		want[row["id"]] = number(t, row["computed"])
	}
	const book = 1.68e-2 // ohm mm2/m
	got := CopperOhmsPerMetre(awg(t, "12"), 20) * 5 * book / copperOhmMM2PerMetre
	if relative(got, want["12awg_5m"]) > 1e-3 {
		t.Errorf("5 m of 12 AWG: %v ohm, want %v", got, want["12awg_5m"])
	}
	const cmilFoot = 10.09 * 0.000506707479 / 0.3048 // ohm cmil/ft in ohm mm2/m
	got = CopperOhmsPerMetre(awg(t, "14"), 20) * 2300 * 0.3048 * cmilFoot / copperOhmMM2PerMetre
	if relative(got, want["14awg_2300ft"]) > 1e-3 {
		t.Errorf("2300 ft of 14 AWG: %v ohm, want %v", got, want["14awg_2300ft"])
	}
	hot := WireOhms(model.Wire{Gauge: awg(t, "18"), LengthMetres: model.Known(3)}, 20)
	if got, want := hot, 3*CopperOhmsPerMetre(awg(t, "18"), 20); got != want {
		t.Errorf("3 m of 18 AWG: %v ohm, want %v", got, want)
	}
	if WireOhms(model.Wire{LengthMetres: model.Known(3)}, 20) != 0 || WireOhms(model.Wire{Gauge: awg(t, "18")}, 20) != 0 {
		t.Error("a wire without gauge or length has a resistance")
	}
}
