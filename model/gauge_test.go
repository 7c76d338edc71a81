package model

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseGauge(t *testing.T) {
	awg := func(number int) Gauge { return Gauge{System: GaugeAWG, AWG: number} }
	mm2 := func(area float64) Gauge { return Gauge{System: GaugeMetric, AreaMM2: area} }
	// Names of the large sizes: ASTM B258, 4/0 (also 0000) is gauge -3 of the
	// geometric series; metric sizes are nominal cross-sections of IEC 60228.
	for text, want := range map[string]Gauge{
		"AWG 18": awg(18), "awg18": awg(18), " AWG  40 ": awg(40), "AWG 1": awg(1), "AWG 0": awg(0), "AWG 1/0": awg(0),
		"AWG 2/0": awg(-1), "AWG 00": awg(-1), "AWG 4/0": awg(-3), "AWG 0000": awg(-3),
		"0.75 mm2": mm2(0.75), "0.75mm2": mm2(0.75), "1.5 mm²": mm2(1.5), "2.5 mm^2": mm2(2.5), "1000 MM2": mm2(1000), "0.001 mm2": mm2(0.001),
		"": {}, "  ": {},
	} {
		if got, err := ParseGauge(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, bad := range []string{"18", "AWG", "AWG 41", "AWG -1", "AWG +4", "AWG 5/0", "AWG 0/0", "AWG 00000", "AWG 1.5", "0 mm2", "-1 mm2", "1001 mm2",
		"NaN mm2", "Inf mm2", "0x1p3 mm2", "mm2", "1 mm", "1,5 mm2", "AWG 1_8", "AWG 99999999999999999999", "1e-9 mm2"} {
		if got, err := ParseGauge(bad); err == nil {
			t.Errorf("%q became %v", bad, got)
		}
	}
}

func anyGauge() *rapid.Generator[Gauge] {
	return rapid.Custom(func(t *rapid.T) Gauge {
		switch rapid.IntRange(0, 2).Draw(t, "system") {
		case 1:
			return Gauge{System: GaugeAWG, AWG: rapid.IntRange(ThickestAWG, ThinnestAWG).Draw(t, "AWG")}
		case 2:
			return Gauge{System: GaugeMetric, AreaMM2: rapid.Float64Range(MinAreaMM2, MaxAreaMM2).Draw(t, "mm2")}
		}
		return Gauge{}
	})
}

func TestGaugeReadsWhatItPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gauge := anyGauge().Draw(t, "gauge")
		if again, err := ParseGauge(gauge.String()); err != nil || again != gauge {
			t.Fatalf("%q became %+v, %v", gauge, again, err)
		}
		text, err := json.Marshal(gauge)
		if err != nil {
			t.Fatal(err)
		}
		var again Gauge
		if err := json.Unmarshal(text, &again); err != nil || again != gauge {
			t.Fatalf("%s became %+v, %v", text, again, err)
		}
	})
}

func FuzzParseGauge(f *testing.F) {
	for _, seed := range []string{"AWG 18", "AWG 1/0", "awg 0000", "0.75 mm2", "1e2 mm²", "", "AWG 4/0", "ſmm2"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		gauge, err := ParseGauge(text)
		if err != nil {
			return
		}
		if complaints := gauge.validate(); len(complaints) > 0 {
			t.Errorf("%q became %v, which Validate refuses: %v", text, gauge, complaints)
		}
		if again, err := ParseGauge(gauge.String()); err != nil || again != gauge {
			t.Errorf("%q became %v, and that %v, %v", text, gauge, again, err)
		}
	})
}

func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{"0": 0, "-0": 0, "1.5": 1.5, "-2e3": -2000, "+1": 1, ".5": 0.5} {
		if got, err := ParseNumber(text); err != nil || got != want || fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "NaN", "nan", "Inf", "-inf", "infinity", "1e999", "0x10", "1p4", "1_000", "1,5", "1 2", "ten", "١"} {
		if got, err := ParseNumber(bad); err == nil {
			t.Errorf("%q became %v", bad, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-MaxNumber, MaxNumber).Draw(t, "number")
		text := FormatNumber(number)
		if again, err := ParseNumber(text); err != nil || again != number {
			t.Fatalf("%v was printed %q and read %v, %v", number, text, again, err)
		}
		if strings.ContainsAny(text, " _,") {
			t.Fatalf("%v was printed %q", number, text)
		}
	})
}
