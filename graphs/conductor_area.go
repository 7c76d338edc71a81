package graphs

import (
	"math"

	"bellout/model"
)

// Copper, as the tables have it.
const (
	// copperOhmMM2PerMetre is the resistivity of annealed copper at 20 C
	// (International Annealed Copper Standard, 58 m per ohm mm2).
	copperOhmMM2PerMetre = 1.0 / 58
	// copperZeroCelsius is where the straight line of copper's resistance meets
	// zero (FAA AC 43.13-1B chg 1 par. 11-66d(4)).
	copperZeroCelsius = -234.5
)

// AreaMM2 returns a conductor's cross-section in mm2: by ASTM B258 geometry for
// an AWG size (0.127 mm at gauge 36, ratio 92^(1/39)), the nominal area for a
// metric one (IEC 60228); 0 where the size is not known.
func AreaMM2(gauge model.Gauge) float64 {
	switch gauge.System {
	case model.GaugeAWG:
		diameterMM := 0.127 * math.Pow(92, float64(36-gauge.AWG)/39)
		return math.Pi / 4 * diameterMM * diameterMM
	case model.GaugeMetric:
		return gauge.AreaMM2
	default:
		return 0
	}
}

// CopperOhmsPerMetre returns the resistance of one metre of annealed copper in
// ohms at a temperature; 0 where the size is not known.
func CopperOhmsPerMetre(gauge model.Gauge, celsius float64) float64 {
	area := AreaMM2(gauge)
	if area == 0 {
		return 0
	}
	return copperOhmMM2PerMetre / area * (celsius - copperZeroCelsius) / (20 - copperZeroCelsius)
}

// WireOhms returns a wire's resistance; 0 where gauge or length is not known.
func WireOhms(wire model.Wire, celsius float64) float64 {
	return CopperOhmsPerMetre(wire.Gauge, celsius) * wire.LengthMetres.Or(0)
}
