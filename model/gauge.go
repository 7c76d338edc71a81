package model

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// GaugeSystem says how a conductor's size is written.
type GaugeSystem uint8

// The systems of conductor sizes.
const (
	GaugeUnknown GaugeSystem = iota
	GaugeAWG                 // American wire gauge, ASTM B258
	GaugeMetric              // nominal cross-section in mm2, IEC 60228
)

// Gauge is a conductor's size. The zero value is a size that is not known.
type Gauge struct {
	System GaugeSystem
	// AWG is the gauge number of an AWG size: 40 down to 1, 0 for 1/0, -1 for
	// 2/0, -2 for 3/0, -3 for 4/0.
	AWG int
	// AreaMM2 is the nominal cross-section of a metric size, in mm2.
	AreaMM2 float64
}

// Largest and smallest sizes that a gauge may name.
const (
	ThickestAWG = -3
	ThinnestAWG = 40
	MinAreaMM2  = 0.001
	MaxAreaMM2  = 1000
)

// ParseGauge reads "AWG 18", "AWG 1/0" or "0.75 mm2"; an empty text is a size
// that is not known.
func ParseGauge(text string) (Gauge, error) {
	trimmed := strings.TrimSpace(text)
	if trimmed == "" {
		return Gauge{}, nil
	}
	lower := strings.ToLower(trimmed)
	if rest, found := strings.CutPrefix(lower, "awg"); found {
		if number, ok := parseAWG(strings.TrimSpace(rest)); ok {
			return Gauge{System: GaugeAWG, AWG: number}, nil
		}
	}
	for _, unit := range []string{"mm2", "mm²", "mm^2"} {
		if rest, found := strings.CutSuffix(lower, unit); found {
			area, err := ParseNumber(strings.TrimSpace(rest))
			gauge := Gauge{System: GaugeMetric, AreaMM2: area}
			if err == nil && len(gauge.validate()) == 0 {
				return gauge, nil
			}
		}
	}
	return Gauge{}, fmt.Errorf("unknown gauge %q; write AWG 18, AWG 1/0 or 0.75 mm2", text)
}

func parseAWG(text string) (int, bool) {
	if zeros, found := strings.CutSuffix(text, "/0"); found {
		count, err := strconv.Atoi(zeros)
		return 1 - count, err == nil && count >= 1 && count <= 4
	}
	if text != "" && strings.Trim(text, "0") == "" {
		return 1 - len(text), len(text) <= 4
	}
	number, err := strconv.Atoi(text)
	return number, err == nil && number >= 1 && number <= ThinnestAWG && text[0] != '+'
}

// String prints the gauge as ParseGauge reads it.
func (g Gauge) String() string {
	switch g.System {
	case GaugeAWG:
		if g.AWG <= 0 {
			return fmt.Sprintf("AWG %d/0", 1-g.AWG)
		}
		return fmt.Sprintf("AWG %d", g.AWG)
	case GaugeMetric:
		return FormatNumber(g.AreaMM2) + " mm2"
	default:
		return ""
	}
}

// MarshalJSON writes the gauge as text.
func (g Gauge) MarshalJSON() ([]byte, error) { return json.Marshal(g.String()) }

// UnmarshalJSON reads what MarshalJSON wrote.
func (g *Gauge) UnmarshalJSON(text []byte) error {
	var written string
	if err := json.Unmarshal(text, &written); err != nil {
		return err
	}
	gauge, err := ParseGauge(written)
	if err != nil {
		return err
	}
	*g = gauge
	return nil
}

func (g Gauge) validate() []FieldError {
	var found complaints
	switch g.System {
	case GaugeAWG:
		if g.AWG < ThickestAWG || g.AWG > ThinnestAWG {
			found.add("gauge", fmt.Sprintf("no AWG size %d", g.AWG), "write AWG 4/0 to AWG 40")
		}
	case GaugeMetric:
		if !(g.AreaMM2 >= MinAreaMM2 && g.AreaMM2 <= MaxAreaMM2) {
			found.add("gauge", fmt.Sprintf("no size %s mm2", FormatNumber(g.AreaMM2)), "write a cross-section between 0.001 and 1000 mm2")
		}
	}
	return found
}
