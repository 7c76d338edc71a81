package judge

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"bellout/assets"
)

// The bounds are those of the published rows, each of which carries its source.
func TestBoundsArePublished(t *testing.T) {
	file, err := os.Open("testdata/voltage_limits.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		topic, kind string
		bound       float64
	}{
		{"SELV definition", "AC rms", ExtraLowAC}, {"SELV definition", "DC ripple-free", ExtraLowDC},
		{"SELV", "AC", ExtraLowAC}, {"SELV", "DC smoothed", ExtraLowDC},
		{"may be touched bare", "AC", LiveProbeAC}, {"may be touched bare", "DC", LiveProbeDC},
		{"machine PELV", "AC", LiveProbeAC}, {"machine PELV", "DC", LiveProbeDC},
	} {
		found := false
		for _, line := range lines[1:] {
			topic, value, kind, source := line[0], line[2], line[4], line[6]
			if topic != c.topic || kind != c.kind {
				continue
			}
			found = true
			if want, err := strconv.ParseFloat(value, 64); err != nil || want != c.bound || source == "" {
				t.Errorf("%s, %s: %v, the row says %s (%s)", topic, kind, c.bound, value, source)
			}
		}
		if !found {
			t.Errorf("no row of %s, %s", c.topic, c.kind)
		}
	}
}

// What counts as ripple for check counts as ripple for the ranking of suspects.
func TestRippleIsThatOfTheSuspects(t *testing.T) {
	file, err := assets.Causes().Open("verdict.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines {
		if line[0] == "ripple-percent" {
			if percent, err := strconv.ParseFloat(line[1], 64); err != nil || percent != 100*RippleShare {
				t.Errorf("%s %% there, %v here", line[1], RippleShare)
			}
			return
		}
	}
	t.Error("no row ripple-percent")
}
