package graphs

import (
	"testing"
	"time"

	"bellout/model"
)

// BenchmarkTrace100k traces the loads of a machine of 100,000 terminals in
// turn; a first call pays for what all share.
func BenchmarkTrace100k(b *testing.B) {
	m := largeMachine()
	c := NewCircuit(m, nil)
	var loads []string
	for _, terminal := range m.Terminals {
		if terminal.Role == model.RoleFeed && (len(loads) == 0 || loads[len(loads)-1] != terminal.Device) {
			loads = append(loads, terminal.Device)
		}
	}
	c.Trace(loads[0], PathLimit)
	paths, traced := 0, 0
	var worst time.Duration
	for b.Loop() {
		t0 := time.Now()
		tracing := c.Trace(loads[traced*97%len(loads)], PathLimit)
		worst = max(worst, time.Since(t0))
		traced++
		paths += len(tracing.Paths)
		if len(tracing.Paths) == 0 || tracing.AtLeast {
			b.Fatalf("%d paths, at least %v", len(tracing.Paths), tracing.AtLeast)
		}
	}
	b.ReportMetric(float64(paths)/float64(traced), "paths")
	b.ReportMetric(float64(worst.Microseconds())/1000, "ms-worst")
}

func BenchmarkFindParts100k(b *testing.B) {
	m := largeMachine()
	for b.Loop() {
		FindParts(m)
	}
}
