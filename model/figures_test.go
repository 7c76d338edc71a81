package model

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFigures(t *testing.T) {
	for _, row := range []struct {
		value float64
		want  string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {4.3149, "4.31"}, {-15.349, "-15.3"}, {0.00628318, "0.00628"}, {123456, "123000"}, {12, "12"},
		{1.1 * 48, "52.8"}, {0.9 * 36, "32.4"}, {999.6, "1000"}, {0.125, "0.125"}, {2.675, "2.68"}, {-2.5e7, "-25000000"},
		{math.Inf(1), "over 1e+308"}, {math.Inf(-1), "over -1e+308"},
	} {
		if got := Figures(row.value); got != row.want {
			t.Errorf("Figures(%v) = %q, want %q", row.value, got, row.want)
		}
	}
	for value, want := range map[float64]string{0.0004: "0", -0.0004: "0", 0.00123: "0.001", 0.0125: "0.013", 1.1 * 48: "52.8"} {
		if got := MeterFigures(value); got != want {
			t.Errorf("MeterFigures(%v) = %q, want %q", value, got, want)
		}
	}
	for value, want := range map[float64]string{52.800000000000004: "52.8", 24.0312: "24.0312", 4700: "4700", 0: "0"} {
		if got := NotedFigures(value); got != want {
			t.Errorf("NotedFigures(%v) = %q, want %q", value, got, want)
		}
	}
}

func TestPercentText(t *testing.T) {
	for share, want := range map[float64]string{0: "0 %", 0.002: "under 1 %", 0.006: "1 %", 0.62: "62 %", 0.994: "99 %", 0.999: "over 99 %", 1: "100 %"} {
		if got := PercentText(share); got != want {
			t.Errorf("%v: %q, want %q", share, got, want)
		}
	}
}

// Whatever the number, nobody has to read more than three figures of it, and what
// is read lies within half of the last.
func TestFiguresStayFew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(-1e9, 1e9).Draw(t, "value") * math.Pow10(-rapid.IntRange(0, 12).Draw(t, "smaller"))
		text := Figures(value)
		read, err := ParseNumber(text)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(read-value) > 0.00501*math.Abs(value) {
			t.Fatalf("%v is printed as %s", value, text)
		}
		mantissa, _, _ := strings.Cut(strings.TrimPrefix(text, "-"), "e")
		digits := strings.Trim(strings.ReplaceAll(mantissa, ".", ""), "0")
		if len(digits) > 3 {
			t.Fatalf("%v is printed as %s", value, text)
		}
	})
}
