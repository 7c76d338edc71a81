package faults

import (
	"fmt"

	"bellout/graphs"
	"bellout/model"
)

// wireLimits is the current that a wire may be fused for, in amperes.
type wireLimits struct {
	fuse, breaker float64
	printed       model.Gauge // the size of the table that they stand beside
	known         bool        // the wire's size is known
	thinner       bool        // than every size of the table
}

// limits looks a size up in the table that the settings name.
func (pr *protection) limits(gauge model.Gauge) wireLimits {
	if found, known := pr.known[gauge]; known {
		return found
	}
	table := pr.p.b.Settings.Ampacity
	var l wireLimits
	fuse, printed, ok := graphs.FuseAmps(gauge, false, table)
	breaker, _, okBreaker := graphs.FuseAmps(gauge, true, table)
	if !okBreaker {
		breaker = fuse
	}
	l.known = gauge.System != model.GaugeUnknown
	l.fuse, l.breaker, l.printed, l.thinner = fuse, breaker, printed, l.known && !ok
	pr.known[gauge] = l
	return l
}

// carries says in a few words what a wire may be fused for.
func (pr *protection) carries(id int, breaker bool) string {
	gauge := pr.gauge(id)
	limits := pr.limits(gauge)
	amps := limits.fuse
	if breaker {
		amps = limits.breaker
	}
	if limits.printed != gauge {
		return fmt.Sprintf("%s (%s, %s A as %s)", pr.wireName(id), gauge, model.MeterFigures(amps), limits.printed)
	}
	return fmt.Sprintf("%s (%s, %s A)", pr.wireName(id), gauge, model.MeterFigures(amps))
}
