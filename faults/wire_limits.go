package faults

import "bellout/model"

// wireLimits is the current that a wire may be fused for.
type wireLimits struct {
	fuse, breaker float64 // A
	known         bool    // the size is known
	thinner       bool    // than every size of the table
}

// limits looks a wire's size up in the table that the settings name.
func (pr *protection) limits(gauge model.Gauge) wireLimits {
	t := map[int][2]float64{22: {5, 5}, 20: {5, 7.5}, 18: {10, 10}, 16: {10, 15}, 14: {15, 20}, 12: {20, 30}, 10: {30, 40}}
	if gauge.System != model.GaugeAWG {
		return wireLimits{}
	}
	if v, ok := t[gauge.AWG]; ok {
		return wireLimits{fuse: v[0], breaker: v[1], known: true}
	}
	return wireLimits{known: true, thinner: gauge.AWG > 22}
}
